"""Our face for charts: two weights cut from it, since charts cannot use variable fonts."""

from __future__ import annotations

import io
import tempfile
from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from pipeline.fonts import BOLD, PLAIN

FAMILY = "corewright charts"
# Latin, Greek and Cyrillic letters, figures, and the signs that charts need
_LETTERS = [*range(0x20, 0x180), *range(0x370, 0x460), 0x2009, 0x2013, 0x2019, 0x2026, 0x2212]


@lru_cache(maxsize=1)
def family() -> str:
    """The name under which charts find the face, plain and bold."""
    from fontTools import subset
    from fontTools.ttLib import TTFont
    from fontTools.varLib.instancer import instantiateVariableFont
    from matplotlib import font_manager

    options = subset.Options()
    options.layout_features = []
    options.hinting = False
    options.notdef_outline = True
    font = TTFont(io.BytesIO(files("pipeline").joinpath("fonts/SourceSans3.ttf").read_bytes()))
    for table in ("GDEF", "GPOS", "GSUB"):  # no feature is kept, and to read them takes long
        del font[table]
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=_LETTERS)
    subsetter.subset(font)
    small = io.BytesIO()
    font.save(small)
    for weight, called in ((PLAIN, 400), (BOLD, 700)):
        cut = instantiateVariableFont(TTFont(io.BytesIO(small.getvalue())), {"wght": weight})
        path = Path(_folder().name) / f"{weight}.ttf"
        cut.save(path)
        entry = font_manager.FontEntry(fname=str(path), name=FAMILY, weight=called)
        font_manager.fontManager.ttflist.append(entry)
    return FAMILY


@lru_cache(maxsize=1)
def _folder() -> tempfile.TemporaryDirectory[str]:
    """Kept as long as this process; it goes when that ends."""
    return tempfile.TemporaryDirectory(prefix="corewright-")
