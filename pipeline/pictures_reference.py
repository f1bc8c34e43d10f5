"""The page on views, moves and storyboards, and the storyboard's schema, made from the code."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pipeline.clip import FORMATS
from pipeline.drilled_views import DRILLED_VIEWS
from pipeline.looks import LOOKS
from pipeline.moves import MOVES
from pipeline.picture import VIDEO_SIZES
from pipeline.polar_map import MAPS
from pipeline.reference import rows_of
from pipeline.storyboard_fields import SHOT, STORYBOARD
from pipeline.view_list import SHARED_VIEWS, VIEWS
from pipeline.wish import SAID

_LOOKS = {
    "shore": "daylight on warm paper; the usual one",
    "dusk": "lamps on a dark ground, for screens",
    "ink": "line-work with flat tints on white, for print",
}


def tables() -> Mapping[str, str]:
    """The tables of docs/pictures.md, by the words that stand for them in its text."""
    return {
        "VIEWS": _table(
            ("view", "what it shows", "what it can be asked"),
            [(f"`{name}`", v.says, _takes(v.takes)) for name, v in VIEWS.items()]
            + [(f"`{name}`", v.says, _takes({*v.takes}) + ", `--beside`")
               for name, v in SHARED_VIEWS.items()]
            + [(f"`{name}`", "of a drilled ball: see [drilling](drilling.md)", "")
               for name in (*DRILLED_VIEWS, *MAPS)],
        ),
        "LOOKS": _table(("look", "what it is"), [(f"`{n}`", _LOOKS[n]) for n in LOOKS]),
        "SIZES": _table(
            ("word", "px"), [(f"`{n}`", f"{w} x {h}") for n, (w, h) in VIDEO_SIZES.items()]
        ),
        "MOVES": _table(
            ("move", "what it shows", "views", "seconds"),
            [(f"`{name}`", m.says, ", ".join(f"`{v}`" for v in m.views), f"{m.seconds:g}")
             for name, m in MOVES.items()],
        ),
        "FORMATS": _table(
            ("name ends in", "what it is", "transparent", "frames per second"),
            [(f"`{f.suffix}`" if f.suffix else "nothing", f.name,
              "yes" if f.transparent else "no", ", ".join(str(r) for r in f.rates_fps))
             for f in FORMATS.values()],
        ),
        "STORYBOARD": rows_of(STORYBOARD.keys),
        "SHOT": rows_of(SHOT.keys),
    }  # fmt: skip


def pictures_page(template: str) -> str:
    """The page: its text with every `{{WORD}}` on a line of its own replaced by its table."""
    found = template
    for word, table in tables().items():
        found = found.replace(f"{{{{{word}}}}}\n", table)
    return found


def storyboard_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a storyboard file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Corewright storyboard, format 1",
        **STORYBOARD.schema(),
    }


def _takes(names: Iterable[str]) -> str:
    return ", ".join(f"`{SAID[name]}`" for name in SAID if name in set(names))


def _table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join(f"| {' | '.join(row)} |" for row in lines) + "\n"
