"""The end: cautions, and lines to sign on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pipeline.dossier.document import Items, Section, SignOff, Words

Data = Mapping[str, Any]
_ALWAYS = (
    "Every verdict here is a design estimate. Only the governing body certifies a ball, from "
    "samples, and a changed construction must be reported to it.",
    "Error bounds are of the calculation alone. Balls vary from pour to pour: check the first "
    "article's size, mass and measured RG.",
    "Resins, isocyanates, peroxides, styrene, fillers and dust can harm people, some of them for "
    "good; peroxides and promoters must never meet directly, and thick pours overheat. Follow the "
    "data sheets, local codes and licensed practice.",
)
_CAST = (
    "Moulds are heavy and close with force: guard hands, clamp to the maker's figures. The shop "
    "verifies draft, shrinkage, clamping and venting."
)
_DRILLED = (
    "Drilling throws dust and holds a heavy ball against a turning tool: clamp it, guard eyes and "
    "lungs, and leave the work to who is trained for it. Drilling changes every figure, and the "
    "rules on drilled balls are held by the governing body."
)


def cautions_section(data: Data) -> Section:
    """What to mind before anything is made from this."""
    sentences = [*_ALWAYS]
    sentences += [_CAST] if "tooling" in data else []
    sentences += [_DRILLED] if "drilling" in data["figures"] else []
    return Section(
        "cautions", "Cautions", tuple(Words(sentence, "caution") for sentence in sentences)
    )


def signing_section(_: Data) -> Section:
    """Blank lines; nothing is filled in."""
    return Section(
        "sign-off",
        "Sign-off",
        (
            Items(
                (
                    "Prepared: the design and its data are those meant.",
                    "Checked: figures, limits and castings were read and hold.",
                    "Approved: the design may go on.",
                )
            ),
            SignOff(("prepared", "checked", "approved"), ("name", "signature", "date")),
        ),
    )
