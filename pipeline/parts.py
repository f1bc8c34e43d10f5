"""How a part stands in a design file: its own keys, and those of its shape family."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pipeline.bodies import PLACEMENT, family_keys, placement_in, shape_in, told, word_in
from pipeline.design import PartDesign
from pipeline.document import Entries, Node
from pipeline.fields import BAD, Bad, ChoiceKind, Reading, TextKind
from pipeline.records import Key, Record
from shapes.plugins import family_of
from shapes.registry import FAMILIES

NAME = TextKind(
    r"[^\s\x00-\x1f\x7f](?:[^\x00-\x1f\x7f]{0,78}[^\s\x00-\x1f\x7f])?",
    "a name of at most 80 characters",
)
NOTE = TextKind(
    r"[^\s\x00-\x1f\x7f-\x9f](?:[^\x00-\x1f\x7f-\x9f\u2028\u2029]{0,398}"
    r"[^\s\x00-\x1f\x7f-\x9f])?",
    "a text of one line, at most 400 characters",
)
POUR = ChoiceKind(("solid", "pearl", "hybrid"))
COLOUR = TextKind(r"#[0-9A-Fa-f]{6}", "a colour in quotes, such as '#B5482A'")


def part_record(word: str) -> Record:
    """All keys of a part whose shape is of the family with this word."""
    own = (
        Key("name", NAME, "what the part is called"),
        Key("material", NAME, "one of the materials above"),
        Key("shape", ChoiceKind((word,)), "the shape family"),
        Key("colour", COLOUR, "its colour in pictures and files", required=False),
        Key("pour", POUR, "how its resin is mixed, in pictures", required=False),
        Key("second_colour", COLOUR, "what is swirled into a pearl or hybrid pour", required=False),
        Key("note", NOTE, "your own words about it; they change no figure", required=False),
    )
    return Record(
        f"part, {word}",
        told(family_of(word)),
        own + family_keys(family_of(word)) + PLACEMENT,
    )


@dataclass(frozen=True)
class PartKind:
    """A part: the shape's word decides which other keys there are."""

    @property
    def allowed(self) -> str:
        return "a part with keys name, material, shape and those of its shape"

    def read(self, node: Node, path: str, reading: Reading) -> PartDesign | Bad:
        word = word_in(node, path, reading, self.allowed)
        if isinstance(word, Bad) or not isinstance(node, Entries):
            return BAD
        found = part_record(word).read(node, path, reading)
        if isinstance(found, Bad):
            return BAD
        if "second_colour" in found and found.get("pour", "solid") == "solid":
            return reading.refuse(
                node,
                node.line,
                f"{path}.second_colour",
                "a second colour where pour is pearl or hybrid",
                "a solid pour has one colour",
            )
        built = shape_in(word, found, node, path, reading)
        if isinstance(built, Bad):
            return BAD
        return PartDesign(
            found["name"],
            found["material"],
            built,
            placement_in(found),
            found.get("colour"),
            node.line,
            found.get("note", ""),
            found.get("pour", "solid"),
            found.get("second_colour"),
        )

    def schema(self) -> dict[str, Any]:
        return {"oneOf": [part_record(word).schema() for word in FAMILIES]}
