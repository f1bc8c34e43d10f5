"""Our face for a page: no more letters of it than the page has, as a file that a browser reads."""

from __future__ import annotations

import io
from importlib.resources import files

_ALWAYS = "".join(chr(c) for c in range(0x20, 0x7F)) + "\u2212\u00b0\u00b7\u2013\u2014\u2019\u2026"


def face_for(text: str) -> bytes:
    """The face as WOFF 1.0, with both weights; the same letters give the same bytes.

    Args:
        text: every letter that may be shown.
    """
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    options = Options()
    options.layout_features = []
    options.hinting = False
    path = files("pipeline").joinpath("fonts", "SourceSans3.ttf")
    font = TTFont(io.BytesIO(path.read_bytes()), recalcTimestamp=False)
    for table in ("GDEF", "GPOS", "GSUB"):  # no feature is kept, and to read them takes long
        del font[table]
    subsetter = Subsetter(options)
    subsetter.populate(text=_ALWAYS + text)
    subsetter.subset(font)
    font.flavor = "woff"
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()
