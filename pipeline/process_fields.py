"""How the castings stand in a design file: shrinkage, one casting, the whole section."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pipeline.days import DAY
from pipeline.document import Entries, Node, Scalar
from pipeline.fields import Bad, ChoiceKind, NumberKind, QuantityKind, Reading, TextKind
from pipeline.hole_fields import MadeKind, PlainKind, refuse_at
from pipeline.mould_fields import (
    CHANNELS_KIND,
    EJECTORS_KIND,
    KEYS_KIND,
    PARTING_KIND,
    ROD_KIND,
)
from pipeline.process import CastingAsked, Process, RevisionAsked, Shrinkage
from pipeline.records import Key, ListKind, MapKind, Record, TupleKind
from pipeline.tolerances import CLASSES
from pipeline.units import ANGLE, LENGTH, SHARE

MOST_SHRINKAGE = 0.15  # neat polyester loses up to 13 % of its volume, filled compounds far less
_SIZE = QuantityKind(LENGTH, "units", above=0.0)
_NOT_LESS = QuantityKind(LENGTH, "units", at_least=0.0)
_DRAFT = QuantityKind(ANGLE, "deg", above=0.0, at_most=(30.0, "at most 30"))
_TEXT = TextKind(r"[^\x00-\x1f\x7f]{1,120}", "a text of at most 120 characters")


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
        Key("parting", PARTING_KIND, "where the mould parts",
            required=False, default="best"),
        Key("pieces", NumberKind(at_least=2, at_most=3, whole=True),
            "how many pieces the best found may have", required=False, default="2"),
        Key("stock", _NOT_LESS, "machining stock, all round", required=False, default="0"),
        Key("rod", ROD_KIND, "the pin-rod hole", required=False, default="none"),
        Key("gates", CHANNELS_KIND, "where it is poured", required=False,
            default="none"),
        Key("vents", CHANNELS_KIND, "where air leaves", required=False,
            default="none"),
        Key("ejectors", EJECTORS_KIND, "ejector flats", required=False,
            default="none"),
        Key("deflash", _NOT_LESS, "flash allowed at the parting line before it is tumbled off",
            required=False, default="0"),
        Key("block", TupleKind(_SIZE, ("x", "y", "z")), "sizes of the mould's block along the "
            "part's own axes, or those turned the least way to the pull", required=False,
            default="25 mm of wall all round, up to whole 5 mm"),
        Key("keys", KEYS_KIND, "alignment keys", required=False,
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


_ALWAYS = ("mould", "method", "stock", "least_wall", "thickest")  # make sense without a mould


class CastingKind(MadeKind):
    """One casting."""

    def made(
        self, found: dict[str, Any], node: Node, path: str, reading: Reading
    ) -> CastingAsked | Bad:
        moulded = [k for k in found if k not in _ALWAYS]
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
            lines=tuple(node.key_lines.items()) if isinstance(node, Entries) else (),
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


def _revision(found: dict[str, Any], _: int) -> RevisionAsked:
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
        Key("revisions", ListKind(PlainKind(REVISION, _revision)), "the table of revisions, oldest "
            "first", required=False, default="the design's own revision alone"),
        Key("owner", _TEXT, "legal owner, for title blocks", required=False, default="left blank"),
        Key("number", _TEXT, "identification number, for title blocks; each sheet adds its part's",
            required=False, default="the file's name of the ball and its revision"),
        Key("creator", _TEXT, "who made the design, for title blocks", required=False,
            default="left blank"),
    ),
)  # fmt: skip


def _process(found: dict[str, Any], _: int) -> Process:
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


PROCESS_KIND = PlainKind(PROCESS, _process)
