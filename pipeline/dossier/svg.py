"""A tiny writer of SVG: a few elements, text as text, colours as attributes with a class each.

An element is either filled or drawn as a line, in the colour of its class on white paper, so that
a page that wants other colours needs two rules a class:

    .ink:not([stroke]) { fill: ... }    .ink[stroke] { stroke: ... }

What has no class keeps its colour, such as the fields of a map and what stands on them.

Coordinates are units of a sheet that is WIDTH wide, x to the right, y down; a text stands on its
baseline.  Only elements are used that typst reads as well, and no style, which a page may forbid.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

from pipeline import fonts
from pipeline.charts import FAINT, INK
from pipeline.dossier.document import Chart
from pipeline.markdown import visible
from pipeline.palette import CLAY, HIGH_AXIS, INTERMEDIATE_AXIS, LOW_AXIS, TIDE

Point = tuple[float, float]

WIDTH = 720.0
SIZE = 13.0
LEAST_SIZE = 11.0
COLOURS = {
    "ink": INK,
    "faint": FAINT,
    "grid": "#D8D5CC",
    "plate": "#FFFFFF",  # what stands behind a sign, as the paper does
    "band": "#C4D5D9",
    "tide": TIDE,
    "clay": CLAY,
    "ok": LOW_AXIS,
    "bad": CLAY,
    "open": INTERMEDIATE_AXIS,
    "low": LOW_AXIS,
    "intermediate": INTERMEDIATE_AXIS,
    "high": HIGH_AXIS,
}
SIGNS = {"pass": "✓", "fail": "✗", "not determined": "?"}
VERDICT_COLOURS = {"pass": "ok", "fail": "bad", "not determined": "open"}
_FACE = "'Source Sans 3', sans-serif"  # a name with a figure in it counts only in quotes
_ISOLATES = "\u2068\u2069"
_LONGEST = 400  # letters; no line of a chart has room for so many


def words(
    x: float,
    y: float,
    text: str,
    paint: str = "ink",
    *,
    size: float = SIZE,
    anchor: str = "start",
    bold: bool = False,
) -> str:
    """A line of text on its baseline; anchor is start, middle or end."""
    more = "" if size == SIZE else f' font-size="{number(size)}"'
    more += "" if anchor == "start" else f' text-anchor="{anchor}"'
    more += f' font-weight="{fonts.BOLD}"' if bold else ""
    return f'<text x="{number(x)}" y="{number(y)}"{more}{_filled(paint)}>{escape(text)}</text>'


def segment(a: Point, b: Point, paint: str, *, width: float = 1.0, dash: str = "") -> str:
    """A straight line."""
    ends = zip(("x1", "y1", "x2", "y2"), (*a, *b), strict=True)
    places = "".join(f' {name}="{number(v)}"' for name, v in ends)
    return f"<line{places}{_stroked(paint, width, dash)}/>"


def run(points: Sequence[Point], paint: str, *, width: float = 1.0, dash: str = "") -> str:
    """A line through points."""
    return f'<polyline points="{_listed(points)}" fill="none"{_stroked(paint, width, dash)}/>'


def area(points: Sequence[Point], paint: str) -> str:
    """A filled polygon."""
    return f'<polygon points="{_listed(points)}"{_filled(paint)}/>'


def box(
    x: float, y: float, wide: float, high: float, paint: str, *, round_: float = 0.0,
    opacity: float = 1.0,
) -> str:  # fmt: skip
    """A filled rectangle; x and y are those of its upper left corner."""
    more = f' rx="{number(round_)}"' if round_ else ""
    return f"<rect{_sized(x, y, wide, high)}{more}{_filled(paint, opacity)}/>"


def frame(x: float, y: float, wide: float, high: float, paint: str, *, width: float = 2.0) -> str:
    """The outline of a rectangle, drawn within it."""
    inner = (x + width / 2.0, y + width / 2.0, wide - width, high - width)
    return f'<rect{_sized(*inner)} fill="none"{_stroked(paint, width, "")}/>'


def disc(at: Point, radius: float, paint: str) -> str:
    """A filled circle."""
    return f"<circle{_round(at, radius)}{_filled(paint)}/>"


def ring(at: Point, radius: float, paint: str, *, width: float = 1.0, dash: str = "") -> str:
    """The outline of a circle."""
    return f'<circle{_round(at, radius)} fill="none"{_stroked(paint, width, dash)}/>'


def diamond(at: Point, radius: float, paint: str, *, filled: bool = True) -> str:
    """The sign of a value: full, or open, with the paper in it."""
    x, y = at
    corners = [(x, y - radius), (x + radius, y), (x, y + radius), (x - radius, y)]
    if filled:
        return area(corners, paint)
    edge = f'<polygon points="{_listed(corners)}" fill="none"{_stroked(paint, 2.0, "")}/>'
    return area(corners, "plate") + edge


def hovered(hover: str, *marks: str) -> str:
    """Marks that show words when they are pointed at: name, value and unit."""
    return f"<g><title>{escape(hover)}</title>{''.join(marks)}</g>"


def drawn(key: str, caption: str, alt: str, height: float, marks: Iterable[str]) -> Chart:
    """The chart: its marks on a sheet of some height, with its words for who cannot see it."""
    named = f"{key}-title {key}-desc"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(WIDTH)} {number(height)}" '
        f'role="img" aria-labelledby={quoteattr(named)} font-family="{_FACE}" '
        f'font-size="{number(SIZE)}">'
    )
    title = f"<title id={quoteattr(key + '-title')}>{escape(caption)}</title>"
    desc = f"<desc id={quoteattr(key + '-desc')}>{escape(alt)}</desc>"
    return Chart(key, caption, alt, "\n".join([head, title, desc, *marks, "</svg>"]))


def number(value: float) -> str:
    """A coordinate: as many of two decimals as it needs.

    >>> number(12.0), number(-0.001), number(3.14159)
    ('12', '0', '3.14')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def reach(text: str, size: float = SIZE, *, bold: bool = False) -> float:
    """How wide a line of text is at most; each letter that the face lacks may take an em."""
    seen = [c for c in text if c not in _ISOLATES]
    known = "".join(c for c in seen if not fonts.lacks(c))
    weight = fonts.BOLD if bold else fonts.PLAIN
    return fonts.width(known, size, weight) + size * (len(seen) - len(known))


def foreign(text: str, longest: float, size: float = SIZE, *, bold: bool = False) -> str:
    """A name of others: all of it in sight, no wider than it may be, turning nothing round."""
    shown = visible(text).strip(_ISOLATES)[:_LONGEST]
    if reach(shown, size, bold=bold) > longest:
        ends = range(1, len(shown) + 1)  # the more letters, the wider
        kept = bisect_right(ends, longest, key=lambda k: reach(f"{shown[:k]}…", size, bold=bold))
        shown = shown[:kept].rstrip() + "…"
    return visible(shown)


def _filled(paint: str, opacity: float = 1.0) -> str:
    more = "" if opacity == 1.0 else f' fill-opacity="{number(opacity)}"'
    if paint.startswith("#"):
        return f' fill="{paint}"{more}'
    return f' class="{paint}" fill="{COLOURS[paint]}"{more}'


def _stroked(paint: str, width: float, dash: str) -> str:
    more = "" if width == 1.0 else f' stroke-width="{number(width)}"'
    more += f' stroke-dasharray="{dash}"' if dash else ""
    if paint.startswith("#"):
        return f' stroke="{paint}"{more}'
    return f' class="{paint}" stroke="{COLOURS[paint]}"{more}'


def _listed(points: Sequence[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _sized(x: float, y: float, wide: float, high: float) -> str:
    sides = zip(("x", "y", "width", "height"), (x, y, wide, high), strict=True)
    return "".join(f' {name}="{number(v)}"' for name, v in sides)


def _round(at: Point, radius: float) -> str:
    return f' cx="{number(at[0])}" cy="{number(at[1])}" r="{number(radius)}"'
