"""What a picture shows, in sentences, for those who cannot see it and for whoever posts it."""

from __future__ import annotations

from pipeline.scene import Scene


def caption_of(scene: Scene) -> str:
    r"""Sentences made of the scene's own words: what is shown, its figures, its parts, its notes.

    >>> from pipeline.scene import Camera
    >>> scene = Scene("Plover", "A", (("low RG", "2.500 in", "medium"),), (), ("The whole ball.",),
    ...               Camera(0.0, 0.0), (), (), (), (), 1.0, None)
    >>> caption_of(scene)
    'Plover, revision A. The whole ball. Low RG 2.500 in (medium).\n'
    """
    named = f"{scene.name}, revision {scene.revision}." if scene.revision else f"{scene.name}."
    parts = "; ".join(f"{p.name} {p.density} g/cm\u00b3, {p.mass} lb" for p in scene.legend)
    labels = "; ".join(" ".join(label.lines) for label in scene.labels)
    lengths = "; ".join(dimension.words for dimension in scene.dimensions)
    sentences = [
        named,
        *scene.notes[:1],
        figures_said(scene),
        f"Parts: {parts}." if parts else "",
        f"Marked: {labels}." if labels else "",
        f"Lengths: {lengths}." if lengths else "",
        *scene.notes[1:],
    ]
    return " ".join(sentence for sentence in sentences if sentence) + "\n"


def figures_said(scene: Scene) -> str:
    """The figures of a scene's card as a sentence; empty where it has none."""
    rows = [
        f"{name} {value}" + (f" ({word})" if word else "") for name, value, word in scene.figures
    ]
    said = "; ".join(rows)
    return f"{said[:1].upper()}{said[1:]}." if said else ""
