"""Where the spans of rational splines are cut."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from OCP.Geom import Geom_Circle
from OCP.GeomConvert import GeomConvert
from OCP.gp import gp_Ax2

from shapes.surfaces import even_spans, spans_of_curve

LINE = np.array([0.0, 0.0, 1.0, 2.0, 2.0])


@pytest.mark.parametrize(
    ("weight", "pieces"), [(1.0, 1), (0.66, 1), (0.5, 2), (0.3, 3), (1e-9, 16)]
)
def test_a_span_is_cut_the_oftener_the_more_its_weights_differ(weight: float, pieces: int) -> None:
    spans = even_spans(LINE, 1, np.array([[1.0], [weight], [weight]]))
    assert spans == pytest.approx([*np.linspace(0.0, 1.0, pieces + 1), 2.0])


def test_a_loop_is_cut_from_seam_to_seam_and_stays_a_loop() -> None:
    """The kernel writes a circle as three spans of 120 degrees, with weights 1, 1/2, 1."""
    loop = GeomConvert.CurveToBSplineCurve_s(Geom_Circle(gp_Ax2(), 3.0))
    assert loop.IsPeriodic()
    assert spans_of_curve(loop) == pytest.approx(np.linspace(0.0, 2.0 * pi, 7))
    assert loop.IsPeriodic()
