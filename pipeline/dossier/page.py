"""A dossier as one HTML file that opens from disk, asks nothing of the network and runs one script.

A policy in the page allows that script and the page's own style by their hashes, pictures and the
face that lie in it, and nothing else.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any

from pipeline.dossier.document import Document, Section
from pipeline.dossier.page_blocks import Pictures, block, text
from pipeline.dossier.page_face import face_for
from pipeline.dossier.section_list import document_of

DATA, SPACE = "dossier", "scene"  # ids of the elements that hold them


def page_of(data: Mapping[str, Any], space: Mapping[str, Any], pictures: Pictures) -> bytes:
    """The page; the same data give the same bytes.

    Args:
        data: of `pipeline.dossier.contents`, with its pictures.
        space: of `pipeline.dossier.space`.
        pictures: the files of the pictures that the data name.
    """
    document = document_of(data)
    body = _body(document, pictures)
    script = _own("viewer.js")
    style = _style(body + script)
    parts = [
        "<!doctype html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{_policy(script, style)}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta name="color-scheme" content="light dark">',
        f"<title>{text(document.title)}: review dossier</title>",
        '<link rel="icon" href="data:,">',
        f"<style>{style}</style>",
        "</head>",
        body.replace("</body>", ""),
        f'<script type="application/json" id="{DATA}">{inlined(data)}</script>',
        f'<script type="application/json" id="{SPACE}">{inlined(space)}</script>',
        f"<script>{script}</script>",
        "</body>",
        "</html>",
        "",
    ]
    return "\n".join(parts).encode()


def inlined(data: Mapping[str, Any]) -> str:
    r"""Data as JSON that no HTML parser can leave early.

    >>> inlined({"name": "</script><!--"})
    '{"name":"\\u003c/script>\\u003c!--"}'
    """
    written = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for sign in ("<", "\u2028", "\u2029"):
        written = written.replace(sign, f"\\u{ord(sign):04x}")
    return written


def _body(document: Document, pictures: Pictures) -> str:
    date = f"<p>Date of the design: {text(document.date)}</p>" if document.date else ""
    contents = "".join(
        f'<li><a href="#{section.key}">{text(section.title)}</a></li>'
        for section in document.sections
    )
    sections = "".join(_section(section, pictures) for section in document.sections)
    return (
        f'<body>\n<a class="skip" href="#{document.sections[0].key}">Skip to the verdict</a>\n'
        f"<header><h1>{text(document.title)}</h1><p>{text(document.line)}</p>{date}</header>\n"
        f'<nav aria-label="Contents"><ol>{contents}</ol></nav>\n'
        f"<main>{sections}\n</main>\n</body>"
    )


def _section(section: Section, pictures: Pictures) -> str:
    blocks = "\n".join(block(one, pictures) for one in section.blocks)
    return (
        f'\n<section id="{section.key}" aria-labelledby="{section.key}-title">'
        f'<h2 id="{section.key}-title">{text(section.title)}</h2>\n{blocks}</section>'
    )


def _style(shown: str) -> str:
    """The page's own style, with the face that its letters need."""
    letters = "".join(sorted({c for c in shown if c.isprintable()}))
    face = base64.b64encode(face_for(letters)).decode("ascii")
    family = (
        '@font-face{font-family:"Source Sans 3";font-weight:200 900;'
        f'src:url("data:font/woff;base64,{face}") format("woff")}}'
    )
    return family + _own("page.css") + _own("viewer.css")


def _policy(script: str, style: str) -> str:
    return (
        f"default-src 'none'; script-src '{_hash(script)}'; style-src '{_hash(style)}'; "
        "img-src data: blob:; font-src data:; base-uri 'none'; form-action 'none'"
    )


def _hash(source: str) -> str:
    digest = hashlib.sha256(source.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode('ascii')}"


def _own(name: str) -> str:
    return files("pipeline.dossier").joinpath(name).read_text(encoding="utf-8")
