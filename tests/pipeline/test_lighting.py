"""Light on a sphere against the model's formulas, worked out pixel by pixel in floating point.

Formulas as Walter and others 2007 (GGX), Heitz 2014 (Smith's masking) and Schlick 1994 give them;
from memory.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pipeline.figure_views import sphere_mesh
from pipeline.job import Job
from pipeline.lighting import program
from pipeline.looks import DUSK, SHORE, Lamp
from pipeline.palette import rgb
from pipeline.pours import ROUGHNESS
from pipeline.render import Renderer
from pipeline.scene import Camera, Finish, Surface

SIDE, RADIUS_MM = 240, 50.0
COLOUR = "#B5482A"
POINTS, TRIANGLES = sphere_mesh()


def shot(renderer: Renderer, finish: Finish, lamps: tuple[Lamp, ...]) -> np.ndarray:
    """A sphere that fills five sixths of the picture."""
    ball = Surface(RADIUS_MM * POINTS, POINTS, TRIANGLES, COLOUR, finish)
    job = Job((SIDE, SIDE), 1, Camera(30.0, 20.0), (0.0, 0.0), 60.0, 200.0, "lit", lamps,
              (ball,), ())  # fmt: skip
    renderer.send(job)
    return np.array(renderer.fetch().ball[..., :3], dtype=float)


def due(finish: Finish, lamps: tuple[Lamp, ...]) -> tuple[np.ndarray, np.ndarray]:
    """Which pixels lie well within the sphere, and the colours that they should have."""
    at = (np.arange(SIDE) + 0.5 - SIDE / 2.0) / (SIDE / 120.0) / RADIUS_MM
    x, y = np.meshgrid(at, -at)
    inside = x**2 + y**2 < 0.90
    z = np.sqrt(np.maximum(1.0 - x**2 - y**2, 1e-9))
    normal = np.stack([x, y, z], axis=-1)
    viewer = np.array([0.0, 0.0, 1.0])
    rough = ROUGHNESS["solid"]
    alpha = rough**2
    base = (0.38 / 2.38) ** 2 if finish == "skin" else 0.0
    albedo = np.array(rgb(COLOUR)) ** 2.2
    light = np.zeros((SIDE, SIDE, 3))
    for lamp in lamps:
        way = np.array(lamp.way) / np.linalg.norm(lamp.way)
        middle = (way + viewer) / np.linalg.norm(way + viewer)
        n_l, n_h = np.maximum(normal @ way, 0.0), np.maximum(normal @ middle, 0.0)
        fresnel = base + (min(1.0, 16.5 * base) - base) * (1.0 - way @ middle) ** 5
        spread = alpha**2 / (np.pi * (n_h**2 * (alpha**2 - 1.0) + 1.0) ** 2)
        # masking by the roughness itself, not by its square, as the model's renderer has it
        masked = n_l * np.sqrt(rough**2 + (1.0 - rough**2) * z**2) + z * np.sqrt(
            rough**2 + (1.0 - rough**2) * n_l**2
        )
        shine = fresnel * spread * 0.5 / (masked + 1e-9)
        diffuse = (1.0 - fresnel) * albedo / np.pi
        light += lamp.strength * n_l[..., None] * (diffuse + shine[..., None])
    return inside, 255.0 * np.minimum(light, 1.0) ** (1.0 / 2.2)


@pytest.mark.parametrize("finish", ["skin", "cut"])
@pytest.mark.parametrize("lamps", [SHORE.lamps, DUSK.lamps], ids=["shore", "dusk"])
def test_pixels_have_the_light_of_the_model(finish: Finish, lamps: tuple[Lamp, ...]) -> None:
    """To two levels of 255: the mesh's normals are mixed along flat triangles."""
    with Renderer() as renderer:
        found = shot(renderer, finish, lamps)
    inside, colours = due(finish, lamps)
    assert np.abs(found - colours)[inside].max() <= 2.0


def test_a_lamp_of_no_strength_lights_nothing() -> None:
    with Renderer() as renderer:
        lit = shot(renderer, "cut", SHORE.lamps)
        more = (*SHORE.lamps, replace(SHORE.lamps[0], strength=0.0))
        assert np.array_equal(shot(renderer, "cut", more), lit)


def test_a_surface_without_shine_has_no_word_of_it() -> None:
    assert "masked" not in program(SHORE.lamps, 1.0, 1.0)
