"""How a storyboard stands in its YAML file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pipeline.document import Node, decode, parse, read_bytes
from pipeline.errors import DesignError, OutputError, Problem
from pipeline.fields import Bad, ChoiceKind, QuantityKind, Reading, TextKind
from pipeline.looks import LOOKS
from pipeline.moves import MOVES
from pipeline.naming import file_stem
from pipeline.parts import NAME
from pipeline.picture import SIZE, every_view, parse_size
from pipeline.polar_map import MAPS
from pipeline.records import Key, ListKind, Record
from pipeline.storyboard import ShotPlan, Storyboard
from pipeline.units import ANGLE
from pipeline.wish import Wish

FORMAT = "corewright storyboard 1"
_YES = ChoiceKind(("yes", "no"))
_ANGLE = QuantityKind(ANGLE, "deg")
_WORDS = TextKind(r"[^\x00-\x1f\x7f]{1,300}", "a text of one line, at most 300 characters")
_FILE = TextKind(r"[^\x00-\x1f\x7f]{1,200}", "the path of a file")
_SIZE = TextKind(r"[0-9A-Za-z\u00d7]{1,12}", "a size, such as 1920x1080, 1080p, square or upright")
_SECONDS = TextKind(
    r"[0-9]{1,3}(\.[0-9]{1,3})?", "seconds, such as 6 or 2.5", {"minimum": 0, "maximum": 999.999}
)
_FPS = TextKind("24|25|30|60", "24, 25, 30 or 60", {"enum": [24, 25, 30, 60]})
_ENDINGS = ChoiceKind(("mp4", "mov", "webm", "gif", "apng", "png"))

_STYLE = (
    Key("look", ChoiceKind(tuple(LOOKS)), "how it looks", required=False, default="shore"),
    Key("size", _SIZE, "width and height in px, or a name", required=False, default="1080p"),
    Key("fps", _FPS, "frames per second of clips", required=False, default="30"),
)
SHOT = Record(
    "shot",
    "A still, or with a move a clip.",
    (
        Key("name", NAME, "what its files are called, after the number of the shot"),
        Key("view", ChoiceKind(tuple(every_view())), "what is shown", required=False),
        Key("move", ChoiceKind(tuple(MOVES)), "how it moves; without one it is a still",
            required=False),
        Key("seconds", _SECONDS, "how long a clip lasts", required=False),
        Key("ending", _ENDINGS, "what it is written as: mp4, mov, webm, gif or apng; png is a "
            "still, or of a clip a folder of pictures", required=False, default="mp4 or png"),
        *_STYLE,
        Key("toward", _ANGLE, "azimuth of what is cut out", required=False),
        Key("opening", _ANGLE, "angle of what is cut out", required=False),
        Key("faces", ChoiceKind(("hatched", "plain")), "how cut faces are drawn", required=False),
        Key("from", _ANGLE, "azimuth of the viewer", required=False),
        Key("above", _ANGLE, "elevation of the viewer", required=False),
        Key("number", _WORDS, "of what may vary, the one that a morph varies, by its name",
            required=False),
        Key("beside", ListKind(_FILE), "designs of the other balls, for views that show several",
            required=False),
        Key("transparent", _YES, "no background", required=False, default="no"),
        Key("layers", _YES, "also ball, axes, labels and card of a still, each by itself",
            required=False, default="no"),
        Key("card", _YES, "title, figures and parts", required=False, default="yes"),
        Key("labels", _YES, "words at the ball", required=False, default="yes"),
        Key("caption", _WORDS, "your own words; else they are made of the figures", required=False),
    ),
)  # fmt: skip
STORYBOARD = Record(
    "storyboard",
    "Shots of one ball, made into one folder.",
    (
        Key("format", ChoiceKind((FORMAT,)), "the format of this file"),
        Key("design", _FILE, "the ball's design, beside this file"),
        Key("earlier", _FILE, "the design of an earlier ball, to be told apart from",
            required=False),
        *_STYLE,
        Key("shots", ListKind(SHOT), "in the order of the film"),
    ),
)  # fmt: skip

_ALIEN = {  # keys that a shot of a kind cannot heed
    "clip": ("layers", "beside"),
    "still": ("seconds", "fps"),
    "flat map": (
        "layers", "transparent", "look", "card", "labels", "seconds", "fps", "beside"
    ),
}  # fmt: skip


def read_storyboard(path: Path) -> Storyboard:
    """Read a storyboard file.

    Raises:
        DesignError: with every problem of the file.
    """
    data = read_bytes(path)
    node = parse(decode(data, str(path)), str(path))
    reading = Reading()
    found = STORYBOARD.read(node, "", reading)
    if reading.problems or isinstance(found, Bad):
        raise DesignError(str(path), reading.problems)
    lines = [item.line for item in _items(node)]
    problems = _sizes(found, node)
    if problems:
        raise DesignError(str(path), problems)
    common = {key.name: found[key.name] for key in _STYLE if key.name in found}
    shots = []
    for k, (keys, line) in enumerate(zip(found["shots"], lines, strict=True), 1):
        try:
            shots.append(_shot(k, {**common, **keys}, line, keys))
        except OutputError as error:
            problems += refused(str(path), line, k, error).problems
    if problems:
        raise DesignError(str(path), problems)
    return Storyboard(found["design"], found.get("earlier", ""), tuple(shots), str(path), data)


def _sizes(found: dict[str, Any], node: Node) -> list[Problem]:
    """A size of all shots that is none, told where it stands."""
    try:
        parse_size(found.get("size", "1080p"))
    except OutputError as error:
        line = node.entries["size"].line  # type: ignore[union-attr]  # it was read as a record
        return [Problem(line, "size", str(error), "")]
    return []


def refused(file: str, line: int, number: int, error: OutputError) -> DesignError:
    """What is wrong with a shot, with its place in the file; shots count from 1."""
    return DesignError(file, [Problem(line, f"shots[{number - 1}]", str(error), "", "")])


def _items(node: Node) -> tuple[Node, ...]:
    shots = node.entries["shots"]  # type: ignore[union-attr]  # it was read as a record
    return tuple(shots.items)  # type: ignore[union-attr]


def _shot(number: int, keys: dict[str, Any], line: int, own: dict[str, Any]) -> ShotPlan:
    move = keys.get("move", "")
    ending = keys.get("ending", "mp4" if move else "png")
    if not move and ending != "png":
        raise OutputError(f"a still is written as png, and {ending} was asked for: give it a move")
    kind = "flat map" if keys.get("view") in MAPS else "clip" if move else "still"
    alien = _ALIEN[kind]
    wrong = [name for name in alien if name in own]
    if wrong:
        raise OutputError(f"a {kind} takes no {wrong[0]}: leave it out")
    return ShotPlan(
        f"{number:02d}-{file_stem(keys['name'])}",
        keys.get("view", "" if move else "cutaway"),
        move,
        float(keys["seconds"]) if "seconds" in keys else None,
        ending,
        keys.get("look", "shore"),
        parse_size(keys["size"]) if "size" in keys else SIZE,
        int(keys.get("fps", "30")),
        Wish(keys.get("toward"), keys.get("opening"), keys.get("faces"), keys.get("from"),
             keys.get("above"), keys.get("number")),
        keys.get("beside", ()),
        keys.get("transparent") == "yes",
        keys.get("layers") == "yes",
        keys.get("card", "yes") == "yes",
        keys.get("labels", "yes") == "yes",
        keys.get("caption", ""),
        line,
    )  # fmt: skip
