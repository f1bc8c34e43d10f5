"""The picture of a dossier's page in renders: what Chromium shows of the Dunlin's.

Run it after a change to the page: `.venv/bin/python docs/make_dossier_picture.py`.
"""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from pipeline.ball import build_ball
from pipeline.dossier.writing import write_dossier
from pipeline.load import load
from pipeline.shipped import shipped

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
)  # fmt: skip
SIZE = {"width": 1280, "height": 860}


def shown(page_file: Path, browser: str) -> bytes:
    """The section on the ball as the browser shows it, as a PNG."""
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=browser, args=list(FLAGS))
        page = opened.new_context(viewport=SIZE, offline=True).new_page()  # type: ignore[arg-type]
        page.goto(page_file.as_uri())
        page.wait_for_selector("#space[data-state=ready]")
        page.evaluate("window.scrollTo(0, document.querySelector('#ball').offsetTop)")
        page.wait_for_timeout(1000)
        data = page.screenshot()
        opened.close()
    with Image.open(io.BytesIO(data)) as image:
        out = io.BytesIO()
        image.convert("RGB").quantize(256, dither=Image.Dither.NONE).save(out, "PNG")
    return out.getvalue()


if __name__ == "__main__":
    chromium = shutil.which("chromium")
    if chromium is None:
        sys.exit("Chromium is not there; on Debian: apt-get install chromium")
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        ball = build_ball(load(shipped("dunlin")))
        written = write_dossier(ball, place / "dunlin.html", place / "dunlin.pdf")
        target = Path(__file__).parents[1] / "renders" / "dunlin-dossier.png"
        target.write_bytes(shown(written.page, chromium))
        print(f"{target.name}: {target.stat().st_size // 1000} kB")
