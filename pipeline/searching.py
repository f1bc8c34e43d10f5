"""From the keys that say what to search for to the numbers that they name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from pipeline.document import Entries, Items, Node, Scalar
from pipeline.errors import Problem
from pipeline.fields import Bad, Number, NumberKind, QuantityKind, Reading, nearest
from pipeline.wanted import Extent, Line, Means, Sense, Tie, Varied, Wall, Wanted

_SENSES: tuple[Sense, ...] = ("with", "against", "beside")


def wanted(found: Mapping[str, Any], node: Node, reading: Reading) -> Wanted:
    """Aims, walls and what varies of a design that was read; problems are noted."""
    names = [part.name for part in found["parts"]]
    keep = found.get("keep", {})
    kept = node.entries.get("keep") if isinstance(node, Entries) else None
    reading.problems.extend(_unknown_parts(kept, names))
    vary = node.entries.get("vary") if isinstance(node, Entries) else None
    varied = []
    taken: dict[str, int] = {}
    for k, keys in enumerate(found.get("vary", ())):
        entry = vary.items[k] if isinstance(vary, Items) else node
        one = _varied(keys, entry, f"vary[{k}]", names, reading, taken)
        if one is not None:
            varied.append(one)
    return Wanted(
        tuple(found.get("aim", {}).values()),
        tuple(Wall(w["part"], w["inside"], w["at_least"]) for w in keep.get("walls", ())),
        tuple(
            Extent(e["part"], e["along"], e.get("from"), e.get("to"))
            for e in keep.get("extents", ())
        ),
        keep["limits"]["margin"] if "limits" in keep else None,
        tuple(varied),
        _line(found, node, reading),
    )


def _line(found: Mapping[str, Any], node: Node, reading: Reading) -> Line:
    keys = found.get("lineup", {})
    entry = node.entries.get("lineup") if isinstance(node, Entries) else None
    by = entry.entries.get("by") if isinstance(entry, Entries) else None
    means = []
    known = list(found["materials"])
    for k, one in enumerate(keys.get("by", ())):
        place = by.items[k] if isinstance(by, Items) else node
        path = f"lineup.by[{k}]"
        is_material = set(one) == {"material", "from", "to"}
        if not is_material and set(one) != {"core"}:
            reading.refuse(place, place.line, path, "{material, from, to} or {core: [sizes]}")
            continue
        if k == 0 and not is_material:
            reading.refuse(
                place, place.line, path,
                "a material: the first means is what brings every ball to its weight",
            )  # fmt: skip
        if is_material and one["material"] not in known:
            word = Scalar(one["material"], place.line)
            reading.refuse(
                word, place.line, f"{path}.material", ", ".join(known),
                advice=nearest(one["material"], known),
            )  # fmt: skip
        if is_material and not one["from"] < one["to"]:
            reading.refuse(place, place.line, path, "from less than to")
        means.append(
            Means(one["material"], one["from"], one["to"], (), place.line)
            if is_material
            else Means(sizes=tuple(one["core"]), line=place.line)
        )
    weights = tuple(keys.get("weights", ()))
    for k, group in enumerate(keys.get("share", ())):
        strange = [w for w in group if weights and w not in weights]
        if strange:
            reading.refuse(
                entry, node.line if entry is None else entry.line, f"lineup.share[{k}]",
                "weights that are listed under weights",
            )  # fmt: skip
    hold = tuple(keys.get("hold", found.get("aim", {})).values())
    return Line(weights, hold, tuple(means), tuple(tuple(g) for g in keys.get("share", ())))


def _unknown_parts(node: Node | None, names: list[str], path: str = "keep") -> Iterator[Problem]:
    """Parts that walls and extents name and the design has not."""
    if isinstance(node, Items):
        for k, item in enumerate(node.items):
            yield from _unknown_parts(item, names, f"{path}[{k}]")
    elif isinstance(node, Entries):
        for key, value in node.entries.items():
            if key in ("part", "inside") and isinstance(value, Scalar):
                if value.text not in names:
                    yield Problem(
                        value.line, f"{path}.{key}", f"read {value.shown}",
                        f"allowed: {', '.join(names)}", nearest(value.text, names),
                    )  # fmt: skip
            elif key in ("walls", "extents"):
                yield from _unknown_parts(value, names, f"{path}.{key}")


def _varied(
    keys: Mapping[str, Any],
    node: Node,
    path: str,
    names: list[str],
    reading: Reading,
    taken: dict[str, int],
) -> Varied | None:
    targets = [word for word in ("part", "material", "ball") if word in keys]
    if len(targets) != 1 or ("field" in keys) != ("part" in keys):
        reading.refuse(node, node.line, path, "one of {part, field}, {material} and {ball: weight}")
        return None
    if targets == ["part"]:
        target = _target(keys["part"], keys["field"], path, node, names, reading)
        name = f"{keys['part']} {keys['field']}"
    elif targets == ["material"]:
        target, name = f"materials.{keys['material']}.density", f"density of {keys['material']}"
    else:
        target, name = "ball.weight", "weight of the ball"
    number = None if target is None else _number(target, path, node, reading, taken)
    if target is None or number is None:
        return None
    low, high = (number.kind.read(keys[end], f"{path}.{end}", reading) for end in ("from", "to"))
    if isinstance(low, Bad) or isinstance(high, Bad):
        return None
    if not low < high:
        reading.refuse(
            keys["to"], keys["to"].line, f"{path}.to", f"more than from, '{keys['from'].text}'"
        )
        return None
    ties = _ties(keys, number, path, node, names, reading, taken)
    return Varied(target, name, number.unit, number.size, number.value, low, high, ties, node.line)


def _target(
    part: str, field: str, path: str, node: Node, names: list[str], reading: Reading
) -> str | None:
    if part not in names:
        line = node.entries["part"].line if isinstance(node, Entries) else node.line
        reading.refuse(
            Scalar(part, line), line, f"{path}.part", ", ".join(names), advice=nearest(part, names)
        )
        return None
    return f"parts[{names.index(part)}].{field}"


def _number(
    target: str, path: str, node: Node, reading: Reading, taken: dict[str, int]
) -> Number | None:
    """The number of the file that a target names, when it may vary and nothing else varies it."""
    known = reading.numbers
    number = known.get(target)
    stem = re.match(r"parts\[\d+\]\.|", target)
    inside = stem[0] if stem else ""
    said = Scalar(target[len(inside) :], node.line)
    if number is None:
        there = [p[len(inside) :] for p in known if p.startswith(inside or "materials.")]
        reading.refuse(
            said, node.line, path,
            f"a number that stands in the file: {', '.join(there[:12])}",
            advice=nearest(said.text, there) or "write its value in the file first",
        )  # fmt: skip
        return None
    if isinstance(number.kind, NumberKind) and number.kind.whole:
        reading.refuse(said, node.line, path, "a number that is not a count")
        return None
    if target in taken:
        reading.refuse(said, node.line, path, f"a number once; line {taken[target]} varies it")
        return None
    taken[target] = node.line
    return number


def _ties(
    keys: Mapping[str, Any],
    number: Number,
    path: str,
    node: Node,
    names: list[str],
    reading: Reading,
    taken: dict[str, int],
) -> tuple[Tie, ...]:
    found = []
    for sense in _SENSES:
        for part, field in keys.get(sense, ()):
            own = part or keys.get("part")
            if own is None:
                reading.refuse(
                    Scalar(field, node.line),
                    node.line,
                    f"{path}.{sense}",
                    "{part: ..., field: ...}",
                )
                continue
            target = _target(own, field, path, node, names, reading)
            other = None if target is None else _number(target, path, node, reading, taken)
            if target is None or other is None:
                continue
            if _quantity(other) != _quantity(number):
                reading.refuse(
                    Scalar(field, node.line), node.line, f"{path}.{sense}",
                    "a number of the same kind: a length beside a length, an angle beside an angle",
                )  # fmt: skip
                continue
            found.append(Tie(target, sense, other.value - number.value))
    return tuple(found)


def _quantity(number: Number) -> str:
    return number.kind.quantity.name if isinstance(number.kind, QuantityKind) else "number"
