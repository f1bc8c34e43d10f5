"""A small scene written by hand, so that layout and painting are tried without a ball."""

from __future__ import annotations

import numpy as np

from pipeline.scene import INK, Axis, Camera, Entry, Label, Mark, Scene, Surface

RADIUS_MM = 100.0
LOW = Axis("low", np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 120.0]]), "solid", 1, "#1B7F79")
MIDDLE = Axis("intermediate", np.array([[0, 0, 0], [120.0, 0, 0]]), "dashed", 1, "#8A6D1D")
HIGH = Axis("high", np.array([[0.0, 0.0, 0.0], [0.0, 120.0, 0.0]]), "double", 1, "#B3355A")
FLAT = Surface(  # a square that faces +X
    np.array([[0.0, -50, -50], [0, 50, -50], [0, 50, 50], [0, -50, 50]]),
    np.tile([1.0, 0.0, 0.0], (4, 1)),
    np.array([[0, 1, 2], [0, 2, 3]]),
    "#B5482A",
    "cut",
    0,
    "core",
)


def plain_scene() -> Scene:
    return Scene(
        name="Plain",
        revision="A",
        figures=(("ball weight", "15.00 lb", ""), ("low RG", "2.500 in", "medium")),
        legend=(
            Entry("#B5482A", "core", "2.000", "5.00", True),
            Entry("#1F4E5F", "cover", "1.100", "10.00", False),
        ),
        notes=("A sentence for the foot.",),
        camera=Camera(0.0, 0.0),
        surfaces=(FLAT,),
        axes=(LOW, HIGH),
        marks=(Mark("cg", np.zeros(3), False),),
        labels=(
            Label(LOW.path_mm[1], ("low RG 2.500 in",), LOW.colour),
            Label(HIGH.path_mm[1], ("high RG 2.550 in", "any direction"), HIGH.colour),
            Label(np.zeros(3), ("CG", "at the ball's centre"), INK),
        ),
        reach_mm=RADIUS_MM,
        floor_mm=None,
    )
