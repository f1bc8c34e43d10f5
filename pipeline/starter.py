"""A first design for an engineer to change: commented, and it weighs and makes as it stands."""

from __future__ import annotations

import json

from pipeline.errors import OutputError
from pipeline.load import FORMAT
from pipeline.shipped import DRILLINGS, NAMES, STORYBOARDS, shipped

_STARTER = """\
# A design for Corewright.  Change it, then:   corewright weigh {file}
format: {format}
name: {name}
revision: A
units: in                    # what a bare length means; '21 mm' or '4 5/8 in' work anywhere
ball: {{diameter: 8.55, weight: 15 lb}}

materials:                   # names of your own, densities in g/cm3
  dense: {{density: 2.2}}
  light: {{density: free, from: 0.55, to: 1.60}}   # solved so that the ball weighs ball.weight
  shell: {{density: 1.17}}

parts:                       # inside out: an earlier part keeps its space, the next flows round it
  - name: inner core
    material: dense
    shape: turned            # or sphere, ellipsoid, cylinder, box
    profile:                 # half-section [distance from the axis, height], from bottom to top
      - [0, -2.5]
      - [1.9, -2.5]
      - [2.1, -1.2]
      - {{spline: [[2.2, 0.3], [1.7, 1.6]]}}
      - {{arc: [0, 2.7], through: [1.06, 2.365]}}
    round: 0.2               # fillet at every corner
    move: [0, 0, 0.3]        # x, y, z; also  spin: 30  and  tilt: {{by: 5, toward: 90}}
  - {{name: outer core, material: light, shape: sphere, diameter: 7.05}}
  - {{name: cover, material: shell, shape: sphere, diameter: 8.55}}   # the last part is the ball
"""


def starter(name: str, file: str) -> str:
    """The text of a new design, or of the shipped one when the name is that of one.

    Args:
        name: what the ball is to be called.
        file: the file that it will be written to, named in its first comment.

    Raises:
        OutputError: the name cannot stand in a design.

    >>> starter("Plover", "plover.yaml").splitlines()[1]
    'format: corewright 1'
    """
    if name.lower() in (*NAMES, *DRILLINGS, *STORYBOARDS):
        return shipped(name.lower()).read_text(encoding="utf-8")
    if not name.strip() or not name.isprintable() or len(name) > 80 or name != name.strip():
        raise OutputError(f"'{name}' is no name for a ball: give a word of at most 80 characters")
    plain = name.isascii() and name.replace(" ", "").isalnum() and not name[0].isdigit()
    shown = name if plain else json.dumps(name, ensure_ascii=False)
    return _STARTER.format(format=FORMAT, name=shown, file=file)
