"""The views there are, by name: what draws each, what it can be asked, and what it shows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pipeline.ball import Ball
from pipeline.exploded import exploded
from pipeline.figure_views import densities, ellipsoid, rg_sphere
from pipeline.scene import Scene
from pipeline.section_view import section
from pipeline.side_by_side import Weighed, before_after, sizes
from pipeline.views import LOOKING, axes, core, cutaway, ghost, half, quarter, whole
from pipeline.weigh import MassProperties
from pipeline.wish import Wish

_FACES = frozenset({"faces"})
_CUT = LOOKING | _FACES | {"toward_deg"}


@dataclass(frozen=True)
class View:
    """A view of one ball.

    Attributes:
        draw: from ball, figures and wish to a scene.
        takes: the fields of a wish that it heeds.
        says: what it shows.
    """

    draw: Callable[[Ball, MassProperties, Wish], Scene]
    takes: frozenset[str]
    says: str


@dataclass(frozen=True)
class SharedView:
    """A view of several balls; see View."""

    draw: Callable[[Sequence[Weighed], Wish], Scene]
    takes: frozenset[str]
    says: str


VIEWS: dict[str, View] = {
    "cutaway": View(cutaway, _CUT | {"opening_deg"}, "a wedge is cut out round the core"),
    "whole": View(whole, LOOKING, "the ball from outside"),
    "ghost": View(ghost, LOOKING, "the core, seen through the cover"),
    "half": View(half, _CUT, "half of it is cut away"),
    "quarter": View(quarter, _CUT, "a quarter of it is cut away, the core too"),
    "exploded": View(exploded, LOOKING | _FACES, "drawn apart along the core's axis as drawn"),
    "core": View(core, LOOKING, "the core alone"),
    "axes": View(axes, LOOKING, "the principal axes with their RGs"),
    "densities": View(densities, _FACES, "a section, the darker the denser"),
    "ellipsoid": View(ellipsoid, LOOKING, "the inertia ellipsoid"),
    "rg-sphere": View(rg_sphere, LOOKING, "RG over the surface, as colours and contours"),
    "section": View(section, _FACES | {"from_deg"}, "a section with its main dimensions"),
}
SHARED_VIEWS: dict[str, SharedView] = {
    "sizes": SharedView(sizes, frozenset({"above_deg"}), "cores of several balls at one scale"),
    "before-after": SharedView(
        before_after, _FACES, "two sections, such as before and after a fit"
    ),
}
