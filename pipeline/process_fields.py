"""How the castings stand in a design file: shrinkage, parting, rod, gates, block and limits."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Any

from pipeline.days import DAY
from pipeline.document import Items, Node, Scalar
from pipeline.fields import BAD, Bad, ChoiceKind, NumberKind, QuantityKind, Reading, TextKind
from pipeline.hole_fields import MadeKind, refuse_at
from pipeline.process import (
    CastingAsked,
    ChannelAsked,
    EjectorAsked,
    KeysAsked,
    Process,
    RevisionAsked,
    RodAsked,
    Shrinkage,
    SplitAsked,
    Vector,
)
from pipeline.records import Key, ListKind, MapKind, Record, TupleKind
from pipeline.tolerances import CLASSES
from pipeline.units import ANGLE, LENGTH, SHARE

MOST_SHRINKAGE = 0.15  # neat polyester loses up to 13 % of its volume, filled compounds far less
MOST_PIECES = 6
_LENGTH = QuantityKind(LENGTH, "units")
_SIZE = QuantityKind(LENGTH, "units", above=0.0)
_NOT_LESS = QuantityKind(LENGTH, "units", at_least=0.0)
_DRAFT = QuantityKind(ANGLE, "deg", above=0.0, at_most=(30.0, "at most 30"))
_TAPER = QuantityKind(ANGLE, "deg", at_least=0.0, at_most=(30.0, "at most 30"))
_TEXT = TextKind(r"[^\x00-\x1f\x7f]{1,120}", "a text of at most 120 characters")
_POINT = TupleKind(_LENGTH, ("x", "y", "z"))
_PLANE_POINT = TupleKind(_LENGTH, ("x", "y"))
_XYZ = TupleKind(NumberKind(), ("x", "y", "z"))


@dataclass(frozen=True)
class ShareKind:
    """A shrinkage: a share with its unit, for a bare number has two readings."""

    @property
    def allowed(self) -> str:
        return (
            f"a share in %, in/in or mm/mm, such as '0.5 %', at least 0, at most "
            f"{100.0 * MOST_SHRINKAGE:g} %"
        )

    def read(self, node: Node, path: str, reading: Reading) -> float | Bad:
        bare = _bare(node)
        if bare is not None:
            share, cent = f"{100.0 * bare:.10g} %", f"{bare:.10g} %"
            return reading.refuse(
                node, node.line, path, self.allowed,
                f"it is {share} if it is a share, and {cent} if it is meant in per cent",
                f"write '{share}' or '{cent}'" if bare <= MOST_SHRINKAGE else f"write '{cent}' if "
                f"that is meant; {share} is beyond any casting compound",
            )  # fmt: skip
        most = (MOST_SHRINKAGE, f"at most {100.0 * MOST_SHRINKAGE:g} %")
        return QuantityKind(SHARE, None, None, 0.0, most).read(node, path, reading)

    def schema(self) -> dict[str, Any]:
        return QuantityKind(SHARE, None, None, 0.0).schema()


def _bare(node: Node) -> float | None:
    """A number without a unit that is greater than zero."""
    try:
        value = float(node.text) if isinstance(node, Scalar) else 0.0
    except ValueError:
        return None
    return value if 0.0 < value < float("inf") else None


@dataclass(frozen=True)
class DirectionKind:
    """A direction, given by a vector of any length but zero."""

    @property
    def allowed(self) -> str:
        return "a direction [x, y, z], not all zero"

    def read(self, node: Node, path: str, reading: Reading) -> Vector | Bad:
        found = _XYZ.read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        size = sqrt(sum(x * x for x in found))
        if size == 0.0:
            return reading.refuse(node, node.line, path, self.allowed)
        x, y, z = (c / size for c in found)
        return x, y, z

    def schema(self) -> dict[str, Any]:
        return _XYZ.schema()


_WAY = DirectionKind()
SHRINKAGE = Record(
    "shrinkage",
    "What a length of the mould loses until the casting is cold: `linear`, or `along` and `across` "
    "the part's own Z axis.",
    (
        Key("linear", ShareKind(), "the same every way", required=False),
        Key("along", ShareKind(), "along the part's Z axis", required=False),
        Key("across", ShareKind(), "square to it", required=False),
        Key("source", _TEXT, "where the figure comes from, such as a trial pour and its day",
            required=False, default="not said"),
    ),
)  # fmt: skip


class ShrinkageKind(MadeKind):
    """Linear, or along and across."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> Shrinkage | Bad:
        given = {"linear", "along", "across"} & set(found)
        if given == {"linear"}:
            return Shrinkage(found["linear"], found["linear"], found.get("source", ""))
        if given == {"along", "across"}:
            return Shrinkage(found["along"], found["across"], found.get("source", ""))
        return reading.refuse(node, node.line, path, "linear, or along and across together")


SPLIT = Record(
    "parting plane",
    "A plane of the mould. What lies beyond it is one piece, drawn along `pull`; what the last "
    "plane leaves is drawn the other way.",
    (
        Key("pull", _WAY, "the way the piece is drawn"),
        Key("at", _LENGTH, "how far along that way the plane is from the part's origin",
            required=False, default="0"),
    ),
)  # fmt: skip


class SplitKind(MadeKind):
    """One plane."""

    def made(
        self,
        found: dict[str, Any],
        node: Node,  # noqa: ARG002 nothing can be wrong with it here
        path: str,  # noqa: ARG002
        reading: Reading,  # noqa: ARG002
    ) -> SplitAsked:
        return SplitAsked(found["pull"], found.get("at", 0.0))


@dataclass(frozen=True)
class PartingKind:
    """The planes in turn, or the word for having them found."""

    planes: ListKind

    @property
    def allowed(self) -> str:
        return f"best, or a list of {SPLIT.allowed}"

    def read(self, node: Node, path: str, reading: Reading) -> tuple[SplitAsked, ...] | Bad | None:
        if isinstance(node, Scalar) and node.text == "best":
            return None
        if not isinstance(node, Items) or len(node.items) >= MOST_PIECES:
            return reading.refuse(node, node.line, path, self.allowed)
        found: tuple[SplitAsked, ...] | Bad = self.planes.read(node, path, reading)
        return found

    def schema(self) -> dict[str, Any]:
        return {"anyOf": [{"const": "best"}, self.planes.schema()]}


ROD = Record(
    "rod",
    "The hole of the rod that holds the casting in its mould, about a line along the part's Z.",
    (
        Key("diameter", _SIZE, "where it enters the part"),
        Key("depth", _SIZE, "from there along its axis; a part poured round others may leave it "
            "out", required=False, default="on to the part inside, and its rod hole"),
        Key("taper", _TAPER, "how much its side leans, narrowing inwards", required=False,
            default="0"),
        Key("side", ChoiceKind(("pin", "foot")), "the end it enters from: +Z is the pin's",
            required=False, default="pin"),
        Key("at", _PLANE_POINT, "its axis", required=False, default="[0, 0]"),
    ),
)  # fmt: skip


class RodKind(MadeKind):
    """A rod hole."""

    def made(
        self,
        found: dict[str, Any],
        node: Node,
        path: str,  # noqa: ARG002 nothing can be wrong with it here
        reading: Reading,  # noqa: ARG002
    ) -> RodAsked:
        return RodAsked(
            found["diameter"], found.get("depth"), found.get("taper", 0.0),
            found.get("side", "pin"), found.get("at", (0.0, 0.0)), node.line,
        )  # fmt: skip


CHANNEL = Record(
    "gate or vent",
    "A straight round channel from the part out of the block; it must lie in a parting plane or "
    "along the way its piece is drawn, or nothing could be drawn off it.",
    (
        Key("toward", _WAY, "the way it leads outwards"),
        Key("through", _POINT, "a point of its axis inside the part", required=False,
            default="[0, 0, 0]"),
        Key("diameter", _SIZE, "where it leaves the part"),
        Key("taper", _TAPER, "how much its side leans, narrowing outwards", required=False,
            default="0"),
    ),
)  # fmt: skip


class ChannelKind(MadeKind):
    """A gate or vent."""

    def made(
        self,
        found: dict[str, Any],
        node: Node,
        path: str,  # noqa: ARG002 nothing can be wrong with it here
        reading: Reading,  # noqa: ARG002
    ) -> ChannelAsked:
        return ChannelAsked(
            found.get("through", (0.0, 0.0, 0.0)), found["toward"], found["diameter"],
            found.get("taper", 0.0), node.line,
        )  # fmt: skip


EJECTOR = Record(
    "ejector",
    "A flat disc for an ejector pin, square to the way its piece is drawn.",
    (
        Key("at", _POINT, "a point that the pin's axis runs through"),
        Key("diameter", _SIZE, "of the pin"),
        Key("piece", NumberKind(at_least=1, at_most=MOST_PIECES, whole=True),
            "the piece of the mould it stands in, from 1 in the order they are drawn"),
    ),
)  # fmt: skip


class EjectorKind(MadeKind):
    """An ejector flat."""

    def made(
        self,
        found: dict[str, Any],
        node: Node,
        path: str,  # noqa: ARG002 nothing can be wrong with it here
        reading: Reading,  # noqa: ARG002
    ) -> EjectorAsked:
        return EjectorAsked(found["at"], found["diameter"], int(found["piece"]), node.line)


KEYS = Record(
    "keys",
    "The cones that align the pieces of a mould.",
    (
        Key("diameter", _SIZE, "at the parting plane"),
        Key("height", _SIZE, "above it"),
    ),
)


class KeysKind(MadeKind):
    """Alignment keys."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> KeysAsked | Bad:
        if found["height"] > found["diameter"]:
            return refuse_at(node, "height", path, reading, "at most the diameter")
        return KeysAsked(found["diameter"], found["height"])


CASTING = Record(
    "casting",
    "How one part is cast. Places and directions are in the part's own frame, as it is drawn. What "
    "is left out is assumed, and every assumption is written on the sheet.",
    (
        Key("mould", ChoiceKind(("loose", "round", "none")), "a casting of its own, one poured "
            "round the parts inside, or no mould at all", required=False,
            default="round where parts lie inside, else loose"),
        Key("method", _TEXT, "the casting process", required=False, default="gravity pour"),
        Key("shrinkage", ShrinkageKind(SHRINKAGE), "linear shrinkage", required=False,
            default="none; never right for a real compound"),
        Key("draft", _DRAFT, "least draft wanted", required=False, default="1 deg"),
        Key("upright", _NOT_LESS, "how high a wall with less draft may stand; a round body always "
            "has some at its parting line", required=False, default="5 mm"),
        Key("parting", PartingKind(ListKind(SplitKind(SPLIT))), "where the mould parts",
            required=False, default="best"),
        Key("pieces", NumberKind(at_least=2, at_most=3, whole=True),
            "how many pieces the best found may have", required=False, default="2"),
        Key("stock", _NOT_LESS, "machining stock, all round", required=False, default="0"),
        Key("rod", RodKind(ROD), "the pin-rod hole", required=False, default="none"),
        Key("gates", ListKind(ChannelKind(CHANNEL)), "where it is poured", required=False,
            default="none"),
        Key("vents", ListKind(ChannelKind(CHANNEL)), "where air leaves", required=False,
            default="none"),
        Key("ejectors", ListKind(EjectorKind(EJECTOR)), "ejector flats", required=False,
            default="none"),
        Key("deflash", _NOT_LESS, "flash allowed at the parting line before it is tumbled off",
            required=False, default="0"),
        Key("block", TupleKind(_SIZE, ("x", "y", "z")), "sizes of the mould's block along the "
            "part's own axes, or those turned the least way to the pull", required=False,
            default="25 mm of wall all round, up to whole 5 mm"),
        Key("keys", KeysKind(KEYS), "alignment keys", required=False,
            default="diameter 12 mm, height 6 mm"),
        Key("cutter", _SIZE, "radius of the finest cutter for the cavity", required=False,
            default="1.5 mm"),
        Key("fillet", _SIZE, "least radius of a concave corner of the part", required=False,
            default="1 mm"),
        Key("least_wall", _SIZE, "least wall of the part", required=False, default="3 mm"),
        Key("thickest", _SIZE, "the largest ball that may fit into the casting, for thick pours "
            "overheat", required=False, default="no limit is known"),
    ),
)  # fmt: skip


class CastingKind(MadeKind):
    """One casting."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> CastingAsked | Bad:
        moulded = [k for k in found if k not in ("mould", "method", "stock")]
        if found.get("mould") == "none" and moulded:
            return refuse_at(
                node, moulded[0], path, reading, "nothing about a mould beside 'mould: none'"
            )
        splits = found.get("parting")
        if "pieces" in found and splits is not None:
            return refuse_at(
                node, "pieces", path, reading, "pieces beside 'parting: best' only",
                "the planes tell how many there are: leave it out",
            )  # fmt: skip
        pieces = found.get("pieces", 2) if splits is None else len(splits) + 1
        wrong = [e for e in found.get("ejectors", ()) if e.piece > pieces]
        if wrong:
            return refuse_at(
                node, "ejectors", path, reading, f"a piece from 1 to {pieces}",
                f"piece {wrong[0].piece} is not there",
            )  # fmt: skip
        return CastingAsked(
            mould=found.get("mould"),
            method=found.get("method"),
            shrinkage=found.get("shrinkage"),
            draft_deg=found.get("draft"),
            upright_mm=found.get("upright"),
            splits=splits,
            pieces=found.get("pieces"),
            stock_mm=found.get("stock"),
            rod=found.get("rod"),
            gates=found.get("gates", ()),
            vents=found.get("vents", ()),
            ejectors=found.get("ejectors", ()),
            deflash_mm=found.get("deflash"),
            block_mm=found.get("block"),
            keys=found.get("keys"),
            cutter_mm=found.get("cutter"),
            fillet_mm=found.get("fillet"),
            least_wall_mm=found.get("least_wall"),
            thickest_mm=found.get("thickest"),
            line=node.line,
        )


REVISION = Record(
    "revision",
    "A line of the table of revisions on every sheet.",
    (
        Key("revision", _TEXT, "its index, such as B"),
        Key("change", _TEXT, "what changed"),
        Key("date", DAY, "its day", required=False, default="left blank"),
        Key("by", _TEXT, "who changed it", required=False, default="left blank"),
    ),
)


class RevisionKind(MadeKind):
    """One revision."""

    def made(
        self,
        found: dict[str, Any],
        node: Node,  # noqa: ARG002 nothing can be wrong with it here
        path: str,  # noqa: ARG002
        reading: Reading,  # noqa: ARG002
    ) -> RevisionAsked:
        return RevisionAsked(
            found["revision"], found["change"], found.get("date", ""), found.get("by", "")
        )


PROCESS = Record(
    "process",
    "How the parts are cast, for the tooling package.",
    (
        Key("castings", MapKind(CastingKind(CASTING)), "how each part is cast, by its name",
            required=False, default="every part by the defaults below"),
        Key("tolerance", ChoiceKind(tuple(CLASSES)), "class of general tolerances, ISO 2768-1",
            required=False, default="medium"),
        Key("shift", _NOT_LESS, "how far off its place a part may be cast", required=False,
            default="1 mm"),
        Key("surface", _SIZE, "least distance to leave between core and ball surface",
            required=False, default="no limit is known"),
        Key("revisions", ListKind(RevisionKind(REVISION)), "the table of revisions, oldest first",
            required=False, default="the design's own revision alone"),
        Key("owner", _TEXT, "legal owner, for title blocks", required=False, default="left blank"),
        Key("number", _TEXT, "identification number, for title blocks; each sheet adds its part's",
            required=False, default="the file's name of the ball and its revision"),
        Key("creator", _TEXT, "who made the design, for title blocks", required=False,
            default="left blank"),
    ),
)  # fmt: skip


class ProcessKind(MadeKind):
    """The whole section."""

    def made(
        self,
        found: dict[str, Any],
        node: Node,  # noqa: ARG002 nothing can be wrong with it here
        path: str,  # noqa: ARG002
        reading: Reading,  # noqa: ARG002
    ) -> Process:
        return Process(
            tuple(found.get("castings", {}).items()),
            found.get("tolerance"),
            found.get("shift"),
            found.get("surface"),
            found.get("revisions", ()),
            found.get("owner", ""),
            found.get("number", ""),
            found.get("creator", ""),
        )


PROCESS_KIND = ProcessKind(PROCESS)
