"""Sweeps: chunk by chunk, by whoever, never losing what was done."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pyarrow.parquet as pq
import pytest

from pipeline.ball import build_ball
from pipeline.crew import Crew, CrewError
from pipeline.errors import OutputError
from pipeline.load import load, read_design
from pipeline.pick import NoRow, picked
from pipeline.samples import Grid, Line, Scatter
from pipeline.sweep import Plan, close, run
from pipeline.sweep_results import write_sweep
from pipeline.unfinished import unfinished
from pipeline.weigh import weigh
from tests.pipeline.searched import BARREL, FLARED, design, text

ROOT = Path(__file__).parents[2]
VARY = """part: inner core, field: lower_diameter, from: 3.0, to: 4.6
part: inner core, field: height, from: 3.8, to: 5.4
material: clay, from: 1.6, to: 2.8"""
PLAN = Plan(design(FLARED, VARY), Scatter(90_000, 3))


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What this process makes of the plan by itself."""
    target = tmp_path_factory.mktemp("alone") / "swept"
    write_sweep(PLAN, run(PLAN, target, Crew()), target)
    close(target)
    return target


def test_the_table_has_every_ball_and_the_folder_is_listed(alone: Path) -> None:
    table = pq.read_table(alone / "sweep.parquet")
    assert table.column_names == PLAN.names()
    assert table["row"].to_pylist() == list(range(90_000))
    listed = {row["name"] for row in json.loads((alone / "manifest.json").read_text())["files"]}
    assert listed == {"README.md", "design.yaml", "map.png", "sweep.csv", "sweep.parquet"}
    assert not unfinished(alone).exists()


def test_a_row_is_the_ball_that_its_design_gives(alone: Path, tmp_path: Path) -> None:
    table = pq.read_table(alone / "sweep.parquet")
    for row in (0, 20_001, 89_999):
        found = tmp_path / f"{row}.yaml"
        found.write_bytes(picked(alone, row))
        properties = weigh(build_ball(load(found)))
        low = properties.principal.rg_mm[0] / 25.4
        assert low == pytest.approx(table["low_rg [in]"][row].as_py(), abs=2e-5)  # digits written
        assert b"# row " in found.read_bytes()


def test_the_csv_says_the_same_as_the_table(alone: Path) -> None:
    table = pq.read_table(alone / "sweep.parquet")
    lines = (alone / "sweep.csv").read_text().splitlines()
    assert len(lines) == 90_001
    low = float(lines[501].split(",")[4])
    assert low == pytest.approx(table["low_rg [in]"][500].as_py(), abs=5e-8)


@contextmanager
def scheduler_with_workers() -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers, each a process of its own, on loopback."""
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    code = (
        "import asyncio\n"
        "from distributed import Scheduler\n"
        "async def main():\n"
        "    async with Scheduler(host='127.0.0.1', port=0, dashboard=False) as s:\n"
        "        print(s.address, flush=True)\n"
        "        await s.finished()\n"
        "asyncio.run(main())\n"
    )
    scheduler = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=env
    )
    assert scheduler.stdout is not None
    address = scheduler.stdout.readline().decode().strip()
    worker = (
        "import asyncio, sys\n"
        "from distributed import Worker\n"
        "async def main():\n"
        "    async with Worker(sys.argv[1], host='127.0.0.1', nthreads=1, dashboard=False) as w:\n"
        "        await w.finished()\n"
        "asyncio.run(main())\n"
    )
    workers = [
        subprocess.Popen(
            [sys.executable, "-c", worker, address],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=env,
        )
        for _ in range(2)
    ]
    try:
        yield address, workers
    finally:
        for process in (*workers, scheduler):
            process.kill()
            process.wait()
        scheduler.stdout.close()


def _wait_for_workers(address: str, count: int) -> None:
    from distributed import Client

    with Client(address, timeout=30) as client:
        client.wait_for_workers(count, timeout=60)


def test_two_workers_of_which_one_is_killed_make_the_same_bytes(
    alone: Path, tmp_path: Path
) -> None:
    """A real scheduler with two worker processes on loopback; one dies in the middle."""
    target = tmp_path / "swept"
    with scheduler_with_workers() as (address, workers):
        _wait_for_workers(address, 2)
        killed = []

        def told(done: int, _of: int) -> None:
            if done >= 2 and not killed:
                workers[0].send_signal(signal.SIGKILL)
                killed.append(done)

        files = run(PLAN, target, Crew(scheduler=address), told)
    assert killed
    write_sweep(PLAN, files, target)
    for name in ("sweep.parquet", "sweep.csv", "map.png", "manifest.json"):
        assert (target / name).read_bytes() == (alone / name).read_bytes()


def test_workers_of_our_own_make_the_same_bytes(alone: Path, tmp_path: Path) -> None:
    target = tmp_path / "swept"
    write_sweep(PLAN, run(PLAN, target, Crew(workers=1)), target)
    assert (target / "sweep.parquet").read_bytes() == (alone / "sweep.parquet").read_bytes()


def test_a_killed_sweep_goes_on_and_repeats_no_chunk(tmp_path: Path) -> None:
    """The command itself is killed when some chunks are there; the second run keeps those."""
    file, target = tmp_path / "core.yaml", tmp_path / "swept"
    file.write_text(text(FLARED, VARY))
    words = ["-c", "from pipeline.cli import main; main()", "sweep", str(file), "--samples"]
    words += ["400000", "--out", str(target)]
    process = subprocess.Popen([sys.executable, *words], cwd=ROOT, stdout=subprocess.PIPE)
    place = unfinished(target)
    end = time.monotonic() + 60.0
    while len(list(place.glob("chunk-*.parquet"))) < 3 and time.monotonic() < end:
        time.sleep(0.01)
    process.kill()
    process.communicate()
    kept = {p: p.stat().st_mtime_ns for p in place.glob("chunk-*.parquet")}
    assert 3 <= len(kept) < 20
    plan = Plan(load(file), Scatter(400_000, 3))
    told: list[int] = []
    run(plan, target, Crew(), lambda done, _of: told.append(done))
    assert told[0] == len(kept)
    assert {p: p.stat().st_mtime_ns for p in kept} == kept
    assert len(list(place.glob("chunk-*.parquet"))) == plan.chunks == 20
    assert not list(place.glob(".*"))  # a chunk half written went with its process or was replaced


def test_the_beginnings_of_another_sweep_are_left_alone(tmp_path: Path) -> None:
    target = tmp_path / "swept"
    run(Plan(design(FLARED, VARY), Grid((3, 3, 3))), target, Crew())
    with pytest.raises(OutputError, match="beginnings of another sweep"):
        run(Plan(design(FLARED, VARY), Grid((3, 3, 4))), target, Crew())


def test_a_grid_of_two_numbers_also_gets_contours_and_a_morph_its_frames(tmp_path: Path) -> None:
    two = design(FLARED, "\n".join(VARY.splitlines()[:2]))
    plan = Plan(two, Grid((9, 7)))
    write_sweep(plan, run(plan, tmp_path / "grid", Crew()), tmp_path / "grid")
    assert (tmp_path / "grid" / "contours.png").read_bytes().startswith(b"\x89PNG")
    morph = Plan(two, Line(5, 2))
    write_sweep(morph, run(morph, tmp_path / "morph", Crew()), tmp_path / "morph")
    frames = json.loads((tmp_path / "morph" / "morph.json").read_text())["frames"]
    assert [f["frame"] for f in frames] == [0, 1, 2, 3, 4]
    assert frames[-1]["numbers"]["parts[0].height"] == pytest.approx(5.4 * 25.4)
    assert np.diff([f["figures"]["total_differential [in]"] for f in frames]).min() > 0.0


def test_no_scheduler_and_wrong_crews_are_told() -> None:
    with pytest.raises(CrewError, match="no scheduler answers"):
        next(iter(run_one(Crew(scheduler="tcp://127.0.0.1:9"))))
    with pytest.raises(CrewError, match="not both"):
        Crew(workers=2, scheduler="tcp://127.0.0.1:9")
    with pytest.raises(CrewError, match="at least 1"):
        Crew(workers=-1)


def run_one(crew: Crew) -> Iterator[tuple[int, int]]:
    from pipeline.crew import done

    return done(abs, [1], crew)


def test_rows_that_are_no_ball_or_not_there_cannot_be_picked(tmp_path: Path) -> None:
    asked = read_design(text(BARREL, "part: inner core, field: end_diameter, from: 4, to: 4.5"))
    plan = Plan(asked, Grid((3,)))
    target = tmp_path / "swept"
    swept = write_sweep(plan, run(plan, target, Crew()), target)
    assert swept.why == {"a shape cannot be so": 2}
    assert "nan" not in (target / "sweep.csv").read_text()
    for row, says in ((2, "is no ball: a shape cannot be so"), (3, "has no row 3")):
        with pytest.raises(NoRow, match=says):
            picked(target, row)
    with pytest.raises(NoRow, match="the folder of a sweep"):
        picked(tmp_path / "nowhere", 0)
