"""The largest error of each comparison with a reference, listed at the end of `pytest -v`."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings

from tests.reference.gaps import Seen

_KEY = "largest errors"

# a machine that has other work to do is no fault of what is tested
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")


@pytest.fixture
def seen(request: pytest.FixtureRequest) -> Seen:
    """Note the error of a comparison, and hand it back to be held against its bound."""
    largest: dict[str, float] = {}
    request.node.user_properties.append((_KEY, largest))

    def note(comparison: str, error: float) -> float:
        largest[comparison] = max(float(error), largest.get(comparison, 0.0))
        return float(error)

    return note


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if terminalreporter.config.option.verbose < 1:
        return
    largest: dict[str, float] = {}
    for outcome in ("passed", "failed"):
        for report in terminalreporter.stats.get(outcome, []):
            for key, found in report.user_properties:
                for comparison, error in found.items() if key == _KEY else ():
                    largest[comparison] = max(error, largest.get(comparison, 0.0))
    if largest:
        terminalreporter.section("largest error of each comparison")
        for comparison in sorted(largest):
            terminalreporter.write_line(f"{largest[comparison]:9.1e}  {comparison}")
