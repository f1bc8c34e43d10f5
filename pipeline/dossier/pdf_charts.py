"""A chart for print: an SVG as typst sets it, its words in letters of our face.

typst's reader of SVG gives a variable face its lightest weight where 400 is asked for, so that
every text names its weight on the face's own axis.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET

from pipeline.dossier.pdf_letters import shaped
from pipeline.errors import KernelFault
from pipeline.fonts import BOLD, PLAIN

_SVG = "http://www.w3.org/2000/svg"
_TEXTS = {f"{{{_SVG}}}text", f"{{{_SVG}}}tspan"}
_HEAVY = {"bold", "bolder", "500", "600", "700", "800", "900"}


def printed(svg: str) -> tuple[str, float]:
    """The chart's SVG for typst, and how wide it is for its height.

    Raises:
        KernelFault: it is no SVG with a viewBox.
    """
    try:
        root = ET.fromstring(svg if _SVG in svg else svg.replace("<svg", f'<svg xmlns="{_SVG}"', 1))
        _, _, wide, high = (float(x) for x in root.attrib["viewBox"].replace(",", " ").split())
        ratio = wide / high
    except (ET.ParseError, KeyError, ValueError, ZeroDivisionError) as error:
        raise KernelFault(f"a chart is no SVG with a viewBox: {error}") from error
    _name_the_face(root, PLAIN)
    return ET.tostring(root, encoding="unicode"), ratio


def _name_the_face(element: ET.Element, weight: int) -> None:
    asked = element.attrib.get("font-weight")
    if asked is not None:
        weight = BOLD if asked in _HEAVY else PLAIN
    if element.tag in _TEXTS:
        element.set("font-family", "Source Sans 3")
        element.set("font-weight", str(weight))
        element.set("style", f"font-variation-settings: 'wght' {weight}")
        element.text = shaped(element.text or "")
    for child in element:
        _name_the_face(child, weight)
        if element.tag in _TEXTS:
            child.tail = shaped(child.tail or "")
