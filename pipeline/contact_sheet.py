"""All shots of a folder on one sheet, each with its name and what it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PIL import Image

from pipeline import fonts
from pipeline.brush import write
from pipeline.fonts import BOLD
from pipeline.looks import SHORE
from pipeline.picture import png_of
from pipeline.scene import FAINT, INK
from pipeline.sheet import LINE, Words

_COLUMNS, _WIDE, _HIGH, _MARGIN, _EM = 3, 480, 300, 28, 17.0


@dataclass(frozen=True, eq=False)
class Thumb:
    """A shot as it stands on the sheet: a picture, its file, and what it is."""

    image: Image.Image
    file: str
    says: str


def contact_sheet(title: str, thumbs: Sequence[Thumb]) -> bytes:
    """A PNG with the shots in rows, in order."""
    rows = -(-len(thumbs) // _COLUMNS)
    cell = _HIGH + 2.6 * LINE * _EM
    top = _MARGIN + 2.0 * LINE * _EM
    size = (_COLUMNS * (_WIDE + _MARGIN) + _MARGIN, int(top + rows * cell + _MARGIN))
    sheet = Image.new("RGBA", size, SHORE.paper)
    wide = size[0] - 2.0 * _MARGIN
    head = fonts.shortened(fonts.written(title), wide, 1.5 * _EM, BOLD)
    write(sheet, Words((_MARGIN, 0.7 * _MARGIN), head, 1.5 * _EM, BOLD), SHORE)
    for k, thumb in enumerate(thumbs):
        left = _MARGIN + (k % _COLUMNS) * (_WIDE + _MARGIN)
        upper = top + (k // _COLUMNS) * cell
        small = thumb.image.convert("RGBA")
        small.thumbnail((_WIDE, _HIGH), Image.Resampling.LANCZOS)
        at = (left + (_WIDE - small.width) // 2, int(upper + (_HIGH - small.height) / 2))
        sheet.alpha_composite(small, at)
        below = upper + _HIGH + 0.3 * _EM
        for line, (text, colour, weight) in enumerate(
            ((thumb.file, INK, BOLD), (thumb.says, FAINT, fonts.PLAIN))
        ):
            text = fonts.shortened(fonts.written(text), _WIDE, _EM, weight)
            at_line = (float(left), below + line * LINE * _EM)
            write(sheet, Words(at_line, text, _EM, weight, colour), SHORE)
    return png_of(sheet.convert("RGB"))
