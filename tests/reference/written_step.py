"""STEP files of flat-faced bodies written line by line after ISO 10303-21 and 10303-42: no kernel.

Entities and their attributes as in the application protocols' schemas (AP203, AP214, AP242); from
memory, and held to be right by the reader taking them.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

SCHEMAS = {
    "AP203": "CONFIG_CONTROL_DESIGN",
    "AP214": "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }",
    "AP242": "AP242_MANAGED_MODEL_BASED_3D_ENGINEERING_MIM_LF { 1 0 10303 442 1 1 4 }",
}
# corners and faces of a unit cube, each face counter-clockwise seen from outside
CUBE = np.array([[x, y, z] for z in (0, 1) for y in (0, 1) for x in (0, 1)], dtype=float)
CUBE_FACES = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]


@dataclass
class StepText:
    """A file in the making: entities get their numbers in the order in which they are added."""

    protocol: str = "AP214"
    unit: str = "mm"
    lines: list[str] = field(default_factory=list)

    def add(self, entity: str) -> str:
        self.lines.append(f"#{len(self.lines) + 1}={entity};")
        return f"#{len(self.lines)}"

    def text(self) -> bytes:
        head = (
            "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n"
            "FILE_NAME('body','2026-11-25T00:00:00',(''),(''),'','','');\n"
            f"FILE_SCHEMA(('{SCHEMAS[self.protocol]}'));\nENDSEC;\nDATA;\n"
        )
        return (head + "\n".join(self.lines) + "\nENDSEC;\nEND-ISO-10303-21;\n").encode()

    def context(self) -> str:
        if self.unit == "in":
            mm = self.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))")
            size = self.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)")
            per = self.add(f"LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),{mm})")
            length = self.add(
                f"(CONVERSION_BASED_UNIT('INCH',{per})LENGTH_UNIT()NAMED_UNIT({size}))"
            )
        else:
            prefix = {"mm": ".MILLI.", "cm": ".CENTI.", "m": "$"}[self.unit]
            length = self.add(f"(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT({prefix},.METRE.))")
        angle = self.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
        solid = self.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
        fine = self.add(
            f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-6),{length},'distance','')"
        )
        return self.add(
            "(GEOMETRIC_REPRESENTATION_CONTEXT(3)"
            f"GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({fine}))"
            f"GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{solid}))"
            "REPRESENTATION_CONTEXT('',''))"
        )

    def product(self, name: str) -> tuple[str, str]:
        """Product definition and its shape."""
        application = self.add("APPLICATION_CONTEXT('mechanical design')")
        of = self.add(f"PRODUCT_CONTEXT('',{application},'mechanical')")
        product = self.add(f"PRODUCT('{name}','{name}','',({of}))")
        version = self.add(f"PRODUCT_DEFINITION_FORMATION('','',{product})")
        view = self.add(f"PRODUCT_DEFINITION_CONTEXT('part definition',{application},'design')")
        definition = self.add(f"PRODUCT_DEFINITION('design','',{version},{view})")
        return definition, self.add(f"PRODUCT_DEFINITION_SHAPE('','',{definition})")

    def frame(self, at: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> str:
        point = self.point(np.array(at))
        z, x = self.add("DIRECTION('',(0.,0.,1.))"), self.add("DIRECTION('',(1.,0.,0.))")
        return self.add(f"AXIS2_PLACEMENT_3D('',{point},{z},{x})")

    def point(self, p: np.ndarray) -> str:
        return self.add(f"CARTESIAN_POINT('',({p[0]:.12f},{p[1]:.12f},{p[2]:.12f}))")

    def shell(self, corners: np.ndarray, faces: list[list[int]], closed: bool = True) -> str:
        """A shell of flat faces."""
        vertices = [self.add(f"VERTEX_POINT('',{self.point(p)})") for p in corners]
        edges: dict[tuple[int, int], str] = {}
        made = []
        for face in faces:
            turned = []
            for a, b in zip(face, [*face[1:], face[0]], strict=True):
                key = (min(a, b), max(a, b))
                if key not in edges:
                    way = corners[key[1]] - corners[key[0]]
                    d = way / np.linalg.norm(way)
                    direction = self.add(f"DIRECTION('',({d[0]:.12f},{d[1]:.12f},{d[2]:.12f}))")
                    vector = self.add(f"VECTOR('',{direction},1.)")
                    line = self.add(f"LINE('',{self.point(corners[key[0]])},{vector})")
                    edges[key] = self.add(
                        f"EDGE_CURVE('',{vertices[key[0]]},{vertices[key[1]]},{line},.T.)"
                    )
                sense = ".T." if (a, b) == key else ".F."
                turned.append(self.add(f"ORIENTED_EDGE('',*,*,{edges[key]},{sense})"))
            loop = self.add(f"EDGE_LOOP('',({','.join(turned)}))")
            bound = self.add(f"FACE_OUTER_BOUND('',{loop},.T.)")
            p, q, r = (corners[k] for k in face[:3])
            n = np.cross(q - p, r - p)
            n, x = n / np.linalg.norm(n), (q - p) / np.linalg.norm(q - p)
            normal = self.add(f"DIRECTION('',({n[0]:.12f},{n[1]:.12f},{n[2]:.12f}))")
            along = self.add(f"DIRECTION('',({x[0]:.12f},{x[1]:.12f},{x[2]:.12f}))")
            axis = self.add(f"AXIS2_PLACEMENT_3D('',{self.point(p)},{normal},{along})")
            plane = self.add(f"PLANE('',{axis})")
            made.append(self.add(f"ADVANCED_FACE('',({bound}),{plane},.T.)"))
        kind = "CLOSED_SHELL" if closed else "OPEN_SHELL"
        return self.add(f"{kind}('',({','.join(made)}))")


def body(
    name: str = "core",
    *,
    size: tuple[float, float, float] = (60.0, 50.0, 80.0),
    at: tuple[float, float, float] = (0.0, 0.0, 0.0),
    protocol: str = "AP214",
    unit: str = "mm",
    faces: list[list[int]] | None = None,
    as_solid: bool = True,
) -> bytes:
    """A block with its least corner at `at`, in the file's unit; or what its faces make of it."""
    step = StepText(protocol, unit)
    context = step.context()
    _, shape = step.product(name)
    _solid(step, context, shape, np.array(at) + CUBE * size, faces or CUBE_FACES, as_solid)
    return step.text()


def _solid(
    step: StepText,
    context: str,
    shape: str,
    corners: np.ndarray,
    faces: list[list[int]],
    as_solid: bool = True,
) -> str:
    shell = step.shell(corners, faces, closed=as_solid)
    frame = step.frame()
    if as_solid:
        solid = step.add(f"MANIFOLD_SOLID_BREP('',{shell})")
        held = step.add(f"ADVANCED_BREP_SHAPE_REPRESENTATION('',({frame},{solid}),{context})")
    else:
        model = step.add(f"SHELL_BASED_SURFACE_MODEL('',({shell}))")
        held = step.add(f"MANIFOLD_SURFACE_SHAPE_REPRESENTATION('',({frame},{model}),{context})")
    step.add(f"SHAPE_DEFINITION_REPRESENTATION({shape},{held})")
    return held


def assembly(
    parts: dict[str, tuple[tuple[float, float, float], tuple[float, float, float]]],
    unit: str = "mm",
) -> bytes:
    """Blocks by name, each with its size and where its own origin stands in the assembly."""
    step = StepText("AP242", unit)
    context = step.context()
    whole, whole_shape = step.product("ball")
    here = step.frame()
    frames, uses = [], []
    for name, (size, at) in parts.items():
        definition, shape = step.product(name)
        held = _solid(step, context, shape, CUBE * size, CUBE_FACES)
        frames.append(step.frame(at))
        uses.append((name, definition, held, frames[-1]))
    listed = ",".join([here, *frames])
    top = step.add(f"SHAPE_REPRESENTATION('',({listed}),{context})")
    step.add(f"SHAPE_DEFINITION_REPRESENTATION({whole_shape},{top})")
    for name, definition, held, frame in uses:
        use = step.add(
            f"NEXT_ASSEMBLY_USAGE_OCCURRENCE('{name}','{name}','',{whole},{definition},$)"
        )
        placed = step.add(f"PRODUCT_DEFINITION_SHAPE('','',{use})")
        moved = step.add(f"ITEM_DEFINED_TRANSFORMATION('','',{here},{frame})")
        relation = step.add(
            f"(REPRESENTATION_RELATIONSHIP('','',{held},{top})"
            f"REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION({moved})"
            "SHAPE_REPRESENTATION_RELATIONSHIP())"
        )
        step.add(f"CONTEXT_DEPENDENT_SHAPE_REPRESENTATION({relation},{placed})")
    return step.text()
