"""Mass properties as the CAD kernel's own calls give them, by default and with an oracle's care."""

from __future__ import annotations

import cadquery as cq
import numpy as np
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from shapes.moments import Moments
from tests.reference.gaps import Seen, gaps


def of_kernel(properties: GProp_GProps) -> Moments:
    volume, centre = properties.Mass(), properties.CentreOfMass()
    at = np.array([centre.X(), centre.Y(), centre.Z()])
    matrix = properties.MatrixOfInertia()  # about the centre of mass, products negative
    inertia = np.array([[matrix.Value(i, j) for j in (1, 2, 3)] for i in (1, 2, 3)])
    central = np.trace(inertia) / 2 * np.eye(3) - inertia
    return Moments(volume, volume * at, central + volume * np.outer(at, at))


def by_default(solid: cq.Solid) -> Moments:
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid.wrapped, properties)
    return of_kernel(properties)


def by_gauss_kronrod(solid: cq.Solid) -> Moments:
    """After the tolerance: closed shells only, spans, centre of mass, inertia, sharing."""
    properties = GProp_GProps()
    error = BRepGProp.VolumePropertiesGK_s(
        solid.wrapped, properties, 1e-9, True, False, True, True, False
    )
    assert 0.0 <= error < 1e-8
    return of_kernel(properties)


def assert_agree(seen: Seen, what: str, found: Moments, due: Moments) -> None:
    gap = gaps(found, due)
    assert seen(f"{what}, in of RG", gap.rg_in) <= 1e-8
    assert seen(f"{what}, share of volume", gap.volume) <= 1e-9
