"""A page taken apart by a parser of HTML: elements with attributes, words, scripts, styles."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

VOID = {"meta", "link", "img", "br", "hr", "input"}
Attributes = dict[str, str | None]


@dataclass
class Element:
    """An element: its tag, its attributes, and the tags that it lies in."""

    tag: str
    attributes: Attributes
    inside: tuple[str, ...]
    text: str = ""


@dataclass
class Tree(HTMLParser):
    """The page.

    Attributes:
        elements: in their order.
        others: comments, declarations and instructions.
        unclosed: end tags that close nothing that is open, and what is open at the end.
    """

    elements: list[Element] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    unclosed: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._open: list[Element] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(set(names)) == len(names), f"an attribute twice: {tag} {names}"
        element = Element(tag, dict(attrs), tuple(one.tag for one in self._open))
        self.elements.append(element)
        if tag not in VOID:
            self._open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        inside = tuple(one.tag for one in self._open)
        self.elements.append(Element(tag, dict(attrs), inside))

    def handle_endtag(self, tag: str) -> None:
        if self._open and self._open[-1].tag == tag:
            self._open.pop()
        else:
            self.unclosed.append(tag)

    def handle_data(self, data: str) -> None:
        if self._open:
            self._open[-1].text += data

    def handle_comment(self, data: str) -> None:
        self.others.append(f"comment: {data}")

    def handle_decl(self, decl: str) -> None:
        self.others.append(f"declaration: {decl}")

    def handle_pi(self, data: str) -> None:
        self.others.append(f"instruction: {data}")

    def unknown_decl(self, data: str) -> None:
        self.others.append(f"unknown: {data}")

    def tags(self, name: str) -> list[Element]:
        """All elements of a tag."""
        return [one for one in self.elements if one.tag == name]

    def shape(self, drawings: bool = True) -> list[tuple[str, tuple[str, ...], tuple[str, ...]]]:
        """Tag, names of attributes and ancestors of every element; without those in drawings."""
        return [
            (one.tag, tuple(one.attributes), one.inside)
            for one in self.elements
            if drawings or "svg" not in one.inside
        ]


def tree(page: str | bytes) -> Tree:
    """A page, or a piece of one, taken apart."""
    found = Tree()
    found.feed(page.decode() if isinstance(page, bytes) else page)
    found.close()
    found.unclosed += [one.tag for one in found._open]
    return found
