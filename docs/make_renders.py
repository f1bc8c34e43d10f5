"""Draw the pictures of renders/ anew: run it after a change to a shipped design or to the look."""

from __future__ import annotations

from pathlib import Path

from pipeline.ball import build_ball
from pipeline.effects import has_trial
from pipeline.load import load
from pipeline.picture import picture
from pipeline.portrait import portrait
from pipeline.shipped import NAMES, shipped
from pipeline.weigh import weigh
from shapes.registry import FAMILIES

SIZE = (1280, 720)

if __name__ == "__main__":
    folder = Path(__file__).parents[1] / "renders"
    for name in NAMES:
        ball = build_ball(load(shipped(name)))
        target = folder / f"{name}-cutaway.png"
        target.write_bytes(picture(ball, weigh(ball), size=SIZE))
        print(f"{target.name}: {target.stat().st_size // 1000} kB")
    (folder / "shapes").mkdir(exist_ok=True)
    for word, family in FAMILIES.items():
        if has_trial(word):
            target = folder / "shapes" / f"{word}.png"
            target.write_bytes(portrait(family.typical()))
            print(f"shapes/{target.name}: {target.stat().st_size // 1000} kB")
