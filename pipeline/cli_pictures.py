"""The commands that show a ball: stills, clips, and folders of both."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from pipeline.cli_words import DesignFile, progress

if TYPE_CHECKING:
    from pipeline.arrange import Page
    from pipeline.wish import Wish

Look = Annotated[str, typer.Option(help="shore, on paper; dusk, on a dark ground; ink, line-work")]
Size = Annotated[
    str, typer.Option(help="width x height in px, or 1080p, 1440p, 4K, square or upright")
]
Clear = Annotated[bool, typer.Option("--transparent", help="no background")]
Toward = Annotated[float | None, typer.Option(help="azimuth of what is cut out, deg")]
Opening = Annotated[float | None, typer.Option(help="angle of what is cut out, deg")]
Faces = Annotated[str, typer.Option(help="cut faces: hatched or plain")]
From = Annotated[float | None, typer.Option("--from", help="azimuth of the viewer, deg")]
Above = Annotated[float | None, typer.Option(help="elevation of the viewer, deg")]
LeaveOut = Annotated[str, typer.Option(help="card, labels, or both with a comma")]
Captions = Annotated[
    bool, typer.Option("--captions", help="also a file of what is shown, in words")
]


def add(app: typer.Typer) -> None:
    """Give the command line these commands."""
    for command in (picture, film, storyboard):
        app.command()(command)


def picture(
    file: DesignFile,
    out: Annotated[
        Path, typer.Option(help="the .png to write; .glb for bodies; with --layers a folder")
    ],
    view: Annotated[
        str, typer.Option(help="what to show; a name that there is not gives the list of them")
    ] = "cutaway",
    beside: Annotated[
        list[Path] | None, typer.Option(help="another design, for views that show several")
    ] = None,
    size: Size = "",
    look: Look = "shore",
    transparent: Clear = False,
    toward: Toward = None,
    opening: Opening = None,
    faces: Faces = "",
    viewer: From = None,
    above: Above = None,
    leave_out: LeaveOut = "",
    safe: Annotated[
        bool, typer.Option("--safe-margins", help="words keep clear of the edges")
    ] = False,
    layers: Annotated[
        bool, typer.Option("--layers", help="ball, axes, labels and card, each by itself")
    ] = False,
    captions: Captions = False,
) -> None:
    """A still, such as a cutaway with axes."""
    from pipeline.ball import build_ball
    from pipeline.load import load
    from pipeline.looks import look_named
    from pipeline.picture import Style, parse_size
    from pipeline.stills import write_still_to
    from pipeline.view_list import VIEWS

    style = Style(
        parse_size(size) if size else None,
        look_named(look),
        _page(leave_out, safe=safe),
        transparent,
    )
    wish = _wish(toward, opening, faces, viewer, above)
    ball = build_ball(load(file))
    others = [build_ball(load(path)) for path in beside or ()]
    written = write_still_to(out, ball, view, style, wish, others, layers=layers, words=captions)
    undrilled = ball.design.drilling is not None and view in VIEWS
    note = ": the ball before it is drilled" if undrilled else ""
    typer.echo(f"wrote {' and '.join(str(path) for path in written)}{note}")


def film(
    file: DesignFile,
    out: Annotated[
        Path,
        typer.Option(help="the .mp4, .mov, .webm, .gif or .apng to write, or a folder of pictures"),
    ],
    move: Annotated[
        str,
        typer.Option(
            help="turntable, tumble, opening, apart, spins, morph, or of a drilled ball roll"
        ),
    ] = "turntable",
    view: Annotated[str, typer.Option(help="what is filmed; else what suits the move")] = "",
    seconds: Annotated[
        float | None, typer.Option(help="how long; else what suits the move")
    ] = None,
    fps: Annotated[int, typer.Option(help="frames per second: 24, 25, 30 or 60")] = 30,
    size: Size = "1080p",
    look: Look = "shore",
    transparent: Clear = False,
    toward: Toward = None,
    opening: Opening = None,
    faces: Faces = "",
    viewer: From = None,
    above: Above = None,
    number: Annotated[
        str, typer.Option(help="of what may vary, the one that a morph varies; else all")
    ] = "",
    renderers: Annotated[
        int, typer.Option(help="renderers at work; more than one pays where a GPU has room")
    ] = 1,
    leave_out: LeaveOut = "",
    captions: Captions = False,
) -> None:
    """A clip, such as a turntable.

    Killed, it goes on where it was when the same command is given again.
    """
    from pipeline.ball import build_ball
    from pipeline.film import Film, captions_of, shoot_film
    from pipeline.folder import whole_file
    from pipeline.load import load
    from pipeline.looks import look_named
    from pipeline.picture import parse_size

    asked = Film(
        move, view, seconds, fps, parse_size(size), look_named(look),
        _page(leave_out, safe=True), transparent,
        _wish(toward, opening, faces, viewer, above, number),
    )  # fmt: skip
    ball = build_ball(load(file))
    with progress("frames") as told:
        take = shoot_film(ball, asked, out, told, renderers)
    written = str(out)
    if captions:
        beside = out.with_name(f"{out.stem}.vtt")
        with whole_file(beside) as path:
            path.write_bytes(captions_of(take.captions, asked).encode())
        written = f"{out} and {beside}"
    clip = asked.clip
    typer.echo(f"wrote {written}: {clip.frames} frames, {clip.duration_s:g} s")


def storyboard(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="a storyboard file (YAML)")],
    out: Annotated[Path, typer.Option(help="the folder to write")],
) -> None:
    """A list of shots made into one folder, with a contact sheet and talking points.

    Killed, it goes on where it was when the same command is given again.
    """
    from pipeline.shooting import make_storyboard
    from pipeline.storyboard_fields import read_storyboard

    board = read_storyboard(file)
    with progress("frames") as told:
        made = make_storyboard(board, out, lambda _name, done, of: told(done, of))
    typer.echo(f"wrote {out}: {len(made)} shots; start with {out / 'contact-sheet.png'} and "
               f"{out / 'talking-points.md'}")  # fmt: skip


def _page(leave_out: str, *, safe: bool) -> Page:
    from pipeline.arrange import Page
    from pipeline.errors import OutputError

    left = [word.strip() for word in leave_out.split(",") if word.strip()]
    for word in left:
        if word not in ("card", "labels"):
            raise OutputError(f"'{word}' cannot be left out; what can: card, labels")
    return Page("card" not in left, "labels" not in left, safe)


def _wish(
    toward: float | None, opening: float | None, faces: str, viewer: float | None,
    above: float | None, number: str = "",
) -> Wish:  # fmt: skip
    from pipeline.errors import OutputError
    from pipeline.wish import Wish

    if faces not in ("", "hatched", "plain"):
        raise OutputError(f"faces '{faces}' cannot be drawn; they are hatched or plain")
    shown: Any = faces or None  # which of the two words was checked
    return Wish(toward, opening, shown, viewer, above, number or None)
