"""A storyboard made: one folder of clips and stills, a contact sheet and talking points.

Shots that are done are kept beside the target until all are, so that a killed run goes on.
"""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TypeVar

import numpy as np
from PIL import Image

from pipeline.arrange import Page, shown
from pipeline.ball import Ball, build_ball
from pipeline.caption import caption_of
from pipeline.contact_sheet import Thumb, contact_sheet
from pipeline.errors import OutputError
from pipeline.film import Film, captions_of, check_film, frames_of, shoot_film
from pipeline.folder import check_target, whole_file, whole_folder
from pipeline.listing import list_files
from pipeline.load import load
from pipeline.looks import LOOKS
from pipeline.manifest import identity
from pipeline.moves import check_take, take_of
from pipeline.picture import (
    Style,
    check_size,
    check_view,
    draw_view,
    flattened,
    png_of,
    scene_by,
    scene_layers,
)
from pipeline.polar_map import MAPS
from pipeline.storyboard import ShotPlan, Storyboard
from pipeline.storyboard_fields import refused
from pipeline.take import Caption, Take
from pipeline.talking_points import as_markdown, points_of
from pipeline.unfinished import begun, end
from pipeline.weigh import weigh

_OTHER = "another storyboard (another design, other shots, or another release of Corewright)"
_THUMB = 640  # px of a clip's frame on the contact sheet
_T = TypeVar("_T")
Told = Callable[[str, int, int], None]


def make_storyboard(
    board: Storyboard, target: Path, told: Told = lambda _name, _a, _b: None
) -> tuple[str, ...]:
    """Make all shots of a storyboard into one folder, whole or not at all.

    Args:
        board: the storyboard.
        target: the folder.
        told: called with the shot's name, and the frames of it done and those there are.

    Returns:
        The files of the shots, in order.

    Raises:
        DesignError, BallError: a design cannot be used.
        DesignError: a shot cannot be made; with its place in the storyboard.
        OutputError: the folder cannot be written.
    """
    check_target(target, "storyboard")
    balls = {name: build_ball(load(board.folder / name)) for name in _named(board)}
    for k, shot in enumerate(board.shots, 1):
        _with_place(board, k, shot, partial(_check, shot, balls[board.design], target))
    with begun(target, _said(board, balls), _OTHER) as place:
        thumbs = [
            _with_place(board, k, shot, partial(_made, shot, balls, board, place, told))
            for k, shot in enumerate(board.shots, 1)
        ]
    ball = balls[board.design]
    with whole_folder(target, "storyboard") as work:
        for path in sorted(place.iterdir()):
            own = path.name == "plan.json" or path.name.startswith(".")
            if not own and not path.name.endswith(".thumb.png"):
                (shutil.copytree if path.is_dir() else shutil.copyfile)(path, work.path / path.name)
        title = f"{ball.design.name}, revision {ball.design.revision}"
        (work.path / "contact-sheet.png").write_bytes(contact_sheet(title, thumbs))
        earlier = balls[board.earlier] if board.earlier else None
        points = as_markdown(points_of(ball, weigh(ball), earlier))
        (work.path / "talking-points.md").write_bytes(points.encode())
        (work.path / "storyboard.yaml").write_bytes(board.source)
        list_files(work.path, "storyboard", {"design": identity(ball)})
    end(target)
    return tuple(shot.file for shot in board.shots)


def _with_place(board: Storyboard, number: int, shot: ShotPlan, work: Callable[[], _T]) -> _T:
    """Do some work of a shot; what is wrong is told with the shot's place in the storyboard."""
    try:
        return work()
    except OutputError as error:
        raise refused(board.file, shot.line, number, error) from error


def _named(board: Storyboard) -> list[str]:
    """The design files that a storyboard names, each once."""
    beside = [name for shot in board.shots for name in shot.beside]
    return list(dict.fromkeys(n for n in (board.design, board.earlier, *beside) if n))


def _said(board: Storyboard, balls: dict[str, Ball]) -> dict[str, object]:
    return {
        "storyboard": hashlib.sha256(board.source).hexdigest(),
        "designs": {name: ball.design.hashes() for name, ball in balls.items()},
        "version": version("corewright"),
    }


def _check(shot: ShotPlan, ball: Ball, target: Path) -> None:
    if shot.move:
        check_film(_film(shot), target / shot.file)
        check_take(ball, shot.move, shot.view, shot.wish)
    else:
        check_size(shot.size)
        check_view(ball, shot.view, shot.wish, len(shot.beside))


def _made(
    shot: ShotPlan, balls: dict[str, Ball], board: Storyboard, place: Path, told: Told
) -> Thumb:
    """Make a shot, unless it is there; and what stands for it on the contact sheet."""
    ball = balls[board.design]
    thumb = place / f"{shot.stem}.thumb.png"
    if not thumb.is_file():
        if shot.move:
            image = _clip(shot, ball, place, told)
        else:
            told(shot.stem, 0, 1)
            image = _still(shot, ball, [balls[name] for name in shot.beside], place)
            told(shot.stem, 1, 1)
        with whole_file(thumb) as path:  # last, so that it says that the shot is whole
            path.write_bytes(png_of(image))
    with Image.open(thumb) as found:
        return Thumb(found.copy(), shot.file, _says(shot))


def _says(shot: ShotPlan) -> str:
    if not shot.move:
        return f"{shot.view}, {shot.size[0]} x {shot.size[1]}"
    film = _film(shot)
    filmed = f" of {shot.view}" if shot.view else ""
    return (
        f"{shot.move}{filmed}, {film.lasts_s:g} s, {shot.size[0]} x {shot.size[1]}, {shot.fps} fps"
    )


def _film(shot: ShotPlan) -> Film:
    return Film(
        shot.move, shot.view, shot.seconds, shot.fps, shot.size, LOOKS[shot.look],
        Page(shot.card, shot.labels, safe=True), shot.transparent, shot.wish,
    )  # fmt: skip


def _clip(shot: ShotPlan, ball: Ball, place: Path, told: Told) -> Image.Image:
    film = _film(shot)
    done = place / shot.file
    take: Take | None = None
    if not done.exists():
        take = shoot_film(ball, film, done, lambda a, b: told(shot.stem, a, b))
    take = take or take_of(ball, film.move, film.view, film.wish)
    own = (Caption(0.0, 1.0, shot.caption),) if shot.caption else take.captions
    with whole_file(place / f"{shot.stem}.vtt") as path:
        path.write_bytes(captions_of(own, film).encode())
    index = round(take.poster * (film.clip.frames - 1))
    frame = np.array(next(iter(frames_of(take, film, [index]))))
    image = Image.fromarray(frame, "RGBA")
    image.thumbnail((_THUMB, _THUMB), Image.Resampling.LANCZOS)
    return image if film.transparent else image.convert("RGB")


def _still(shot: ShotPlan, ball: Ball, beside: list[Ball], place: Path) -> Image.Image:
    style = Style(
        shot.size, LOOKS[shot.look], Page(shot.card, shot.labels, safe=True), shot.transparent
    )
    words = shot.caption
    with whole_file(place / shot.file) as path:
        if shot.view in MAPS:
            path.write_bytes(draw_view(ball, shot.view, Style(shot.size), shot.wish, beside))
        else:
            scene = scene_by(ball, shot.view, shot.wish, beside)
            layers = scene_layers(scene, style)
            path.write_bytes(png_of(flattened(layers, style)))
            words = words or caption_of(shown(scene, style.page)).strip()
            if shot.layers:
                _write_layers(layers, place / f"{shot.stem}-layers")
    if words:
        with whole_file(place / f"{shot.stem}.txt") as path:
            path.write_bytes((words + "\n").encode())
    with Image.open(place / shot.file) as found:
        image = found.copy()
    image.thumbnail((_THUMB, _THUMB), Image.Resampling.LANCZOS)
    return image


def _write_layers(layers: dict[str, Image.Image], folder: Path) -> None:
    folder.mkdir(exist_ok=True)
    for name, image in layers.items():
        (folder / f"{name}.png").write_bytes(png_of(image))
