"""The pictures of a dossier: stills of the ball, and maps of where the checks of castings look."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pipeline.arrange import WHOLE_PAGE, lay_out, shown
from pipeline.caption import caption_of
from pipeline.dossier.contents import MESH_MM, Contents
from pipeline.dossier.document import Picture
from pipeline.dossier.drilled_section import DRILLED
from pipeline.dossier.space_section import SPACE
from pipeline.dossier.tooling_section import TOOLING
from pipeline.draft_bands import draft_bands
from pipeline.drilled_views import DRILLED_VIEWS
from pipeline.looks import SHORE
from pipeline.paint import layers_of
from pipeline.picture import flattened, png_of
from pipeline.render import Renderer, job_of
from pipeline.scene import Scene
from pipeline.tool_maps import draft_map, place_map
from pipeline.tooling import Tooling
from pipeline.views import axes, cutaway
from pipeline.weigh import weigh
from pipeline.wish import AS_IT_SUITS

_SIZE = (1120, 752)
_QUALITY, _EFFORT = 88, 3  # of WebP: small words stay sharp
_VIEWS = {"cutaway": cutaway, "axes": axes}
_DRILLED_VIEWS = (("drilled", SPACE), ("bored", DRILLED))

_CAPTIONS = {
    "cutaway": "The ball cut open: a wedge is taken out",
    "axes": "Principal axes through the centre of gravity",
    "drilled": "The drilled ball: holes, grip lines and marks",
    "bored": "A section through the ball's centre and two of its holes",
}


@dataclass(frozen=True, eq=False)
class Taken:
    """A picture and what is told of it.

    Attributes:
        picture: its files.
        row: key, place in the document, caption, alt and SHA-256 of the file in the page.
    """

    picture: Picture
    row: dict[str, Any]


def pictures(found: Contents) -> tuple[Taken, ...]:
    """All pictures, in the order of the document.

    Raises:
        SystemLibraryError: the renderer lacks a library of the system.
        OutputError: it failed otherwise.
    """
    return (*_stills(found), *(() if found.tooling is None else _maps(found.tooling)))


def _stills(found: Contents) -> Iterator[Taken]:
    """Views of the ball, by one renderer."""
    views = [(name, place, scene) for name, place, scene in _scenes(found)]
    with Renderer() as renderer:
        for name, place, scene in views:
            sheet = lay_out(scene, _SIZE)
            renderer.send(job_of(scene, sheet))
            layers = layers_of(scene, sheet, renderer.fetch(), SHORE, ground=True)
            png = png_of(flattened(layers))
            before = found.drilled is not None and name in _VIEWS
            caption = f"{_CAPTIONS[name]}{', before it was drilled' if before else ''}"
            yield _taken(name, place, caption, caption_of(scene).strip(), png)


def _scenes(found: Contents) -> Iterator[tuple[str, str, Scene]]:
    ball = found.ball
    if found.drilled is not None:
        for name, place in _DRILLED_VIEWS:
            yield name, place, shown(DRILLED_VIEWS[name](found.drilled), WHOLE_PAGE)
    properties = found.properties if found.drilled is None else weigh(ball)
    for name, view in _VIEWS.items():
        scene = view(ball, properties, AS_IT_SUITS, fine=MESH_MM)  # as the page shows it in space
        yield name, SPACE, shown(scene, WHOLE_PAGE)


def _maps(tooling: Tooling) -> Iterator[Taken]:
    """Draft of the core, and draft and places of every casting with a check that does not pass."""
    name = tooling.ball.design.name
    cores = [part.name for part in tooling.ball.parts if part.role in ("inner core", "insert")]
    for tool, out in zip(tooling.tools, tooling.out, strict=True):
        casting = tool.casting.name
        if casting not in cores and not _open(tooling, casting):
            continue
        number = 1 + [one.name for one in tooling.castings].index(casting)
        bands = draft_bands(tool, out)
        spread = "; ".join(
            f"{word}: {share}" for word, share in zip(bands.words, bands.shares, strict=True)
        )
        yield _taken(
            f"draft-{number}", TOOLING, f"Draft of {casting}",
            f"Draft all over {casting}, by share of its area: {spread}.",
            draft_map(name, tool, out, bands),
        )  # fmt: skip
    for number, one in enumerate(tooling.measured, 1):
        casting = one.casting.name
        if not _open(tooling, casting):
            continue
        own = [check for check in tooling.checks if check.casting == casting]
        looked = ", ".join(c.finding.rule for c in own if c.place_mm is not None)
        yield _taken(
            f"places-{number}", TOOLING, f"Where the checks of {casting} look",
            f"{casting} from two sides, with the places of these checks: {looked or 'none'}.",
            place_map(name, one, own),
        )  # fmt: skip


def _open(tooling: Tooling, casting: str) -> bool:
    """Whether any check of a casting does not pass."""
    own = [check for check in tooling.checks if check.casting == casting]
    return any(check.finding.verdict != "pass" for check in own)


def _taken(key: str, place: str, caption: str, alt: str, png: bytes) -> Taken:
    """A picture in both of its forms."""
    from PIL import Image

    with Image.open(io.BytesIO(png)) as image:
        out = io.BytesIO()
        image.convert("RGB").save(out, "WEBP", quality=_QUALITY, method=_EFFORT)
        picture = Picture(key, png, out.getvalue(), *image.size)
    row = {
        "key": key,
        "place": place,
        "caption": caption,
        "alt": alt,
        "width_px": picture.width_px,
        "height_px": picture.height_px,
        "sha256": hashlib.sha256(picture.webp).hexdigest(),
    }
    return Taken(picture, row)
