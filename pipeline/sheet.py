"""Where everything on a picture goes, as plain frozen values; px from the top left, y downwards."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline import fonts
from pipeline.fonts import PLAIN
from pipeline.scene import FAINT, INK, Dimension, Scene
from pipeline.units import MM_PER_IN
from shapes.moments import Array

Point = tuple[float, float]

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

    def shrunk(self, by: float) -> Box:
        """The same with every edge moved inwards."""
        return Box(self.left + by, self.top + by, self.right - by, self.bottom - by)

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
class Band:
    """Colours that run into one another from left to right: what a map's colours stand for."""

    box: Box
    colours: tuple[str, ...]


@dataclass(frozen=True)
class Block:
    """Words and swatches that belong together, in a box with its corner at the origin."""

    width: float
    height: float
    words: tuple[Words, ...]
    swatches: tuple[Swatch, ...] = ()
    bands: tuple[Band, ...] = ()

    def moved(self, x: float, y: float) -> Block:
        """The same elsewhere."""
        return Block(
            self.width,
            self.height,
            tuple(replace(w, at=(w.at[0] + x, w.at[1] + y)) for w in self.words),
            tuple(replace(s, box=s.box.moved(x, y)) for s in self.swatches),
            tuple(replace(b, box=b.box.moved(x, y)) for b in self.bands),
        )


@dataclass(frozen=True)
class Callout:
    """A label where it was put: its box, its lines, and the leader from its point to the box."""

    box: Box
    words: tuple[Words, ...]
    leader: tuple[Point, Point]
    plate: bool
    fade: float = 1.0


@dataclass(frozen=True)
class Scale:
    """A bar: its left end, px, its length, whole inches where there is room, and px an inch."""

    at: Point
    inches: float
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
        scale: the scale bar; None where there is no card.
    """

    size: tuple[int, int]
    em: float
    stage: Box
    origin: Point
    px_per_mm: float
    blocks: tuple[Block, ...]
    callouts: tuple[Callout, ...]
    scale: Scale | None

    def at(self, scene: Scene, point_mm: Array) -> Point:
        """Where a point of the ball frame, shape (3,), falls."""
        right, up = scene.camera.project(point_mm)
        x, y = self.origin
        return x + self.px_per_mm * float(right), y - self.px_per_mm * float(up)


def words_of(scene: Scene, sheet: Sheet, dimension: Dimension) -> Words:
    """The length on a dimension's line, in its middle."""
    ends = [sheet.at(scene, p) for p in dimension.line_mm]
    x, y = ((ends[0][k] + ends[1][k]) / 2.0 for k in (0, 1))
    size = 0.9 * sheet.em
    wide = fonts.width(dimension.words, size)
    return Words((x - wide / 2.0, y - LINE * size / 2.0), dimension.words, size)


def scale_words(sheet: Sheet, scale: Scale) -> tuple[Words, Words]:
    """What stands above and below a scale bar."""
    (x, y), em = scale.at, sheet.em
    return (
        Words((x, y - 0.25 * em), f"{scale.inches:g} in", SMALL * em),
        Words((x, y + 1.30 * em), f"{scale.inches * MM_PER_IN:.1f} mm", SMALL * em, PLAIN, FAINT),
    )
