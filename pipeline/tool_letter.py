"""The page of a tooling package: sizes, moulds, checks, files, assumptions, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from pipeline.ball import Ball
from pipeline.body_files import ANGLE_RAD, CHORD_MM
from pipeline.casting_facts import ball_facts, casting_facts, tool_facts, way_words
from pipeline.castings import Casting
from pipeline.facts import Fact
from pipeline.kernel import kernel
from pipeline.moulds import Tool
from pipeline.package_files import Package
from pipeline.readback import CENTROID_SHARE, INERTIA_SHARE, VOLUME_SHARE
from pipeline.report import SIGNS
from pipeline.tool_findings import decimals
from pipeline.tool_groups import stems_of
from pipeline.tooling import Tooling
from pipeline.units import MM3_PER_CM3
from shapes.pieces import pieces_of

CAUTIONS = """\
## Before anything is cut or poured

- Every verdict here is a design estimate. Only the governing body certifies a ball, from samples,
  and a changed construction must be reported to it.
- Only a trial pour tells the shrinkage of a compound and how a casting comes free. The shop
  verifies draft, shrinkage, clamping and venting; check the first article: size, mass, measured RG.
- Resins, isocyanates, peroxides, styrene, fillers and dust can harm people, some of them for good;
  peroxides and promoters must never meet directly, and thick pours overheat. Follow the data
  sheets, local codes and licensed practice.
- Moulds are heavy and close with force: guard hands, clamp to the maker's figures.
"""


def tool_letter(
    tooling: Tooling,
    rows: Sequence[Mapping[str, Any]],
    spread: Mapping[str, Mapping[str, str]],
    package: Package,
    since: str,
) -> str:
    """The README of a tooling package, as Markdown.

    Args:
        tooling: castings, moulds and checks.
        rows: the checks, as `pipeline.tool_findings.findings_of` tells them.
        spread: for each casting the share of its area in each band of draft.
        package: all files with what they are, and how they read back.
        since: a sentence on what changed, or nothing.
    """
    design = tooling.ball.design
    return "\n".join(
        [
            f"# {design.name}, revision {design.revision}: tooling package",
            "",
            *([since, ""] if since else []),
            *_sizes(),
            *_castings(tooling.castings),
            *_moulds(tooling),
            *_checks(rows),
            *_draft(spread),
            *_assumed(tooling),
            *_frames(tooling.ball),
            *_files(package),
            CAUTIONS,
            "`design.yaml` is the design that all of this was made from; `findings.json` and "
            "`figures.json` hold checks and figures for scripts; `manifest.json` has every file "
            "with its SHA-256 and every comparison with its tolerance. `corewright verify` holds "
            "the folder against it.",
            "",
        ]
    )


def facts_of(casting: Casting, tool: Tool | None) -> tuple[Fact, ...]:
    """All that is said of a casting and its mould."""
    return (*casting_facts(casting), *(tool_facts(tool) if tool is not None else ()))


def _sizes() -> list[str]:
    return [
        "## Three sizes, never mixed",
        "",
        "| folder | size | for |",
        "| --- | --- | --- |",
        "| `finished` | the design's own | reference |",
        "| `as-cast` | cold castings: finished, with machining stock and rod holes | measuring "
        "castings |",
        "| `as-cut`, `moulds` | grown for shrinkage already, once: **do not scale them** | cutting "
        "the mould |",
        "",
        "A file's name says which it is. `sections` has half-sections and parting outlines to cut "
        "from, `drawings` a sheet for each casting and each piece, `checks` the pictures.",
        "",
    ]


def _castings(castings: Sequence[Casting]) -> Iterator[str]:
    yield "## Castings"
    yield ""
    yield "| casting | mould | shrinkage | as cast cm3 | as cut cm3 |"
    yield "| --- | --- | --- | --- | --- |"
    with kernel():
        from shapes.boundary import moments_of_solid

        for one in castings:
            cold, cut = (
                moments_of_solid(body).volume_mm3 / MM3_PER_CM3
                for body in (one.as_cast, one.as_cut)
            )
            shrinkage = next(f.value for f in casting_facts(one) if f.label == "shrinkage")
            inside = f": {', '.join(p.part.name for p in one.inside)}" if one.inside else ""
            yield (
                f"| {_cell(one.name)} | {one.mould}{_cell(inside)} | {_cell(shrinkage)} | "
                f"{cold:.2f} | {cut:.2f} |"
            )
    yield ""
    yield (
        "As cast is the material of the casting alone, gates and ejector flats dressed off; as cut "
        "is all that its outside encloses, so for a casting that is poured round others it holds "
        "them too."
    )
    yield ""


def _moulds(tooling: Tooling) -> Iterator[str]:
    """What each mould holds, and its pieces with the files they are in."""
    yield "## Moulds"
    yield ""
    yield (
        "| mould | block mm | poured with gates cm3 | the same cured, kg | parts inside cm3 | "
        "rods and pins cm3 | sum off block by |"
    )
    yield "| --- | --- | --- | --- | --- | --- | --- |"
    pieces = []
    with kernel():
        from shapes.boundary import moments_of_solid

        cold = {c.name: moments_of_solid(c.as_cast).volume_mm3 for c in tooling.castings}
        stems = stems_of(tooling.ball, tooling.castings)
        for tool in tooling.tools:
            mould, casting = tool.mould, tool.casting
            size = " x ".join(f"{s:g}" for s in mould.block.size_mm)
            names = {one.part.name for one in casting.inside}
            held = sum(cold[c.name] for c in tooling.castings if c.part.name in names)
            poured = moments_of_solid(mould.pour).volume_mm3 - held
            shrunk = casting.shrinkage
            less = (1.0 - shrunk.along) * (1.0 - shrunk.across) ** 2
            gates = moments_of_solid(mould.filled).volume_mm3
            gates = (gates - moments_of_solid(tool.cavity).volume_mm3) * less
            mass = (cold[casting.name] + gates) * casting.part.density_g_cm3 / 1e6
            bars = sum(moments_of_solid(b).volume_mm3 for b in mould.bars)
            said = " | ".join(f"{v / MM3_PER_CM3:.1f}" for v in (held, bars))
            yield (
                f"| {_cell(casting.name)} | {size} | {poured / MM3_PER_CM3:.1f} | {mass:.3f} | "
                f"{said} | {mould.missing_share():.0e} of it |"
            )
            stem = stems.castings[casting.name]
            for name, solid, piece in zip(
                tool.piece_names, mould.pieces, pieces_of(tool.splits), strict=True
            ):
                file = f"moulds/{stem}-mould-{name.replace(' ', '-')}_mm.stl"
                volume = moments_of_solid(solid).volume_mm3 / MM3_PER_CM3
                pieces.append(
                    f"| {_cell(casting.name)}, {name} | {way_words(piece.pull)} | {volume:.1f} | "
                    f"`{file}` |"
                )
    yield ""
    yield "| piece, in the order they are drawn | drawn | cm3 | file |"
    yield "| --- | --- | --- | --- |"
    yield from pieces
    yield ""
    yield (
        "Draw the rod first. It ends flush with the block: leave as much more as your shop grips. "
        "Keys and sockets are the same cone: give them the clearance that your shop uses. In a "
        "mould's STEP file the body *contents* is the casting with its gates and flats, and with "
        "the parts inside it."
    )
    yield ""
    yield "## To be agreed, since no design says it"
    yield ""
    yield (
        "Material and finish of the mould, tolerances of its cavity, clamping and how the pieces "
        "are pried apart, release agent, how the mould stands when it is poured, through which "
        "gate first, and who dresses gates, flats and flash off the casting."
    )
    yield ""


def _checks(rows: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    yield "## Checks (design estimates)"
    yield ""
    yield "| casting | check | value | allowed | margin | verdict | where, mm | picture | note |"
    yield "| --- | --- | --- | --- | --- | --- | --- | --- | --- |"
    for row in rows:
        places = decimals(row["rule"], row["unit"])
        value, margin = (
            "" if row[key] is None else f"{row[key]:.{places}f} {row['unit']}"
            for key in ("value", "margin")
        )
        place = row["place_mm"]
        spot = "" if place is None else f"{place[0]:g}, {place[1]:g}, {place[2]:g} ({row['size']})"
        picture = f"[picture]({row['picture']})" if row["picture"] else ""
        verdict = f"{SIGNS[row['verdict']]} {row['verdict']}"
        cells = (row["casting"], row["rule"], value, row["limit"], margin, verdict, spot, picture)
        yield f"| {' | '.join(_cell(str(cell)) for cell in (*cells, row['note']))} |"
    yield ""
    yield "Places are in the part's own frame, as it is drawn, at the size that is named."
    yield ""


def _draft(spread: Mapping[str, Mapping[str, str]]) -> Iterator[str]:
    """How draft is spread over each casting."""
    yield "## Draft, by shares of the area"
    yield ""
    for name, bands in spread.items():
        yield f"- {name}: {'; '.join(f'{words} {share}' for words, share in bands.items())}"
    yield ""


def _assumed(tooling: Tooling) -> Iterator[str]:
    """Every value that the design does not give, those of several castings together."""
    facts = [("all castings", fact) for fact in ball_facts(tooling.ball)]
    for casting in tooling.castings:
        facts += [(casting.name, fact) for fact in facts_of(casting, tooling.tool(casting))]
    found: dict[tuple[str, str], list[str]] = {}
    for name, fact in facts:
        if fact.assumed:
            found.setdefault((fact.label, fact.value), []).append(name)
    yield "## Assumed, since the design does not say"
    yield ""
    if found:
        yield "| what | taken as | for |"
        yield "| --- | --- | --- |"
    else:
        yield "Nothing."
    for (label, value), names in found.items():
        yield f"| {label} | {_cell(value)} | {_cell(', '.join(names))} |"
    yield ""


def _frames(ball: Ball) -> Iterator[str]:
    yield "## Frames and units"
    yield ""
    yield (
        "Millimetres everywhere but in glTF files, whose standard asks for metres and Y upwards. "
        "`finished` and `as-cast` assemblies stand in the ball's frame: origin at the ball's "
        "centre, +Z to the pin, right-handed. `as-cut`, `moulds` and `sections` stand in each "
        "part's own frame, as it is drawn; in the ball it is then placed:"
    )
    yield ""
    yield "| part | spin deg | tilt deg by, toward | moved mm |"
    yield "| --- | --- | --- | --- |"
    for part in ball.parts:
        at = part.body.placement
        move = ", ".join(f"{c:.4f}" for c in at.move_mm)
        yield (
            f"| {_cell(part.name)} | {at.spin_deg:g} | {at.tilt_by_deg:g}, "
            f"{at.tilt_toward_deg:g} | {move} |"
        )
    yield ""


def _files(package: Package) -> Iterator[str]:
    passed = len(package.comparisons)
    sag = max((file.sag_mm or 0.0 for file in package.files), default=0.0)
    yield "## Files"
    yield ""
    yield "| file | what it is |"
    yield "| --- | --- |"
    for file in package.files:
        yield f"| `{file.name}` | {_cell(file.what)} |"
    yield ""
    yield (
        "The STEP models rule: their surfaces are exact, and they state volume, area and centroid "
        f"of every body. In files of triangles none lies further than {CHORD_MM:g} mm from the "
        f"surface ({sag:.3f} mm was measured), nor turns by more than {ANGLE_RAD:g} rad; an STL "
        "file carries no unit, read it as millimetres."
    )
    yield ""
    yield (
        f"Every file of geometry was read back and measured, {passed} quantities in all, and "
        f"agrees: STEP volumes to {VOLUME_SHARE:.0e} of themselves, centroids to "
        f"{CENTROID_SHARE:.0e} of the body's size, inertia to {INERTIA_SHARE:.0e}; files of "
        "triangles to what triangles leave out; DXF contours by area and extent. STEP is read by "
        "the kernel that wrote it and measured by integrals of our own; STL, 3MF and glTF by other "
        "code than wrote them."
    )
    yield ""


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
