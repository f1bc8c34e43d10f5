"""The text of a STEP file as the CAD kernel writes it, finished: what the kernel gets wrong.

Names are written by ISO 10303-21's own rules, so that any letter survives in a file of pure ASCII.
The header and the kernel's running numbers are replaced, and colours, layers and validation
properties are set here, so that the same bodies give the same bytes.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.errors import KernelFault
from pipeline.naming import step_string
from pipeline.palette import rgb


@dataclass(frozen=True)
class Properties:
    """Geometric validation properties of a body (ISO/TS 10303-1039).

    Attributes:
        volume_mm3, area_mm2: of the solid.
        centroid_mm: (x, y, z) in the body's own frame.
    """

    volume_mm3: float
    area_mm2: float
    centroid_mm: tuple[float, float, float]


@dataclass(frozen=True)
class _Product:
    """Entities of one body: what holds its shape, its solid, the context of its coordinates."""

    definition: str
    solid: str
    context: str


def finished(text: str, names: Sequence[str], file: str, when: str, what: str) -> str:
    """The kernel's text with our header and names, and without its running numbers.

    Args:
        text: the kernel's, its products named cw0 (the whole), cw1, cw2 ...
        names: of the whole and of the bodies.
        file: the file's name.
        when: the time that the header carries.
        what: what the header says of the file after its name.

    Raises:
        KernelFault: the text is not whole.
    """
    schema = re.search(r"FILE_SCHEMA\s*\(\(\s*'([^']*)'\s*\)\)\s*;", text)
    start, end = text.find("ENDSEC;"), text.rstrip().endswith("END-ISO-10303-21;")
    if not schema or start < 0 or not end:
        raise KernelFault("the CAD kernel wrote a STEP file that is not whole")
    header = (
        "ISO-10303-21;\nHEADER;\n"
        f"FILE_DESCRIPTION(('{step_string(f'{names[0]}, {what}')}'),'2;1');\n"
        f"FILE_NAME('{step_string(file)}','{when}',(''),(''),'corewright','corewright','');\n"
        f"FILE_SCHEMA(('{schema[1]}'));\n"
    )
    body = re.sub(  # the running number goes: readers show it in place of some names
        r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE)\(\s*'\d+'\s*,\s*('cw\d+')\s*,\s*''\s*,\s*(#\d+)\s*,"
        r"\s*(#\d+)\s*,\s*\$\s*\)",
        r"\1(\2,\2,'',\3,\4,$)",
        text[start:],
    )
    if names[0] in names[1:]:  # readers tell products apart by the first of the two
        body = body.replace("PRODUCT('cw0'", f"PRODUCT('{step_string(names[0])} (assembly)'", 1)
    return header + re.sub(r"'cw(\d+)'", lambda m: f"'{step_string(names[int(m[1])])}'", body)


def coloured(text: str, colours: Sequence[str]) -> str:
    """The kernel's text with a colour, '#RRGGBB', for each solid; its own come in any order."""
    entities: list[str] = []
    for product, colour in zip(_products(text, len(colours)), colours, strict=True):
        shares = ",".join(f"{share:.6f}" for share in rgb(colour))  # COLOUR_RGB is sRGB
        entities += [
            f"COLOUR_RGB('',{shares})",
            "FILL_AREA_STYLE_COLOUR('',¶-1)",
            "FILL_AREA_STYLE('',(¶-1))",
            "SURFACE_STYLE_FILL_AREA(¶-1)",
            "SURFACE_SIDE_STYLE('',(¶-1))",
            "SURFACE_STYLE_USAGE(.BOTH.,¶-1)",
            "PRESENTATION_STYLE_ASSIGNMENT((¶-1))",
            f"STYLED_ITEM('colour',(¶-1),{product.solid})",
            f"MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(¶-1),{product.context})",
        ]
    return _with(text, entities)


def layered(text: str, layers: Sequence[str]) -> str:
    """The text with the solids on layers, one for each solid; '' for none."""
    products = _products(text, len(layers))
    entities = []
    for layer in dict.fromkeys(name for name in layers if name):
        own = [p.solid for p, name in zip(products, layers, strict=True) if name == layer]
        entities.append(
            f"PRESENTATION_LAYER_ASSIGNMENT('{step_string(layer)}','',({','.join(own)}))"
        )
    return _with(text, entities)


def validated(text: str, properties: Sequence[Properties | None]) -> str:
    """The text with validation properties of the parts that have some.

    They hang on the part's PRODUCT_DEFINITION_SHAPE, as the implementers' recommended practice for
    part-level properties has it (Geometric and Assembly Validation Properties, from memory).
    """
    products = _products(text, len(properties))
    if not any(properties):
        return text
    entities = [
        "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )",
        "DERIVED_UNIT_ELEMENT(¶0,2.)",
        "DERIVED_UNIT((¶1))",
        "DERIVED_UNIT_ELEMENT(¶0,3.)",
        "DERIVED_UNIT((¶3))",
    ]
    for product, own in zip(products, properties, strict=True):
        if own is None:
            continue
        area, volume = _real(own.area_mm2), _real(own.volume_mm3)
        centre = ",".join(_real(at) for at in own.centroid_mm)
        for name, item in (
            (
                "surface area",
                f"MEASURE_REPRESENTATION_ITEM('surface area measure',AREA_MEASURE({area}),¶2)",
            ),
            (
                "volume",
                f"MEASURE_REPRESENTATION_ITEM('volume measure',VOLUME_MEASURE({volume}),¶4)",
            ),
            ("centroid", f"CARTESIAN_POINT('centre point',({centre}))"),
        ):
            entities += [
                item,
                f"REPRESENTATION('{name}',(¶-1),{product.context})",
                f"PROPERTY_DEFINITION('geometric validation property','{name}',"
                f"{product.definition})",
                "PROPERTY_DEFINITION_REPRESENTATION(¶-1,¶-2)",
            ]
    return _with(text, entities)


def _real(number: float) -> str:
    """A number as ISO 10303-21 writes reals, always with a point; no digit is lost."""
    mantissa, _, exponent = repr(float(number) + 0.0).partition("e")
    point = mantissa if "." in mantissa else f"{mantissa}."
    return f"{point}E{int(exponent)}" if exponent else point


def _products(text: str, count: int) -> list[_Product]:
    """The bodies of the kernel's text in its order, which is that of cw1, cw2 ...

    Raises:
        KernelFault: there are not as many as are due.
    """
    pairs = re.findall(r"= SHAPE_DEFINITION_REPRESENTATION\((#\d+),\s*(#\d+)\)", text)
    shown = {shape: definition for definition, shape in pairs}
    found = [
        _Product(shown.get(shape, ""), solid, context)
        for shape, solid, context in re.findall(
            r"(#\d+) = ADVANCED_BREP_SHAPE_REPRESENTATION\(\s*'',\s*\(#\d+,\s*(#\d+)\s*\),"
            r"\s*(#\d+)\s*\)",
            text,
        )
    ]
    if len(found) != count or not all(product.definition for product in found):
        raise KernelFault(f"the CAD kernel wrote {len(found)} solids where {count} are due")
    return found


def _with(text: str, entities: Sequence[str]) -> str:
    """The text with entities at its end.

    ¶0 in one stands for the number of the first of them, ¶-1 for that of the one before it.
    """
    first = 1 + max(int(number) for number in re.findall(r"^#(\d+) =", text, re.MULTILINE))
    lines = []
    for at, entity in enumerate(entities, start=first):
        pieces = re.split("¶(-?\\d+)", entity)
        pieces[1::2] = [f"#{int(k) + (at if int(k) < 0 else first)}" for k in pieces[1::2]]
        lines.append(f"#{at} = {''.join(pieces)};\n")
    head, end, tail = text.rpartition("ENDSEC;")
    return head + "".join(lines) + end + tail
