"""A dossier written: its page and its PDF from the same data, both whole or neither."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.ball import Ball
from pipeline.dossier.changed import Earlier, earlier_of
from pipeline.dossier.contents import Contents, contents
from pipeline.dossier.page import inlined, page_of
from pipeline.dossier.pdf import Paper, pdf_of
from pipeline.dossier.pictures import pictures
from pipeline.dossier.reading import NoDossier, read_page
from pipeline.dossier.section_list import document_of
from pipeline.dossier.space import space_of
from pipeline.errors import OutputError
from pipeline.fields import nearest
from pipeline.folder import whole_file
from pipeline.uncollected import uncollected

PAPERS: tuple[Paper, ...] = ("a4", "letter")


@dataclass(frozen=True, eq=False)
class Written:
    """What was written.

    Attributes:
        contents: all that was worked out.
        page, pdf: the files.
    """

    contents: Contents
    page: Path
    pdf: Path


def write_dossier(
    ball: Ball, page: Path, pdf: Path, paper: Paper = "a4", since: Path | None = None
) -> Written:
    """Make the dossier of a ball.

    Args:
        ball: as its design asks for, before holes are drilled.
        page: the HTML file to write.
        pdf: the PDF file to write.
        paper: of the PDF.
        since: the page of an earlier dossier, to tell what changed.

    Raises:
        OutputError: a file cannot be written; nothing was changed.
        NoDossier: `since` is no page of a dossier.
        CorewrightError: the ball cannot be made, drilled or cast as asked; nothing was changed.
    """
    _check_names(page, pdf)
    earlier = None if since is None else _earlier(since)
    with uncollected(), whole_file(page) as page_file, whole_file(pdf) as pdf_file:
        found = contents(ball, earlier)
        taken = pictures(found)
        data: dict[str, Any] = found.data
        data["pictures"] = [one.row for one in taken]
        files = {one.picture.key: one.picture for one in taken}
        page_file.write_bytes(page_of(data, space_of(found), files))
        attached = {"dossier.json": inlined(data).encode()}
        pdf_file.write_bytes(pdf_of(document_of(data), files, paper, attached))
    return Written(found, page, pdf)


def paper_of(word: str) -> Paper:
    """The paper of that name.

    Raises:
        OutputError: there is no such paper; names those there are.
    """
    for paper in PAPERS:
        if word.lower() == paper:
            return paper
    near = nearest(word.lower(), list(PAPERS))
    raise OutputError(
        f"--paper: read '{word}'; allowed: {', '.join(PAPERS)}{f'; {near}' if near else ''}"
    )


def _check_names(page: Path, pdf: Path) -> None:
    for file, option, endings in ((page, "--out", (".html", ".htm")), (pdf, "--pdf", (".pdf",))):
        if file.suffix.lower() not in endings:
            raise OutputError(f"{option}: read '{file}'; give a name that ends in {endings[0]}")


def _earlier(since: Path) -> Earlier:
    try:
        return earlier_of(read_page(since).data)
    except NoDossier as error:
        raise NoDossier(f"--since: {error}") from error
    except (KeyError, TypeError, AttributeError, IndexError) as error:
        raise NoDossier(
            f"--since: {since} lacks figures that this version tells of ({error}); give a page "
            "that this version's `dossier` made"
        ) from error
