"""A document with a block of every kind, and what is hostile to print, of a made-up foundry."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace

from PIL import Image

from pipeline.dossier.document import (
    Cell,
    Chart,
    Column,
    Document,
    Items,
    Picture,
    Section,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Words,
)

HOSTILE = (
    '#set page(fill: red) #panic() $x^2$ `raw` [b] {c} "d" \\ \\u{41} <script>alert(1)</script> '
    "*bold* _it_ @ref // no ~ -- ... '"
)
LONG = "Saltmarsh_inner-core/insert." + "Dunlin" * 1700  # some 10 kB
ALT = "A curve that rises from 2.51 in at 12 lb to 2.55 in at 16 lb."
SVG = """<svg viewBox="0 0 640 300" role="img" class="chart"><title>RG</title><desc>d</desc>
<g class="axis" stroke="#22201D" fill="none"><path d="M60 20V260H620"/></g>
<path class="line low" d="M60 220C200 200 400 120 620 60" fill="none" stroke="#1B7F79"
 stroke-width="2"/>
<g font-size="14" fill="#22201D"><text x="620" y="50" text-anchor="end" class="label"
 font-weight="600">low RG after 核 2.545 in</text><text x="340" y="290"
 text-anchor="middle">ball weight, lb</text><text x="50" y="64" text-anchor="end">2.55</text>
<text x="64" y="40">plain <tspan font-weight="bold">then bold</tspan> then plain</text></g></svg>"""


def picture(key: str, wide: int, high: int, paint: str = "#CFC9BC") -> Picture:
    """A picture of one colour with a darker one in its middle."""
    image = Image.new("RGB", (wide, high), paint)
    image.paste("#B5482A", (wide // 4, high // 4, 3 * wide // 4, 3 * high // 4))
    out = io.BytesIO()
    image.save(out, "PNG")
    return Picture(key, out.getvalue(), b"", wide, high)


PICTURES = {
    "cutaway": picture("cutaway", 960, 540),
    "left": picture("left", 400, 400),
    "right": picture("right", 400, 400),
    "tall": picture("tall", 300, 600),
}


def findings() -> Table:
    """Verdicts with sentences."""
    why = "The limit is made up for this sample; the figure stands 0.003 in under it."
    rows = (
        (Cell("total differential"), Cell("0.0480 in"), Cell("≤ 0.060 in"), Cell("pass", "pass"),
         Cell(why)),
        (Cell("thinnest wall"), Cell("0.081 in"), Cell("≥ 0.125 in"), Cell("fails", "fail"),
         Cell("Between the insert and the outer core.")),
        (Cell("hardness"), Cell("not stated"), Cell("≥ 72 D"),
         Cell("not determined", "not determined"), Cell("No hardness is given for the cover.")),
    )  # fmt: skip
    columns = (
        Column("Check"), Column("Figure", True), Column("Limit", True), Column("Verdict"),
        Column("Why"),
    )  # fmt: skip
    return Table("Checks of the Dunlin, revision C", columns, rows)


def numbers(rows: int, columns: int = 5, caption: str = "Every weight of the line") -> Table:
    """A table of numbers."""
    heads = ("Low RG, in", "High RG, in", "Total differential, in", "Top weight, oz")
    names = [heads[k % 4] for k in range(columns - 1)]
    return Table(
        caption,
        (Column("Ball"), *(Column(name, True) for name in names)),
        tuple(
            (
                Cell(f"row {k + 1} of Godwit"),
                *(Cell(f"2.{500 + 7 * k + j:04d} ± 0.0005") for j in range(columns - 1)),
            )
            for k in range(rows)
        ),
    )


def hostile() -> Table:
    """Names that are long, or act as markup elsewhere."""
    return Table(
        HOSTILE,
        (Column(HOSTILE), Column(LONG[:300], True), Column("Plain")),
        (
            (Cell(LONG[:400]), Cell("2.545", None), Cell(HOSTILE)),
            (Cell("שלום e\u0301\u0301 🙂 \u202eabc\u200d"), Cell(LONG[:200]), Cell("")),
        ),
    )


def sections() -> Iterator[Section]:
    yield Section(
        "identity",
        "Identity",
        (
            Words("The Dunlin is a symmetrical ball of Saltmarsh Castings, made up for this page."),
            Terms((
                ("Name", "Dunlin"), ("Revision", "C"), ("Ball weight", "15 lb"),
                ("A name that is longer than a column of names can be", "and what it is"),
                ("Design file", "sha256 " + "0123456789abcdef" * 4),
            )),
            Words("Figures are those of the undrilled ball.", "note"),
            Words("The hardness of the cover is not stated, so that one check is open. " * 2,
                  "caution"),
            Words("The wall between insert and outer core is 0.081 in, under 0.125 in.", "fail"),
        ),
    )  # fmt: skip
    yield Section("checks", "Checks", (findings(), Items(("First sentence.", "Second. " * 30))))
    yield Section(
        "curves", "Curves", (Chart("rg", "Low RG over ball weight", ALT, SVG), numbers(40))
    )
    yield Section("wide", "All figures of the line", (
        numbers(12, 12, "Twelve columns"), Words("After the wide table."),
    ))  # fmt: skip
    yield Section(
        "pictures",
        "Pictures",
        (
            Still("cutaway", "The cut ball", "The ball cut open: core, insert and cover."),
            Space((
                Still("left", "From the left", "The ball from the left."),
                Still("right", "From the right", "The ball from the right."),
            )),
            Still("tall", "The core alone", "The core, twice as tall as wide."),
        ),
    )  # fmt: skip
    yield Section("hostile", HOSTILE, (
        Words(HOSTILE), Words(LONG, "note"), Items((HOSTILE, LONG[:900])),
        Terms(((HOSTILE, HOSTILE), (LONG[:300], LONG[:300]))), hostile(),
    ))  # fmt: skip
    yield Section("sign-off", "Sign-off", (
        SignOff(("Core engineer", "Pour room", "Reviewer"), ("Name", "Signature", "Date")),
    ))  # fmt: skip


def sample() -> Document:
    return Document(
        "Dunlin, revision C",
        "A symmetrical ball for 12 to 16 lb, cast by Saltmarsh Castings.",
        "2026-11-25",
        tuple(sections()),
    )


def of(*blocks: object, title: str = "Dunlin") -> Document:
    """A document of one section."""
    section = Section("one", "One", blocks)  # type: ignore[arg-type]
    return replace(sample(), title=title, sections=(section,))
