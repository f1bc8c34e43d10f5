"""A still written where it was asked for: a PNG, a folder of layers, or bodies as glTF."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pipeline.arrange import shown
from pipeline.ball import Ball
from pipeline.caption import caption_of
from pipeline.errors import OutputError
from pipeline.folder import whole_file, whole_folder
from pipeline.listing import list_files
from pipeline.manifest import identity
from pipeline.picture import PLAIN_STYLE, Style, draw_view, drawn, png_of, scene_by, scene_layers
from pipeline.polar_map import MAPS
from pipeline.scene_glb import write_scene
from pipeline.wish import Wish


def write_still_to(
    target: Path,
    ball: Ball,
    view: str,
    style: Style,
    wish: Wish,
    beside: Sequence[Ball] = (),
    *,
    layers: bool = False,
    words: bool = False,
) -> tuple[Path, ...]:
    """Write a view of a ball, whole or not at all.

    Args:
        target: a .png or .glb file, or with layers a folder.
        ball: what is shown.
        view: one of `every_view()`.
        style: how it is made.
        wish: what else is asked of the view.
        beside: the other balls, for views that show several.
        layers: whether to write every layer as a PNG of its own.
        words: whether to write what is shown in words, too, as a text file beside the picture.

    Returns:
        What was written.

    Raises:
        OutputError: no such picture can be made, or the target cannot be written.
    """
    ending = target.suffix.lower()
    if not layers and ending not in (".png", ".glb"):
        raise OutputError(
            f"{target}: a picture is a PNG file, and bodies are a GLB file; give a name that ends "
            "in .png or .glb, or --layers for a folder"
        )
    if view in MAPS:
        if layers or words or ending != ".png":
            raise OutputError(f"the view '{view}' is a flat map: it is written as a PNG, no more")
        with whole_file(target) as path:
            path.write_bytes(draw_view(ball, view, style, wish, beside))
        return (target,)
    if ending == ".glb" and not layers and style != PLAIN_STYLE:
        raise OutputError(
            f"{target}: a GLB file holds bodies, which have no size in px, look, words or "
            "background: leave those options out"
        )
    scene = scene_by(ball, view, wish, beside)
    said = caption_of(shown(scene, style.page))
    if layers:
        with whole_folder(target, "picture") as work:
            for name, image in scene_layers(scene, style).items():
                (work.path / f"{name}.png").write_bytes(png_of(image))
            if words:
                (work.path / "caption.txt").write_text(
                    caption_of(shown(scene, style.page)), encoding="utf-8"
                )
            list_files(work.path, "picture", {"design": identity(ball), "view": view})
        return (target,)
    with whole_file(target) as path:
        if ending == ".glb":
            write_scene(scene, path)
        else:
            path.write_bytes(drawn(scene, style))
    if not words:
        return (target,)
    text = target.with_suffix(".txt")
    with whole_file(text) as path:
        path.write_bytes(said.encode())
    return target, text
