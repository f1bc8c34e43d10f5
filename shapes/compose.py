"""Bodies inside one part: joined, cut, mirrored and repeated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated

from shapes.barrel import Barrel
from shapes.bulb import Bulb
from shapes.claims import lie
from shapes.composed import Composed
from shapes.flipped import image
from shapes.halfplane import Relation
from shapes.inserts import Disc, Rod
from shapes.parameters import Parameter
from shapes.placed import Placed
from shapes.placement import Placement
from shapes.shape import Rule


@dataclass(frozen=True)
class Join(Composed):
    """Several bodies as one: whatever lies in any of them."""

    bodies: Annotated[
        tuple[Placed, ...],
        Parameter(
            "bodies",
            "two or more bodies that share space or a face",
            typical=(Placed(Barrel()), Placed(Disc(112.0, 18.0), Placement(move_mm=(0, 0, -44.0)))),
        ),
    ]

    def rules(self) -> Iterator[Rule]:
        """Two bodies or more, none of them within another."""
        yield Rule(
            "bodies",
            len(self.bodies) >= 2,
            lambda: f"{len(self.bodies)} body where two or more are joined",
        )
        for k, body in enumerate(self.bodies):
            for other in (*range(k), *range(k + 1, len(self.bodies))):
                yield Rule(
                    f"bodies[{k}]",
                    _told(body, self.bodies[other]) is not Relation.WITHIN,
                    lambda other=other: (  # type: ignore[misc]
                        f"it lies within bodies[{other}] and adds nothing; leave it out or move it"
                    ),
                )

    def kept(self) -> tuple[Placed, ...]:
        """All of them."""
        return self.bodies

    def field_of(self, index: int) -> str:
        """A place in the list."""
        return f"bodies[{index}]"


@dataclass(frozen=True)
class Cut(Composed):
    """A body less others: a recess, a slot, a bore."""

    body: Annotated[
        Placed, Parameter("body", "what is cut", typical=Placed(Barrel(84.0, 96.0, 104.0, 8.0)))
    ]
    away: Annotated[
        tuple[Placed, ...],
        Parameter(
            "bodies",
            "what is taken away from it",
            typical=(Placed(Rod(34.0, 60.0, 8.0), Placement(move_mm=(0, 0, 46.0))),),
        ),
    ]

    def rules(self) -> Iterator[Rule]:
        """Something is taken, something is left."""
        yield Rule("away", len(self.away) >= 1, lambda: "nothing to take away")
        for k, tool in enumerate(self.away):
            found = _told(tool, self.body)
            yield Rule(
                f"away[{k}]",
                found is not Relation.APART,
                lambda: "it lies clear of the body and takes nothing away; move it or leave it out",
            )
            yield Rule(
                f"away[{k}]",
                _told(self.body, tool) is not Relation.WITHIN,
                lambda: "the whole body lies within it: nothing is left; make it smaller",
            )

    def kept(self) -> tuple[Placed, ...]:
        """The body."""
        return (self.body,)

    def taken(self) -> tuple[Placed, ...]:
        """What cuts it."""
        return self.away

    def field_of(self, index: int) -> str:
        """The tools come first."""
        return f"away[{index}]" if index < len(self.away) else "body"


@dataclass(frozen=True)
class Mirror(Composed):
    """A body with its mirror image, or the image alone."""

    body: Annotated[
        Placed,
        Parameter(
            "body",
            "what is mirrored, where it stands",
            typical=Placed(Bulb(86.0, 64.0, 84.0), Placement(move_mm=(0, 0, 16.0))),
        ),
    ]
    across: Annotated[
        str,
        Parameter(
            "word",
            "the mirror: the plane through the origin square to this axis",
            words=("x", "y", "z"),
        ),
    ] = "z"
    keep: Annotated[
        str,
        Parameter("word", "body and image as one, or the image alone", words=("both", "image")),
    ] = "both"

    def rules(self) -> Iterator[Rule]:
        """The image is not the body again."""
        if self.keep == "both":
            yield Rule(
                "body",
                _told(*self.kept()) is not Relation.WITHIN,
                lambda: f"it is its own image across {self.across}; move it or do without",
            )

    def kept(self) -> tuple[Placed, ...]:
        """The body, where it is kept, and its image."""
        mirrored = image(self.body, self.across)
        return (self.body, mirrored) if self.keep == "both" else (mirrored,)

    def field_of(self, index: int) -> str:  # noqa: ARG002 there is one
        """The body."""
        return "body"


@dataclass(frozen=True)
class Repeat(Composed):
    """A body several times, evenly round the Z axis, as one."""

    body: Annotated[
        Placed,
        Parameter(
            "body",
            "what is repeated, where the first one stands",
            typical=Placed(Rod(44.0, 116.0, 12.0), Placement(tilt_by_deg=34.0)),
        ),
    ]
    count: Annotated[
        int, Parameter("count", "how many, the first among them", at_least=2, at_most=24)
    ] = 3

    def rules(self) -> Iterator[Rule]:
        """The copies differ."""
        first, second = self.kept()[:2]
        yield Rule(
            "body",
            _told(first, second) is not Relation.WITHIN,
            lambda: "turned about Z it stands where it stood; move or tilt it",
        )

    def kept(self) -> tuple[Placed, ...]:
        """All the copies."""
        return placed_evenly(self.body, self.count)

    def field_of(self, index: int) -> str:  # noqa: ARG002 there is one
        """The body."""
        return "body"


def _told(first: Placed, second: Placed) -> Relation | None:
    """How two bodies lie, where their own parameters tell; else it is proven later."""
    return lie(first, second) if first.shape.exact and second.shape.exact else None


def placed_evenly(body: Placed, count: int) -> tuple[Placed, ...]:
    """A body and its copies, turned evenly about Z."""
    place = body.placement
    found = []
    for k in range(count):
        turn = 360.0 * k / count
        x, y, z = Placement(spin_deg=turn).rotation() @ place.offset()
        found.append(
            replace(
                body,
                placement=Placement(
                    place.spin_deg + turn,
                    place.tilt_by_deg,
                    place.tilt_toward_deg + turn,
                    (float(x), float(y), float(z)),
                ),
            )
        )
    return tuple(found)
