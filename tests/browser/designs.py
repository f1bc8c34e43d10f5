"""The designs whose dossiers are opened: two that ship, and two that a page must withstand."""

from __future__ import annotations

import json
from pathlib import Path

from pipeline.design import Design
from pipeline.load import load, read_design
from pipeline.shipped import shipped

OVERRIDE = "\u202e"  # turns the direction of writing round
HEBREW = "\u05e9\u05dc\u05d5\u05dd"
BALL = f"</title><script>window.hit=1</script>\"'& {HEBREW} {OVERRIDE}<b>"
CORE = "<img src=x onerror=window.hit=2> \"core\" & 'x'"
OUTER = f"</script><!-- {HEBREW} {OVERRIDE}tern"
COVER = "</svg></section><style>*{display:none}</style>"
CLAY = '"><b onclick="window.hit=3">clay</b>'
SHELL = "' style='position:fixed' &lt;{{7*7}}&amp;"
HOLE = f'"><svg onload=window.hit=4>{OVERRIDE}thumb'
NOTE = f"<iframe src=https://example.invalid></iframe> {OVERRIDE} & \"'"

_ = json.dumps  # a JSON text is a YAML text
HOSTILE = f"""\
format: corewright 1
name: {_(BALL)}
revision: {_("<i>A</i>")}
date: 2026-11-25
units: in
ball: {{diameter: 8.55}}
materials:
  {_(CLAY)}: {{density: 2.3}}
  {_(SHELL)}: {{density: 1.1}}
parts:
  - {{name: {_(CORE)}, material: {_(CLAY)}, shape: ellipsoid, size: [3.2, 4.2, 4.9],
     tilt: {{by: 12, toward: 200}}, move: [0.1, -0.05, 0.2], note: {_(NOTE)}}}
  - {{name: {_(OUTER)}, material: {_(SHELL)}, shape: sphere, diameter: 7.05}}
  - {{name: {_(COVER)}, material: {_(SHELL)}, shape: sphere, diameter: 8.55}}
notes: [{_(NOTE)}]
process:
  owner: {_(BALL)}
  number: {_(NOTE)}
drilling:
  holes:
    - {{name: {_(HOLE)}, use: thumb, at: {{arc: 6.75 in, azimuth: 30 deg}},
       diameter: 1.0, depth: 2.5}}
"""

_PUCKS = ((0.9, 0.0, 0.8), (-0.9, 0.0, 0.8), (0.0, 0.9, -0.8), (0.0, -0.9, -0.8))
TWELVE = "".join(
    [
        """\
format: corewright 1
name: Turnstone
revision: T
date: 2026-11-25
units: in
ball: {diameter: 8.55}
materials: {ballast: {density: 3.0}, clay: {density: 1.9}, shell: {density: 1.1}}
parts:
""",
        *(
            f"  - {{name: {name} disc, material: ballast, shape: cylinder, diameter: 1.2, "
            f"height: 0.4, move: [0, 0, {z}]}}\n"
            for name, z in (("upper", 2.2), ("lower", -2.2))
        ),
        *(
            f"  - {{name: {name} ring, material: ballast, shape: ring, diameter: 3.6, "
            f"inner_diameter: 2.8, height: 0.35, round: 0, move: [0, 0, {z}]}}\n"
            for name, z in (("upper", 1.5), ("middle", 0), ("lower", -1.5))
        ),
        *(
            f"  - {{name: puck {k}, material: ballast, shape: cylinder, diameter: 0.7, "
            f"height: 0.5, move: [{x}, {y}, {z}]}}\n"
            for k, (x, y, z) in enumerate(_PUCKS, 1)
        ),
        """\
  - {name: inner core, material: clay, shape: cylinder, diameter: 4.3, height: 5.4}
  - {name: outer core, material: shell, shape: sphere, diameter: 7.05}
  - {name: cover, material: shell, shape: sphere, diameter: 8.55}
""",
    ]
)
NAMES = ("dunlin", "turnstone-drilled", "hostile", "twelve", "fine")


def design_file(name: str) -> Path:
    """The file of a design that ships."""
    return shipped(name)


def design_of(name: str) -> Design:
    """A design by the name of its page; the fine page is Dunlin's."""
    texts = {"hostile": HOSTILE, "twelve": TWELVE}
    if name in texts:
        return read_design(texts[name], f"{name}.yaml")
    return load(design_file("dunlin" if name == "fine" else name))
