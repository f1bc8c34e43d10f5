"""A move filmed: its scenes laid out in one frame, rendered, painted and written as a clip."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path

from pipeline.arrange import Page, frame_for, sheet_of, shown
from pipeline.ball import Ball
from pipeline.clip import Clip, check_clip
from pipeline.errors import OutputError
from pipeline.frame_painter import Painter
from pipeline.job import Pixels
from pipeline.looks import SHORE, Look
from pipeline.moves import MOVES, take_of
from pipeline.picture import check_size
from pipeline.reel import write_clip
from pipeline.render import Renderer, job_of
from pipeline.scene import Scene
from pipeline.sheet import Sheet
from pipeline.subtitles import subtitles
from pipeline.take import Caption, Take
from pipeline.wish import AS_IT_SUITS, Wish

LONGEST_S = 120.0
MOST_RENDERERS = 16
_LIBRARIES = ("cadquery-ocp", "numpy", "pyvista", "vtk")  # that a frame may come to hang on
_VIDEO_PAGE = Page(safe=True)


@dataclass(frozen=True)
class Film:
    """What is asked of a film.

    Attributes:
        move: one of MOVES.
        view: what is filmed; empty for what suits the move.
        seconds: how long; None for what suits the move.
        fps: frames per second.
        size: width and height, px.
        look: one of LOOKS.
        page: what stands beside the ball.
        transparent: whether to leave the background out.
        wish: what else is asked of the view.
    """

    move: str = "turntable"
    view: str = ""
    seconds: float | None = None
    fps: int = 30
    size: tuple[int, int] = (1920, 1080)
    look: Look = SHORE
    page: Page = _VIDEO_PAGE
    transparent: bool = False
    wish: Wish = AS_IT_SUITS

    @property
    def lasts_s(self) -> float:
        """How long it lasts, s."""
        return MOVES[self.move].seconds if self.seconds is None else self.seconds

    @property
    def clip(self) -> Clip:
        """The clip that it becomes."""
        frames = max(1, round(self.lasts_s * self.fps))
        return Clip(self.size, self.fps, frames, self.transparent)


def shoot_film(
    ball: Ball,
    film: Film,
    target: Path,
    told: Callable[[int, int], None] = lambda _a, _b: None,
    renderers: int = 1,
) -> Take:
    """Film a ball; killed, it goes on where it was when the same is asked again.

    Args:
        ball: what is filmed.
        film: how.
        target: the file, whose ending says the format, or a folder of pictures.
        told: called with the frames done and those there are.
        renderers: how many processes render; the frames are the same whatever their number.

    Returns:
        The take, with its captions.

    Raises:
        OutputError: the film or the file cannot be; nothing was changed.
        SystemLibraryError: the renderer lacks a library of the system.
    """
    check_film(film, target)
    if not 1 <= renderers <= MOST_RENDERERS:
        raise OutputError(f"{renderers} renderers cannot work; from 1 to {MOST_RENDERERS} can")
    take = take_of(ball, film.move, film.view, film.wish)
    key = {
        "made from": ball.design.hashes(),
        "film": repr(replace(film, seconds=film.lasts_s)),
        "versions": {name: version(name) for name in ("corewright", *_LIBRARIES)},
    }
    write_clip(
        target,
        film.clip,
        key,
        lambda wanted: frames_of(take, film, wanted, renderers),
        told,
        "film",
    )
    return take


def check_film(film: Film, target: Path) -> None:
    """Refuse a film that cannot be, before any work.

    Raises:
        OutputError: says what is allowed.
    """
    if film.move not in MOVES:
        raise OutputError(f"there is no move '{film.move}'; the moves are {', '.join(MOVES)}")
    if not 0.0 < film.lasts_s <= LONGEST_S:
        raise OutputError(
            f"a film of {film.lasts_s:g} s cannot be made; it may last up to {LONGEST_S:.0f} s"
        )
    check_clip(target, film.clip)
    check_size(film.size)


def captions_of(captions: Sequence[Caption], film: Film) -> str:
    """What is said in a film, as WebVTT."""
    return subtitles(captions, film.clip.duration_s)


def frames_of(
    take: Take, film: Film, wanted: Sequence[int], renderers: int = 1
) -> Iterator[Pixels]:
    """Frames by their numbers, in order: shape (h, w, 4), colours and straight alpha.

    While one frame is painted the renderers draw the next.
    """
    shares = take.shares(film.clip.frames)
    frame = frame_for([take.at(share) for share in take.samples], film.size, film.page)
    painter = Painter(film.look, transparent=film.transparent)
    with ExitStack() as stack:
        crew = [stack.enter_context(Renderer()) for _ in range(renderers)]
        waiting: deque[tuple[Scene, Sheet, Renderer]] = deque()
        for k, index in enumerate(wanted):
            scene = shown(take.at(shares[index]), film.page)
            sheet = sheet_of(scene, frame)
            renderer = crew[k % renderers]
            renderer.send(job_of(scene, sheet, film.look))
            waiting.append((scene, sheet, renderer))
            if len(waiting) == renderers + 1:
                yield _painted(painter, *waiting.popleft())
        while waiting:
            yield _painted(painter, *waiting.popleft())


def _painted(painter: Painter, scene: Scene, sheet: Sheet, renderer: Renderer) -> Pixels:
    return painter.paint(scene, sheet, renderer.fetch())
