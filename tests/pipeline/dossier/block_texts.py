"""Every text of a document's blocks, for the tests that read all of it."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.dossier.document import (
    Block,
    Chart,
    Document,
    Items,
    Section,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Words,
)


def blocks_of(found: Document | Section) -> Iterator[Block]:
    """All blocks, those inside others as well."""
    if isinstance(found, Document):
        for section in found.sections:
            yield from blocks_of(section)
        return
    for block in found.blocks:
        yield block
        if isinstance(block, Space):
            yield from block.stills


def texts_of(block: Block) -> Iterator[str]:
    """What a reader reads of a block, alternative texts included."""
    if isinstance(block, Words):
        yield block.text
    elif isinstance(block, Items):
        yield from block.sentences
    elif isinstance(block, Terms):
        for pair in block.pairs:
            yield from pair
    elif isinstance(block, Table):
        yield block.caption
        yield from (column.name for column in block.columns)
        yield from (cell.text for row in block.rows for cell in row)
    elif isinstance(block, Chart | Still):
        yield block.caption
        yield block.alt
    elif isinstance(block, SignOff):
        yield from (*block.roles, *block.columns)


def said(section: Section) -> str:
    """All of a section in one text."""
    return "\n".join(text for block in blocks_of(section) for text in texts_of(block))


def table_of(section: Section, caption: str) -> Table:
    """The one table whose caption starts so."""
    (found,) = (
        block
        for block in section.blocks
        if isinstance(block, Table) and block.caption.startswith(caption)
    )
    return found


def cells(table: Table) -> dict[str, list[str]]:
    """The texts of each row by its name."""
    return {row[0].text: [cell.text for cell in row[1:]] for row in table.rows}
