"""The blocks of a document as HTML; no text can act as markup, and none turns the page round."""

from __future__ import annotations

import base64
import html
from collections.abc import Mapping
from functools import singledispatch

from pipeline.dossier.document import (
    Cell,
    Chart,
    Items,
    Picture,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Words,
)
from pipeline.markdown import visible
from pipeline.report import SIGNS

Pictures = Mapping[str, Picture]
PICTURE = "picture-"  # before a picture's key in the id of its figure
_LEADS = {"caution": "Caution.", "fail": "Fails."}
_CLASSES = {"pass": "pass", "fail": "fail", "not determined": "open"}


def text(words: str) -> str:
    """Words as HTML shows them.

    >>> text("<b> & 'tern'")
    '&lt;b&gt; &amp; &#x27;tern&#x27;'
    """
    return html.escape(visible(words))


@singledispatch
def block(found: object, pictures: Pictures) -> str:  # noqa: ARG001
    """A block of the document as HTML.

    Args:
        found: any of `pipeline.dossier.document.Block`.
        pictures: by their keys.
    """
    raise TypeError(f"no block: {found!r}")


@block.register
def _(found: Words, pictures: Pictures) -> str:  # noqa: ARG001
    lead = _LEADS.get(found.manner)
    said = f"<strong>{lead}</strong> {text(found.text)}" if lead else text(found.text)
    return f'<p class="{found.manner}">{said}</p>'


@block.register
def _(found: Items, pictures: Pictures) -> str:  # noqa: ARG001
    rows = "".join(f"<li>{text(sentence)}</li>" for sentence in found.sentences)
    return f"<ul>{rows}</ul>"


@block.register
def _(found: Terms, pictures: Pictures) -> str:  # noqa: ARG001
    rows = "".join(f"<dt>{text(a)}</dt><dd>{text(b)}</dd>" for a, b in found.pairs)
    return f"<dl>{rows}</dl>"


@block.register
def _(found: Table, pictures: Pictures) -> str:  # noqa: ARG001
    heads = "".join(
        f'<th scope="col"{_kind(column.number)}>{text(column.name)}</th>'
        if column.name
        else "<td></td>"
        for column in found.columns
    )
    rows = "".join(_row(found, row) for row in found.rows)
    name = text(found.caption)
    return (
        f'<div class="table" role="region" tabindex="0" aria-label="{name}"><table>'
        f"<caption>{name}</caption><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody>"
        "</table></div>"
    )


@block.register
def _(found: Chart, pictures: Pictures) -> str:  # noqa: ARG001
    name = text(found.caption)
    region = f'<div class="table" role="region" tabindex="0" aria-label="{name}, chart">'
    return (
        f'<figure class="chart" id="chart-{found.key}">{region}{found.svg}</div>'
        f"<figcaption>{name}</figcaption></figure>"
    )


@block.register
def _(found: Still, pictures: Pictures) -> str:
    picture = pictures[found.key]
    data = base64.b64encode(picture.webp).decode("ascii")
    return (
        f'<figure class="still" id="{PICTURE}{text(found.key)}">'
        f'<img src="data:image/webp;base64,{data}" '
        f'width="{picture.width_px}" height="{picture.height_px}" alt="{text(found.alt)}">'
        f"<figcaption>{text(found.caption)}</figcaption></figure>"
    )


@block.register
def _(found: Space, pictures: Pictures) -> str:
    inside = "".join(block(still, pictures) for still in found.stills)
    return (
        '<div id="space" data-state="stills"><noscript><p class="note">Scripts are off: the '
        "ball cannot be turned here, and the pictures show it.</p></noscript>"
        f'<div class="stills">{inside}</div></div>'
    )


@block.register
def _(found: SignOff, pictures: Pictures) -> str:  # noqa: ARG001
    heads = "".join(f'<th scope="col">{text(name)}</th>' for name in ("role", *found.columns))
    blank = '<td class="blank"></td>' * len(found.columns)
    rows = "".join(f'<tr><th scope="row">{text(role)}</th>{blank}</tr>' for role in found.roles)
    return (
        '<div class="table" role="region" tabindex="0" aria-label="Lines to sign on">'
        '<table class="signing"><caption>Lines to sign on</caption>'
        f"<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table></div>"
    )


def _row(found: Table, row: tuple[Cell, ...]) -> str:
    first, *others = row
    cells = "".join(
        f"<td{_kind(column.number)}>{_cell(cell)}</td>"
        for column, cell in zip(found.columns[1:], others, strict=True)
    )
    return f'<tr><th scope="row">{_cell(first)}</th>{cells}</tr>'


def _kind(number: bool) -> str:
    return ' class="number"' if number else ""


def _cell(cell: Cell) -> str:
    if cell.verdict is None:
        return text(cell.text)
    return (
        f'<span class="verdict {_CLASSES[cell.verdict]}"><span aria-hidden="true">'
        f"{SIGNS[cell.verdict]}</span> {text(cell.text)}</span>"
    )
