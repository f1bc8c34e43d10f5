"""Whole commands, as ratios in one run: start-up against an import, `make` in CPU seconds."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from pipeline.shipped import shipped

HELP = [sys.executable, "-m", "pipeline.cli", "--help"]
WEIGH = [sys.executable, "-m", "pipeline.cli", "weigh", str(shipped("dunlin")), "--json"]
TYPER = [sys.executable, "-c", "import typer"]


def run(command: list[str]) -> str:
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    return done.stdout


def cpu_seconds(command: list[str]) -> float:
    """User and system time of one run, as the operating system counts them."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run(command)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


@pytest.mark.benchmark(group="start-up")
def test_help_starts_within_three_imports_of_typer(benchmark: BenchmarkFixture) -> None:
    benchmark.pedantic(run, args=(HELP,), rounds=5, warmup_rounds=1)
    ratio = min(cpu_seconds(HELP) for _ in range(5)) / min(cpu_seconds(TYPER) for _ in range(5))
    benchmark.extra_info["times an import of typer"] = round(ratio, 2)
    assert ratio <= 3.0


@pytest.mark.benchmark(group="start-up")
def test_weigh_answers_without_the_kernel(benchmark: BenchmarkFixture) -> None:
    benchmark.pedantic(run, args=(WEIGH,), rounds=5, warmup_rounds=1)
    kernel = [sys.executable, "-c", "import cadquery"]
    ratio = min(cpu_seconds(WEIGH) for _ in range(3)) / min(cpu_seconds(kernel) for _ in range(3))
    benchmark.extra_info["share of an import of the CAD kernel"] = round(ratio, 2)
    assert ratio < 0.6


@pytest.mark.skipif(os.name == "nt", reason="counts CPU seconds by getrusage")
@pytest.mark.benchmark(group="make")
def test_make_takes_less_than_twenty_seconds_of_cpu(
    benchmark: BenchmarkFixture, tmp_path: Path
) -> None:
    command = [sys.executable, "-m", "pipeline.cli", "make", str(shipped("dunlin")), "--out"]
    seconds = cpu_seconds([*command, str(tmp_path / "first")])
    benchmark.pedantic(run, args=([*command, str(tmp_path / "second")],), rounds=1)
    benchmark.extra_info["CPU seconds"] = round(seconds, 1)
    assert seconds < 20.0
