"""Design files with other numbers: all else stays, byte for byte."""

from __future__ import annotations

import pytest

from pipeline.load import numbers_in, read_design
from pipeline.rewrite import rewritten
from pipeline.shipped import shipped

SOURCE = shipped("dunlin").read_bytes()


def test_nothing_changed_is_the_same_bytes() -> None:
    assert rewritten(SOURCE, {}) == SOURCE
    assert rewritten(SOURCE, {"materials.clay.density": 2.3}) == SOURCE


def test_a_number_is_replaced_in_place_with_a_remark() -> None:
    found = rewritten(SOURCE, {"materials.clay.density": 2.412345678})
    before, after = SOURCE.decode().splitlines(), found.decode().splitlines()
    changed = [k for k, (a, b) in enumerate(zip(before, after, strict=True)) if a != b]
    assert [after[k] for k in changed] == [
        "  clay: {density: 2.41235}                            # g/cm3"
        "  # fitted: materials.clay.density was 2.3"
    ]


def test_several_numbers_of_a_line_share_a_remark_and_keep_their_places() -> None:
    found = rewritten(
        SOURCE, {"parts[0].profile[1].r": 50.8, "parts[0].profile[1].z": -63.5}
    ).decode()
    assert (
        "- [2, -2.5]        # the foot  # fitted: profile[1].r was 2.2, profile[1].z was -2.635"
        in (found)
    )


def test_fitting_again_replaces_the_remark() -> None:
    once = rewritten(SOURCE, {"parts[0].move.z": 5.08})
    twice = rewritten(once, {"parts[0].move.z": 2.54})
    assert b"move: [0, 0, 0.1]  # fitted: move.z was 0.2\n" in twice


@pytest.mark.parametrize("unit", ["86.36 mm", "3.4 in", "3 2/5 in", "'3.4 in'", '3.4"'])
def test_a_number_keeps_its_unit_and_quotes(unit: str) -> None:
    source = SOURCE.replace(b"diameter: 7.05", f"diameter: {unit}".encode())
    found = rewritten(source, {"parts[1].diameter": 101.6}, mark="")
    expected = {
        "86.36 mm": b"diameter: 101.6 mm}",
        "3.4 in": b"diameter: 4 in}",
        "3 2/5 in": b"diameter: 4 in}",
        "'3.4 in'": b"diameter: '4 in'}",
        '3.4"': b'diameter: 4"}',
    }[unit]
    assert expected in found


def test_line_ends_and_the_mark_at_the_start_stay() -> None:
    source = b"\xef\xbb\xbf" + SOURCE.replace(b"\n", b"\r\n")
    found = rewritten(source, {"parts[0].move.z": 5.08})
    assert found.startswith(b"\xef\xbb\xbf#")
    assert b"move: [0, 0, 0.2]  # fitted: move.z was 0.4\r\n" in found
    assert read_design(found).parts[0].placement.move_mm[2] == pytest.approx(5.08)


def test_a_remark_never_lands_inside_a_text_of_several_lines() -> None:
    source = SOURCE.replace(b"name: Dunlin", b"name:\n  {x}".replace(b"{x}", b"Dun\n  lin"))
    source = source.replace(b"revision: A\n", b"revision: A\n")
    found = rewritten(source, {"materials.clay.density": 2.4})
    assert read_design(found).name == "Dun lin"


@pytest.mark.parametrize(
    "source",
    [
        SOURCE.replace(b"diameter: 7.05}", b"diameter: 7.05, spin: 0, note: 'One\n    two'}"),
        b"{format: corewright 1, name: A, revision: A, units: in, materials: {a: {density: 1.2}},\n"
        b" ball: {diameter: 8.55}, parts: [{name: a, material: a, shape: sphere, diameter: 8.55,\n"
        b" spin: 0}], notes: ['One\n two']}",
    ],
    ids=["on a part", "on the ball"],
)
def test_a_remark_never_lands_inside_a_note_of_several_lines(source: bytes) -> None:
    """Spin stands on the line where the note begins."""
    path = next(p for p in ("parts[1].spin", "parts[0].spin") if p in numbers_in(source))
    found = read_design(rewritten(source, {path: 5.0}))
    assert (found.notes, [p.note for p in found.parts]) == (
        read_design(source).notes,
        [p.note for p in read_design(source).parts],
    )


def test_notes_stay_as_they_are() -> None:
    found = read_design(rewritten(SOURCE, {"materials.clay.density": 2.2}))
    due = read_design(SOURCE)
    assert (found.notes, found.parts[0].note) == (due.notes, due.parts[0].note)


def test_what_was_written_is_what_is_read() -> None:
    values = {"parts[0].profile[4].spline[0].r": 54.123456789, "materials.clay.density": 2.2}
    found = read_design(rewritten(SOURCE, values))
    assert found.parts[0].shape.profile[4].spline[0][0] == pytest.approx(54.123456789, abs=1.3e-4)  # type: ignore[attr-defined]
    assert found.materials[0].density == 2.2
