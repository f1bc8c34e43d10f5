"""What pulls apart."""

from __future__ import annotations

from pipeline.fit import fit
from pipeline.fit_report import told
from pipeline.pulls import Pull, pulls
from tests.pipeline.searched import FLARED, design


def test_aims_that_pull_apart_are_named() -> None:
    """With one number only, RG and differential cannot both be had: between them it stops."""
    asked = design(
        FLARED,
        "part: inner core, field: height, from: 3.8, to: 5.4",
        """aim:
  low_rg: {value: 2.59, within: 0.001}
  total_differential: {value: 0.02, within: 0.001}
""",
    )
    found = fit(asked, starts=3)
    assert not found.best.met
    assert pulls(found.target, found.best) == (Pull("low RG", "total differential"),)
    assert "low RG against total differential" in told(found)
