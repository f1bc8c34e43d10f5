"""The sections of the document in their order, and the document made of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pipeline.dossier.axes_section import axes_section
from pipeline.dossier.changed_section import changed_section
from pipeline.dossier.closing_sections import cautions_section, signing_section
from pipeline.dossier.document import Document, Section
from pipeline.dossier.drilled_section import drilled_section
from pipeline.dossier.glossary_section import glossary_section
from pipeline.dossier.identity_section import identity_section
from pipeline.dossier.limits_section import limits_section
from pipeline.dossier.line_section import line_section
from pipeline.dossier.mass_section import mass_section
from pipeline.dossier.materials_section import materials_section
from pipeline.dossier.routes_section import routes_section
from pipeline.dossier.sensitivity_section import sensitivity_section
from pipeline.dossier.space_section import space_section
from pipeline.dossier.sphere_section import sphere_section
from pipeline.dossier.tooling_section import tooling_section
from pipeline.dossier.verdict_section import verdict_section

Data = Mapping[str, Any]
SECTIONS: tuple[Callable[[Data], Section | None], ...] = (
    verdict_section,
    space_section,
    identity_section,
    materials_section,
    mass_section,
    axes_section,
    routes_section,
    limits_section,
    line_section,
    sphere_section,
    sensitivity_section,
    drilled_section,
    tooling_section,
    changed_section,
    glossary_section,
    cautions_section,
    signing_section,
)


def document_of(data: Data) -> Document:
    """The document that data tell; what a design does not have is left out.

    Args:
        data: of `pipeline.dossier.contents`, with its pictures.
    """
    design = data["design"]
    found = (section(data) for section in SECTIONS)
    return Document(
        f"{design['name']}, revision {design['revision']}",
        f"Review dossier of a ten-pin bowling ball's core; {data['note']}.",
        design["date"] or "",
        tuple(section for section in found if section is not None),
    )
