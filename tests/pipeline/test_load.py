"""Design files: what is read, and what is refused with line, field, value and advice."""

from __future__ import annotations

import re

import pytest

from pipeline.ball import build_ball
from pipeline.design import FreeDensity
from pipeline.errors import DesignError
from pipeline.load import load, read_design
from pipeline.shipped import shipped
from pipeline.weigh import weigh
from shapes.sphere import Sphere
from shapes.turned import ArcStep, SplineStep, Turned

DUNLIN = shipped("dunlin").read_text(encoding="utf-8")


def changed(*changes: tuple[str, str]) -> str:
    """Dunlin's text with pieces of it replaced, all of which must be there."""
    text = DUNLIN
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


def refusals(text: str) -> list[str]:
    with pytest.raises(DesignError) as refusal:
        read_design(text, "x.yaml")
    return [problem.said("x.yaml") for problem in refusal.value.problems]


def test_lengths_come_out_in_millimetres() -> None:
    design = read_design(DUNLIN)
    assert design.diameter_mm == pytest.approx(8.55 * 25.4)
    assert design.weight_g == pytest.approx(15 * 453.59237)
    assert design.parts[0].placement.move_mm == pytest.approx((0, 0, 10.16))


def test_steps_become_points_arcs_and_splines() -> None:
    core = read_design(DUNLIN).parts[0].shape
    assert isinstance(core, Turned)
    kinds = [type(step) for step in core.profile]
    assert kinds == [tuple, tuple, tuple, tuple, SplineStep, ArcStep]


def test_free_density_keeps_its_bounds() -> None:
    assert read_design(DUNLIN).material("foam").density == FreeDensity(0.55, 1.60)


def test_the_hash_is_that_of_the_file() -> None:
    import hashlib

    path = shipped("dunlin")
    assert load(path).sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_units_of_the_file_are_what_a_bare_length_means() -> None:
    design = read_design(
        changed(("units: in ", "units: mm "), ("diameter: 7.05", "diameter: '7.05 in'"))
    )
    assert design.diameter_mm == 8.55
    assert design.parts[1].shape == Sphere(7.05 * 25.4)


def test_names_may_hold_any_letter() -> None:
    design = read_design(changed(("name: Dunlin", "name: 'Brachvögel/核心 \"A\"'")))
    assert design.name == 'Brachvögel/核心 "A"'


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("corewright 1", "corewright 2", r"x.yaml:4: format: read 'corewright 2'; allowed"),
        ("diameter: 7.05", "diamter: 7.05", r"parts\[1\].diamter: .*did you mean 'diameter'"),
        ("shape: turned", "shape: turnd", r"parts\[0\].shape: .*did you mean 'turned'"),
        ("material: clay", "material: caly", r"parts\[0\].material: .*did you mean 'clay'"),
        ("{density: 2.3}", "{density: free, from: 1, to: 2}", "one free density"),
        ("diameter: 7.05", "diameter: -7.05", "not greater than 0"),
        ("diameter: 7.05", "diameter: 0", "not greater than 0"),
        ("density: 2.3", "density: .nan", "does not start with a number"),
        ("density: 2.3", "density: true", "does not start with a number"),
        ("diameter: 7.05", "diameter: .inf", "does not start with a number"),
        ("diameter: 7.05", "diameter: 1e999", "not a finite number"),
        ("density: 2.3", "density: 3.81", "at most 3.80 g/mL"),
        ("weight: 15 lb", "weight: 15 in", "'in' is no unit of mass"),
        ("weight: 15 lb", "weight: 15", "no unit"),
        (", weight: 15 lb", "", "the weight decides it"),
        ("units: in ", "#", "units: in"),
        ("from: 0.55, to: 1.60", "from: 1.60, to: 0.55", "at least 1.6"),
        (", from: 0.55, to: 1.60", "", "needs its bounds"),
        ("density: 2.3", "density: 2.3, from: 1", "only beside 'density: free'"),
        ("name: cover", "name: inner core", "line 17 has it already"),
        (
            "[2.2, -1.93]",
            "[-0.2, -1.93]",
            r"parts\[0\].profile\[2\]: .*crosses the axis.*-0.200 in",
        ),
        ("round: 0.2", "round: 0.9", "does not fit"),
        ("round: 0.2", "colour: #B5482A", "in quotes"),
        ("date: 2026-11-25", "date: yesterday", "a day such as"),
        ("revision: A", "revision: ''", "at most 80 characters"),
    ],
)
def test_refused_with_what_is_allowed(old: str, new: str, says: str) -> None:
    assert any(re.search(says, line) for line in refusals(changed((old, new))))


def test_all_problems_of_a_file_come_at_once_in_its_order() -> None:
    lines = refusals(
        changed(
            ("density: 2.3", "density: heavy"),
            ("round: 0.2", "round: -1"),
            ("diameter: 7.05", "diamter: 7.05"),
        )
    )
    places = [int(re.match(r"x.yaml:(\d+):", line)[1]) for line in lines]  # type: ignore[index]
    assert len(lines) == 3
    assert places == sorted(places)


def test_a_file_without_units_is_told_once() -> None:
    lines = refusals(changed(("units: in ", "#")))
    assert sum("no unit" in line for line in lines) == 1


def test_the_last_part_must_be_the_ball() -> None:
    text = changed(("shape: sphere, diameter: 8.55}", "shape: sphere, diameter: 8.5}"))
    assert any("no void is left" in line for line in refusals(text))


HEAD = "  - The domed head lets the core leave its mould."
NOTE_OF_THE_CORE = (
    "    note: The foot is the widest part of the core and stands farthest from the pin.\n"
)


def test_notes_are_the_designers_own_words() -> None:
    assert read_design(DUNLIN).notes == (
        "The broad foot moves mass away from the centre and raises the differential.",
        "The domed head lets the core leave its mould.",
    )


def test_a_part_may_have_a_note() -> None:
    found = [part.note for part in read_design(DUNLIN).parts]
    due = "The foot is the widest part of the core and stands farthest from the pin."
    assert found == [due, "", ""]


def test_a_design_need_not_have_notes() -> None:
    text = re.sub(r"(?s)notes:.*?\n\n", "", changed((NOTE_OF_THE_CORE, "")))
    design = read_design(text)
    assert (design.notes, design.parts[0].note) == ((), "")


def test_notes_change_no_figure() -> None:
    bare = re.sub(r"(?s)notes:.*?\n\n", "", changed((NOTE_OF_THE_CORE, "")))
    one, other = (weigh(build_ball(read_design(text))) for text in (DUNLIN, bare))
    assert one.mass_g == other.mass_g
    assert one.inertia_g_mm2.tolist() == other.inertia_g_mm2.tolist()


def test_a_drilling_file_has_the_notes_of_its_ball() -> None:
    assert load(shipped("dunlin-drilled")).notes == read_design(DUNLIN).notes


@pytest.mark.parametrize(
    "note",
    [
        "''",
        "' a'",
        "'a '",
        '"a\\nb"',
        '"a\\u2028b"',
        '"a\\x07b"',
        f"'{'x' * 401}'",
        "[a]",
        "{a: b}",
    ],
)
@pytest.mark.parametrize(
    ("field", "path"), [("note: ", r"parts\[0\]\.note"), ("  - ", r"notes\[1\]")]
)
def test_a_note_is_a_text_of_one_line(note: str, field: str, path: str) -> None:
    old = NOTE_OF_THE_CORE.strip() if "note" in path and "parts" in path else HEAD
    text = changed((old, f"{field}{note}"))
    (line,) = refusals(text)
    assert re.search(rf"(?s){path}: .*a text of one line, at most 400 characters", line)


@pytest.mark.parametrize("notes", ["notes: One sentence.", "notes: []", "notes: {one: two}"])
def test_notes_are_a_list(notes: str) -> None:
    text = re.sub(r"(?s)notes:.*?\n\n", f"{notes}\n\n", DUNLIN)
    (line,) = refusals(text)
    assert re.search(r"x\.yaml:33: notes: .*allowed: a list of 1 or more", line)


@pytest.mark.parametrize(
    "note", ["3", "x" * 400, "'It is 3 in: no more'", "\u05e7\u05e8\u05df", "a\u202eb"]
)
def test_a_note_may_be_any_other_text(note: str) -> None:
    found = read_design(changed((HEAD, f"  - {note}"))).notes[1]
    assert found == note.strip("'")
