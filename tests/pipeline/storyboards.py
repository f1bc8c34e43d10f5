"""A small storyboard and all the mistakes that can be made in it, for its reader and its schema."""

from __future__ import annotations

from dataclasses import dataclass

BOARD = """\
format: corewright storyboard 1
design: dunlin.yaml
shots:
  - {name: the core, view: core}
  - {name: its axes, move: spins}
"""
_SIZES = "allowed: a size, such as 1920x1080, 1080p, square or upright"


@dataclass(frozen=True)
class Mistake:
    """One thing wrong with BOARD.

    Attributes:
        old, new: what is written, and for what.
        place: line and field by which it is told.
        says: what the sentence holds: what was read, what is allowed, what to do.
        of_one_key: whether it can be seen without looking at other keys, as a schema does.
    """

    old: str
    new: str
    place: str
    says: tuple[str, ...]
    of_one_key: bool = True


_CORE, _SPINS = "view: core", "move: spins"
_STILL, _CLIP = "4: shots[0]", "5: shots[1]"
MISTAKES: dict[str, Mistake] = {
    "another format": Mistake(
        "storyboard 1", "storyboard 2", "1: format",
        ("read 'corewright storyboard 2'", "allowed: corewright storyboard 1", "did you mean"),
    ),
    "no format": Mistake(
        "format: corewright storyboard 1\n", "", "1: format",
        ("nothing is there", "allowed: corewright storyboard 1", "it must be there"),
    ),
    "no design": Mistake(
        "design: dunlin.yaml\n", "", "1: design",
        ("nothing is there", "allowed: the path of a file", "it must be there"),
    ),
    "no shots": Mistake(
        BOARD[BOARD.index("shots:") :], "", "1: shots", ("nothing is there", "it must be there"),
    ),
    "shots that are no list": Mistake(
        BOARD[BOARD.index("shots:") :], "shots: {name: the core}\n", "3: shots",
        ("read keys name", "allowed: a list of 1 or more: keys name, view, move"),
    ),
    "an empty list of shots": Mistake(
        BOARD[BOARD.index("shots:") :], "shots: []\n", "3: shots",
        ("read a list of 0", "allowed: a list of 1 or more"),
    ),
    "a shot that is a word": Mistake(
        "{name: the core, view: core}", "the core", "4: shots[0]",
        ("read 'the core'", "allowed: keys name, view, move"),
    ),
    "an unknown key": Mistake(
        "design: dunlin", "looks: dusk\ndesign: dunlin", "2: looks",
        ("read 'looks'", "allowed: keys format, design, earlier", "did you mean 'look'?"),
    ),
    "an unknown key of a shot": Mistake(
        _CORE, "view: core, sise: 4K", "4: shots[0].sise",
        ("read 'sise'", "allowed: keys name, view, move", "did you mean 'size'?"),
    ),
    "no name": Mistake(
        "name: the core, ", "", "4: shots[0].name", ("nothing is there", "it must be there")
    ),
    "a name too long": Mistake(
        "name: the core", f"name: {'x' * 81}", "4: shots[0].name",
        ("read 'xxx", "a name of at most 80 characters"),
    ),
    "an unknown view": Mistake(
        _CORE, "view: corr", "4: shots[0].view",
        ("read 'corr'", "allowed: cutaway, whole", "did you mean 'core'?"),
    ),
    "an unknown move": Mistake(
        _SPINS, "move: spin", "5: shots[1].move",
        ("read 'spin'", "allowed: turntable, tumble", "did you mean 'spins'?"),
    ),
    "an unknown look": Mistake(
        _CORE, "view: core, look: dawn", "4: shots[0].look",
        ("read 'dawn'", "allowed: shore, dusk, ink"),
    ),
    "an unknown look of all": Mistake(
        "shots:\n", "look: shor\nshots:\n", "3: look",
        ("read 'shor'", "allowed: shore, dusk, ink", "did you mean 'shore'?"),
    ),
    "a size with a word too much": Mistake(
        _CORE, "view: core, size: 1080 px", "4: shots[0].size", ("read '1080 px'", _SIZES)
    ),
    "an unknown ending": Mistake(
        _SPINS, "move: spins, ending: avi", "5: shots[1].ending",
        ("read 'avi'", "allowed: mp4, mov, webm, gif, apng, png"),
    ),
    "seconds that are none": Mistake(
        _SPINS, "move: spins, seconds: long", "5: shots[1].seconds",
        ("read 'long'", "allowed: seconds, such as 6 or 2.5"),
    ),
    "seconds below nought": Mistake(
        _SPINS, "move: spins, seconds: -3", "5: shots[1].seconds",
        ("read '-3'", "allowed: seconds, such as 6 or 2.5"),
    ),
    "seconds by the thousand": Mistake(
        _SPINS, "move: spins, seconds: 6000", "5: shots[1].seconds",
        ("read '6000'", "allowed: seconds, such as 6 or 2.5"),
    ),
    "another rate": Mistake(
        _SPINS, "move: spins, fps: 48", "5: shots[1].fps",
        ("read '48'", "allowed: 24, 25, 30 or 60"),
    ),
    "another rate of all": Mistake(
        "shots:\n", "fps: 29.97\nshots:\n", "3: fps",
        ("read '29.97'", "allowed: 24, 25, 30 or 60"),
    ),
    "an angle that is none": Mistake(
        _CORE, "view: half, toward: north", "4: shots[0].toward", ("read 'north'", "allowed: ")
    ),
    "faces that cannot be drawn": Mistake(
        _CORE, "view: half, faces: dotted", "4: shots[0].faces",
        ("read 'dotted'", "allowed: hatched, plain"),
    ),
    "neither yes nor no": Mistake(
        _CORE, "view: core, card: none", "4: shots[0].card", ("read 'none'", "allowed: yes, no")
    ),
    "a file where a list is due": Mistake(
        _CORE, "view: sizes, beside: godwit.yaml", "4: shots[0].beside",
        ("read 'godwit.yaml'", "allowed: a list of 1 or more: the path of a file"),
    ),
    "an empty caption": Mistake(
        _CORE, "view: core, caption: ''", "4: shots[0].caption",
        ("read ''", "a text of one line, at most 300 characters"),
    ),
    "a caption of two lines": Mistake(
        _CORE, 'view: core, caption: "one\\ntwo"', "4: shots[0].caption",
        ("a text of one line, at most 300 characters",),
    ),
    "a still that lasts": Mistake(
        _CORE, "view: core, seconds: 3", _STILL, ("a still takes no seconds: leave it out",), False
    ),
    "a still with a rate": Mistake(
        _CORE, "view: core, fps: 25", _STILL, ("a still takes no fps: leave it out",), False
    ),
    "a still as a video": Mistake(
        _CORE, "view: core, ending: mp4", _STILL,
        ("a still is written as png", "mp4 was asked for", "give it a move"), False,
    ),
    "a clip with layers": Mistake(
        _SPINS, "move: spins, layers: yes", _CLIP, ("a clip takes no layers: leave it out",), False
    ),
    "a clip with others beside": Mistake(
        _SPINS, "move: spins, beside: [godwit.yaml]", _CLIP,
        ("a clip takes no beside: leave it out",), False,
    ),
    "a size that there is not": Mistake(
        _CORE, "view: core, size: large", _STILL, ("'large' is no size", "1920x1080"), False
    ),
    "a size with one number": Mistake(
        _CORE, "view: core, size: 1920", _STILL, ("'1920' is no size", "1920x1080"), False
    ),
}  # fmt: skip
