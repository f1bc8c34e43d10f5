"""The command as a stranger runs it: exit status, what is printed where, what is left behind."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from pipeline.shipped import shipped

ROOT = Path(__file__).parents[2]
DUNLIN = str(shipped("dunlin"))


def corewright(
    *words: str, cwd: Path | None = None, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    """Run the command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "pipeline.cli", *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", **(env or {})},
        timeout=300,
        check=False,
    )


def test_weigh_prints_json_and_nothing_else() -> None:
    done = corewright("weigh", DUNLIN, "--json")
    found = json.loads(done.stdout)
    assert (done.returncode, done.stderr) == (0, "")
    assert found["rg_in"]["low"] == pytest.approx(2.545, abs=5e-4)
    assert found["total_differential_in"] == pytest.approx(0.043, abs=5e-4)


def test_weigh_loads_neither_kernel_nor_renderer() -> None:
    code = (
        "import sys; sys.argv = ['corewright', 'weigh', sys.argv[1]]\n"
        "from pipeline.cli import app\n"
        "app(standalone_mode=False)\n"
        "loaded = {'OCP', 'cadquery', 'vtkmodules', 'pyvista', 'trimesh'} & set(sys.modules)\n"
        "sys.exit(str(loaded) if loaded else 0)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, DUNLIN], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stderr


def test_check_of_a_sound_ball_exits_0_with_sources() -> None:
    done = corewright("check", DUNLIN)
    assert done.returncode == 0
    assert "only the governing body certifies" in done.stdout
    assert "the routes agree within their bounds" in done.stdout


def test_check_of_a_ball_over_a_limit_exits_1(tmp_path: Path) -> None:
    heavy = tmp_path / "heavy.yaml"
    text = Path(DUNLIN).read_text(encoding="utf-8")
    heavy.write_text(text.replace("weight: 15 lb", "weight: 16.1 lb"), encoding="utf-8")
    done = corewright("check", str(heavy), "--json")
    verdicts = {f["rule"]: f["verdict"] for f in json.loads(done.stdout)["findings"]}
    assert done.returncode == 1
    assert verdicts["weight"] == "fail"


def test_a_bad_design_exits_2_with_all_its_problems(tmp_path: Path) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: corewright 1\nname: X\nrevison: A\nunits: furlong\n", encoding="utf-8")
    done = corewright("weigh", str(bad))
    assert done.returncode == 2
    assert done.stdout == ""
    assert "did you mean 'revision'?" in done.stderr
    assert f"{bad}:4: units" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_unknown_word_exits_2() -> None:
    assert corewright("wiegh", DUNLIN).returncode == 2


def test_new_writes_a_design_that_weighs(tmp_path: Path) -> None:
    assert corewright("new", "Red Knot", cwd=tmp_path).returncode == 0
    (written,) = tmp_path.iterdir()
    assert corewright("weigh", str(written)).returncode == 0


def test_new_never_overwrites(tmp_path: Path) -> None:
    mine = tmp_path / "plover.yaml"
    mine.write_text("mine", encoding="utf-8")
    done = corewright("new", "Plover", "--out", str(mine))
    assert done.returncode == 2
    assert mine.read_text(encoding="utf-8") == "mine"


def test_new_copies_a_shipped_design(tmp_path: Path) -> None:
    corewright("new", "dunlin", cwd=tmp_path)
    assert (tmp_path / "dunlin.yaml").read_bytes() == Path(DUNLIN).read_bytes()


@pytest.mark.parametrize("size", ["big", "10x10", "1920", "99999x1080", "-5x100"])
def test_a_size_that_is_none_exits_2_before_any_work(size: str, tmp_path: Path) -> None:
    done = corewright("picture", DUNLIN, "--out", str(tmp_path / "x.png"), "--size", size)
    assert done.returncode == 2
    assert list(tmp_path.iterdir()) == []


def test_an_unknown_view_names_the_views(tmp_path: Path) -> None:
    done = corewright("picture", DUNLIN, "--out", str(tmp_path / "x.png"), "--view", "cutawey")
    assert done.returncode == 2
    assert "cutaway" in done.stderr


def test_help_answers_without_the_stages() -> None:
    code = (
        "import sys, pipeline.cli\n"
        "sys.exit(1 if {'numpy', 'ruamel', 'cadquery'} & set(sys.modules) else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False)
    assert done.returncode == 0


def test_shapes_draws_one_and_refuses_without_a_name(tmp_path: Path) -> None:
    target = tmp_path / "disc.png"
    done = corewright("shapes", "disc", "--picture", str(target))
    assert done.returncode == 0, done.stderr
    assert target.read_bytes().startswith(b"\x89PNG")
    assert done.stdout.endswith(f"wrote {target}\n")
    done = corewright("shapes", "--picture", str(tmp_path / "none.png"))
    assert done.returncode == 2
    assert "which shape" in done.stderr
    done = corewright("shapes", "sphre", "--picture", str(tmp_path / "none.png"))
    assert done.returncode == 2
    assert "did you mean 'sphere'" in done.stderr
    assert not (tmp_path / "none.png").exists()
