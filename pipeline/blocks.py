"""The words beside the ball, a block each: title, figures, legend, notes."""

from __future__ import annotations

from pipeline import fonts
from pipeline.fonts import BOLD, PLAIN
from pipeline.scene import FAINT, INK, Scene
from pipeline.sheet import LINE, SMALL, Band, Block, Box, Swatch, Words


def title(scene: Scene, em: float, widest: float) -> Block:
    """The ball's name, and its revision below."""
    big, called = 2.1 * em, fonts.written(scene.name)
    while big > 1.3 * em and fonts.width(called, big, BOLD) > widest:
        big -= 0.1 * em
    name = Words((0, 0), fonts.shortened(called, widest, big, BOLD), big, BOLD)
    if not scene.revision:
        return Block(name.box.width, LINE * big, (name,))
    revision = fonts.shortened(f"revision {fonts.written(scene.revision)}", widest, em)
    below = Words((0, LINE * big), revision, em, PLAIN, FAINT)
    return Block(max(name.box.width, below.box.width), LINE * (big + em), (name, below))


NOTHING = Block(0.0, 0.0, ())


def figures(scene: Scene, em: float) -> Block:
    """A table: names, figures set to the right, and the trade's words for some of them."""
    if not scene.figures:
        return NOTHING
    small = SMALL * em
    left = max(fonts.width(name, em) for name, _, _ in scene.figures)
    right = max(fonts.width(value, em, BOLD) for _, value, _ in scene.figures)
    end = left + 1.2 * em + right
    last = max(fonts.width(word, small) for *_, word in scene.figures)
    words = []
    for row, (name, value, word) in enumerate(scene.figures):
        y = row * LINE * em
        words.append(Words((0, y), name, em, PLAIN, FAINT))
        words.append(Words((end - fonts.width(value, em, BOLD), y), value, em, BOLD))
        if word:
            words.append(Words((end + 0.5 * em, y + 0.21 * em), word, small, PLAIN, FAINT))
    wide = end + (0.5 * em + last if last else 0.0)
    return Block(wide, len(scene.figures) * LINE * em, tuple(words))


def ramp(scene: Scene, em: float, widest: float) -> Block:
    """What the colours of a map stand for: their name, the colours, the least and the greatest."""
    if scene.ramp is None:
        return NOTHING
    small, wide = SMALL * em, min(widest, 13.0 * em)
    top, thick = LINE * small + 0.25 * em, 0.8 * em
    least, most = scene.ramp.ends
    below = top + thick + 0.15 * em
    words = (
        Words((0, 0), scene.ramp.name, small, PLAIN, FAINT),
        Words((0, below), least, small),
        Words((wide - fonts.width(most, small), below), most, small),
    )
    wide = max(wide, words[0].box.width)
    band = Band(Box(0.0, top, min(wide, 13.0 * em), top + thick), scene.ramp.colours)
    return Block(wide, below + LINE * small, words, (), (band,))


def legend(scene: Scene, em: float, widest: float, least: float = 0.0) -> Block:
    """A line a part: swatch, name, density, mass."""
    if not scene.legend:
        return NOTHING
    small, high = SMALL * em, LINE * em
    density = max(fonts.width("g/cm³", small), *(fonts.width(e.density, em) for e in scene.legend))
    mass = max(fonts.width("lb", small), *(fonts.width(e.mass, em) for e in scene.legend))
    start = 1.5 * em
    figures = density + mass + 2.4 * em
    hidden = [fonts.written(e.name) + ("" if e.seen else " (not seen)") for e in scene.legend]
    name = max(*(fonts.width(n, em) for n in hidden), least - start - figures)
    name = min(name, widest - start - figures)
    at_density, at_mass = start + name + 1.2 * em + density, start + name + figures
    words = [
        Words((0, 0), "part", small, PLAIN, FAINT),
        _right(at_density, 0, "g/cm³", small, FAINT),
        _right(at_mass, 0, "lb", small, FAINT),
    ]
    swatches = []
    for row, entry in enumerate(scene.legend):
        y = (row + 1) * high
        words += [
            Words((start, y), fonts.shortened(hidden[row], name, em), em),
            _right(at_density, y, entry.density, em, INK),
            _right(at_mass, y, entry.mass, em, INK),
        ]
        patch = Box(0.0, y + 0.22 * em, 0.95 * em, y + 1.17 * em)
        swatches.append(Swatch(patch, entry.colour, not entry.seen))
    return Block(at_mass, (len(scene.legend) + 1) * high, tuple(words), tuple(swatches))


def _right(x: float, y: float, text: str, em: float, colour: str) -> Words:
    return Words((x - fonts.width(text, em), y), text, em, PLAIN, colour)


def notes(scene: Scene, em: float, widest: float) -> Block:
    """The sentences at the foot, broken into lines."""
    small = SMALL * em
    lines = [line for note in scene.notes for line in fonts.wrapped(note, widest, small)]
    words = tuple(
        Words((0, k * LINE * small), line, small, PLAIN, FAINT) for k, line in enumerate(lines)
    )
    wide = max((w.box.width for w in words), default=0.0)
    return Block(wide, len(words) * LINE * small, words)
