"""Draw the pictures of renders/ anew: run it after a change to a shipped design or to the look."""

from __future__ import annotations

from pathlib import Path

from pipeline.ball import build_ball
from pipeline.load import load
from pipeline.picture import picture
from pipeline.shipped import NAMES, shipped
from pipeline.weigh import weigh

SIZE = (1280, 720)

if __name__ == "__main__":
    folder = Path(__file__).parents[1] / "renders"
    for name in NAMES:
        ball = build_ball(load(shipped(name)))
        target = folder / f"{name}-cutaway.png"
        target.write_bytes(picture(ball, weigh(ball), size=SIZE))
        print(f"{target.name}: {target.stat().st_size // 1000} kB")
