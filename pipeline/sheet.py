"""Where everything on a picture goes, as plain frozen values; px from the top left, y downwards."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline import fonts
from pipeline.fonts import PLAIN
from pipeline.scene import INK, Scene
from shapes.moments import Array

Point = tuple[float, float]

FAINT = "#6E6A61"
LINE = 1.32  # from line to line, of an em
SMALL = 0.82  # of an em
_EDGE_PX = 1e-6  # boxes that share less than this only touch


@dataclass(frozen=True)
class Box:
    """A rectangle of the picture, px, y downwards."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.bottom - self.top

    def overlaps(self, other: Box) -> bool:
        """Whether they share more than an edge."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > _EDGE_PX
            and min(self.bottom, other.bottom) - max(self.top, other.top) > _EDGE_PX
        )

    def within(self, other: Box) -> bool:
        """Whether it lies in the other."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )

    def moved(self, x: float, y: float) -> Box:
        """The same elsewhere."""
        return Box(self.left + x, self.top + y, self.right + x, self.bottom + y)


@dataclass(frozen=True)
class Words:
    """One line of text: `at` is the left end of its top, px."""

    at: Point
    text: str
    em: float
    weight: int = PLAIN
    colour: str = INK

    @property
    def box(self) -> Box:
        """What it covers."""
        x, y = self.at
        return Box(x, y, x + fonts.width(self.text, self.em, self.weight), y + LINE * self.em)


@dataclass(frozen=True)
class Swatch:
    """A patch of a part's colour; hollow when the view hides the part."""

    box: Box
    colour: str
    hollow: bool


@dataclass(frozen=True)
class Block:
    """Words and swatches that belong together, in a box with its corner at the origin."""

    width: float
    height: float
    words: tuple[Words, ...]
    swatches: tuple[Swatch, ...] = ()

    def moved(self, x: float, y: float) -> Block:
        """The same elsewhere."""
        return Block(
            self.width,
            self.height,
            tuple(replace(w, at=(w.at[0] + x, w.at[1] + y)) for w in self.words),
            tuple(replace(s, box=s.box.moved(x, y)) for s in self.swatches),
        )


@dataclass(frozen=True)
class Callout:
    """A label where it was put: its box, its lines, and the leader from its point to the box."""

    box: Box
    words: tuple[Words, ...]
    leader: tuple[Point, Point]
    plate: bool


@dataclass(frozen=True)
class Scale:
    """A bar of whole inches: its left end, px, its length in inches, and px an inch."""

    at: Point
    inches: int
    px_per_in: float


@dataclass(frozen=True)
class Sheet:
    """Where everything goes.

    Attributes:
        size: width and height, px.
        em: size of the text, px.
        stage: the part of the picture that is rendered; whole pixels.
        origin: where the ball's centre falls, px.
        px_per_mm: the scale.
        blocks: title, figures, legend and notes.
        callouts: labels, in the scene's order.
        scale: the scale bar.
    """

    size: tuple[int, int]
    em: float
    stage: Box
    origin: Point
    px_per_mm: float
    blocks: tuple[Block, ...]
    callouts: tuple[Callout, ...]
    scale: Scale

    def at(self, scene: Scene, point_mm: Array) -> Point:
        """Where a point of the ball frame, shape (3,), falls."""
        right, up = scene.camera.project(point_mm)
        x, y = self.origin
        return x + self.px_per_mm * float(right), y - self.px_per_mm * float(up)
