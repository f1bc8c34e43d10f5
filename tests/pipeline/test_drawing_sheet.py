"""Drawing sheets: nothing collides, every figure is the body's, views stand on their sides."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import cadquery as cq
import numpy as np
import pypdf
import pytest

from pipeline.ball import build_ball
from pipeline.drafting import Paper, Stroke, Words, boxes
from pipeline.drawing_sheet import SheetSubject, drawn, sheet
from pipeline.errors import OutputError
from pipeline.load import load
from pipeline.sheet_column import Fact, Revision
from pipeline.sheet_frame import PaperName, ProjectionName, frame_rect
from pipeline.sheet_views import Callout
from pipeline.solids import solids_of
from pipeline.title_block import TitleBlock
from shapes import solid

DESIGNS = Path(__file__).parents[2] / "shapes" / "designs"
TITLE = TitleBlock("Saltmarsh Castings", "SC-0417-02", creator="drawing office", revision="A")
FACTS = (Fact("material", "clay"), Fact("shrinkage", "0.6 % linear", assumed=True))
BODIES = ["dunlin core", "dunlin outer core", "turnstone core", "mould half"]
HOSTILE = '#panic() $x$ "q" \\ <a> [b] \u6838\u5fc3 ' + "long " * 30


@lru_cache(maxsize=8)
def subject(body: str) -> SheetSubject:
    dunlin = build_ball(load(DESIGNS / "dunlin.yaml"))
    shape = dunlin.parts[0].body.shape
    if body == "dunlin core":
        notes = (
            Callout(
                "rod hole \u00d8 12.70 \u00d7 60.00 deep\ntaper 1:50", (0.0, 0.0, 60.0), "front"
            ),
            Callout("pin", (0.0, 0.0, 73.15), "top"),
        )
        return SheetSubject(
            "Dunlin inner core", (shape.solid(),), shape.section(), TITLE, FACTS, ("Vent.",),
            notes, (Revision("A", "first issue", "2026-11-25"),), high_rg_deg=30.0,
        )  # fmt: skip
    if body == "dunlin outer core":
        lumps, ball = solids_of(dunlin)[1].lumps, dunlin.parts[1].body.shape
        return SheetSubject(body, lumps, ball.section(), TITLE, FACTS, isometric="cut")
    if body == "turnstone core":
        core = build_ball(load(DESIGNS / "turnstone.yaml")).parts[0].body.shape
        return SheetSubject(body, (core.solid(),), None, TITLE, FACTS)
    block = cq.Workplane().box(160.0, 160.0, 100.0).translate((0.0, 0.0, 50.0)).val()
    half = tuple(solid.cut(block, [shape.solid()]))
    return SheetSubject(body, half, None, TITLE, FACTS, datum_b_mm=0.0, isometric="below")


@lru_cache(maxsize=32)
def laid(body: str, paper: PaperName, projection: ProjectionName = "first") -> Paper:
    return drawn(subject(body), paper, projection)


@lru_cache(maxsize=8)
def text_of(body: str) -> str:
    pdf = sheet(subject(body), "pdf")
    return pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()


def colliding(paper: Paper) -> list[tuple[str, str]]:
    found = boxes(paper)
    return [(a.text, b.text) for k, (a, r) in enumerate(found) for b, s in found[:k] if r.meets(s)]


@pytest.mark.parametrize("projection", ["first", "third"])
@pytest.mark.parametrize("paper", ["A3", "ANSI B", "A2"])
@pytest.mark.parametrize("body", BODIES)
def test_no_two_words_collide(body: str, paper: PaperName, projection: ProjectionName) -> None:
    assert not colliding(laid(body, paper, projection))


@pytest.mark.parametrize("paper", ["A3", "ANSI B"])
@pytest.mark.parametrize("body", BODIES)
def test_nothing_leaves_the_paper_nor_words_the_border(body: str, paper: PaperName) -> None:
    border = frame_rect(paper).grown(5.0)
    assert all(border.holds(rect) for _, rect in boxes(laid(body, paper)))


@pytest.mark.parametrize(
    "figure",
    [
        "\u00d8 111.76",
        "R 5.08",
        "17.91",
        "140.08",
        "R 45.76",
        "1:2",
        "0.00",
        "assumed",
        "SC-0417-02",
    ],
)
def test_dunlins_figures_stand_on_its_sheet(figure: str) -> None:
    """Its design file: foot 2 x 2.2 in, round 0.2 in, heights 2.635 - 1.93 and 2.635 + 2.88 in."""
    assert figure in text_of("dunlin core")


def test_a_body_that_is_not_turned_shows_its_overall_sizes() -> None:
    """Turnstone's design file: 3.55, 4.115 and 5.05 in."""
    text = text_of("turnstone core")
    assert all(size in text for size in ("90.17", "104.52", "128.27", "No half-section"))


def test_the_outer_core_shows_its_spherical_diameter() -> None:
    assert "S\u00d8 179.07" in text_of("dunlin outer core")


@pytest.mark.parametrize("form", ["pdf", "svg"])
def test_the_same_subject_gives_the_same_bytes(form: str) -> None:
    body = subject("turnstone core")
    assert sheet(body, form) == sheet(body, form)  # type: ignore[arg-type]


def where(paper: Paper, words: str) -> tuple[float, float]:
    (found,) = [w.at for w, _ in boxes(paper) if isinstance(w, Words) and w.text == words]
    return found


def test_in_first_angle_the_view_from_above_stands_below_and_that_from_the_left_on_the_right() -> (
    None
):
    paper = laid("dunlin core", "A3", "first")
    front, top, side = (where(paper, w) for w in ("A\u2013A", "from above", "from the left"))
    assert top[1] < front[1]
    assert top[0] == pytest.approx(front[0])  # ISO 5456-2: in line with the front view
    assert side[0] > front[0]


def test_in_third_angle_the_view_from_above_stands_above_and_that_from_the_right_on_the_right() -> (
    None
):
    paper = laid("dunlin core", "A3", "third")
    front, top, side = (where(paper, w) for w in ("A\u2013A", "from above", "from the right"))
    assert top[1] > front[1]
    assert top[0] == pytest.approx(front[0])
    assert side[0] > front[0]


def test_hostile_words_are_set_as_they_are_and_collide_with_nothing() -> None:
    title = TitleBlock(HOSTILE, HOSTILE, "", HOSTILE, HOSTILE, HOSTILE, tolerance=HOSTILE)
    body = replace(
        subject("turnstone core"), name=HOSTILE, title=title, facts=(Fact(HOSTILE, HOSTILE),),
        notes=(HOSTILE,),
    )  # fmt: skip
    pdf = sheet(body, "pdf")
    assert '#panic() $x$ "q" \\ <a>' in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    assert not colliding(drawn(body, "A3", "first"))


def test_too_many_notes_are_refused() -> None:
    body = replace(subject("turnstone core"), notes=("A note.",) * 80)
    with pytest.raises(OutputError, match="do not fit A3; choose a larger paper or fewer notes"):
        drawn(body, "A3", "first")


def test_at_1_to_1_the_foot_is_drawn_as_wide_as_it_is() -> None:
    """2.2 in either side of the axis, by the design file."""
    paper = laid("dunlin core", "A2")
    assert where(paper, "1:1")
    x, y = where(paper, "A\u2013A")
    lines = [np.array(m.points) for m in paper.marks if isinstance(m, Stroke) and m.kind == "wide"]
    near = [np.abs(p[:, 0] - x) for p in lines if p[:, 1].max() < y and p[:, 1].min() > y - 160.0]
    reach = [float(far.max()) for far in near if far.max() < 70.0]
    assert max(reach) == pytest.approx(55.88, abs=1e-3)
