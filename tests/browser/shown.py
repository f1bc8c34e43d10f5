"""A dossier's page as a reader uses it, and what its ball in space tells of itself."""

from __future__ import annotations

import base64
import io
import json
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image
from playwright.sync_api import Locator, Page

from tests.browser.browsers import Seen
from tests.browser.cameras import Camera

Pixels = npt.NDArray[np.int64]
_SHOT = """() => {
  corewrightSpace.frame();
  return document.querySelector('#space canvas').toDataURL('image/png').split(',')[1];
}"""
_TOLD = """(key) => {
  corewrightSpace.frame();
  return document.querySelector('#space').dataset[key];
}"""
_RESTORE = """async () => {
  document.activeElement.blur();
  history.replaceState(null, '', location.pathname);
  scrollTo(0, 0);
  for (const one of document.querySelectorAll('.table')) one.scrollLeft = 0;
  const buttons = [...document.querySelectorAll('#space .sp-bar-below button')];
  buttons.find((one) => one.textContent === 'Reset')?.click();
  // the page hears of a new size with the next frame
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  window.corewrightSpace?.frame();
}"""
_VIEW = """() => {
  corewrightSpace.frame();
  const { width, height } = document.querySelector('#space canvas').getBoundingClientRect();
  return [document.querySelector('#space').dataset.view, [width, height]];
}"""


class Shown:
    """A page that is open.

    Attributes:
        page: as the browser has it.
        seen: what it did.
    """

    def __init__(self, page: Page, seen: Seen) -> None:
        self.page = page
        self.seen = seen

    def restore(self, width: int, height: int, *, dark: bool) -> None:
        """Bring back what there was when it was opened."""
        self.page.mouse.move(0, 0)
        self.page.set_viewport_size({"width": width, "height": height})
        self.page.emulate_media(media="screen", color_scheme="dark" if dark else "light")
        self.page.evaluate(_RESTORE)

    # --- what it holds

    @cached_property
    def data(self) -> dict[str, Any]:
        """What the dossier tells."""
        return self._json("dossier")

    @cached_property
    def scene(self) -> dict[str, Any]:
        """What is shown in space."""
        return self._json("scene")

    def _json(self, key: str) -> dict[str, Any]:
        text = self.page.locator(f"script#{key}").text_content()
        found: dict[str, Any] = json.loads(text or "")
        return found

    # --- what is shown

    def frame(self) -> None:
        """Have the picture drawn as it is asked for now, with nothing still on its way."""
        self.page.evaluate("corewrightSpace.frame()")

    def told(self, key: str) -> Any:
        """One of the values that #space tells, once the picture is drawn."""
        return json.loads(self.page.evaluate(_TOLD, key))

    @property
    def camera(self) -> Camera:
        view, size = self.page.evaluate(_VIEW)
        return Camera.told(json.loads(view), size)

    def picture(self) -> Pixels:
        """The canvas, without labels: shape (height, width, 3), 0 to 255."""
        png = base64.b64decode(self.page.evaluate(_SHOT))
        return np.array(Image.open(io.BytesIO(png)).convert("RGB"), dtype=np.int64)

    @property
    def faces(self) -> dict[str, float]:
        """Areas, mm2, of the section's faces by their parts; every cut must have closed."""
        section = self.told("section")
        assert [one["open"] for one in section["faces"]] == [0] * len(section["faces"])
        return {one["part"]: one["area_mm2"] for one in section["faces"]}

    @property
    def labels(self) -> list[str]:
        """The words in the picture that are seen."""
        self.frame()
        found: list[str] = self.page.evaluate(
            "[...document.querySelectorAll('#space .sp-label:not(.sp-away)')]"
            ".map((one) => one.textContent)"
        )
        return sorted(found)

    @property
    def reading(self) -> str:
        """What is told of the points that were picked."""
        return self.page.locator(".sp-reading").inner_text()

    # --- controls

    @property
    def canvas(self) -> Locator:
        return self.page.locator("#space canvas")

    @property
    def plane(self) -> Locator:
        return self.page.get_by_label("Plane")

    def press(self, name: str) -> None:
        """Press the button of that name, and wait until the view that it asks for is there."""
        self.page.locator("#space").get_by_role("button", name=name, exact=True).click()
        self.frame()

    def box(self, name: str) -> Locator:
        """A box to tick, or a dot of the clicks, by its label."""
        return self.page.locator("#space").get_by_label(name, exact=True)

    def slide(self, name: str, value: float) -> None:
        """Set a slider."""
        self.page.locator("#space").get_by_label(name, exact=True).fill(f"{value:g}")

    def cut(self, plane: str, position_in: float | None = None) -> None:
        """Choose a section's plane by its words, and its place."""
        self.plane.select_option(label=plane)
        if position_in is not None:
            self.slide("Position", position_in)

    def alone(self) -> None:
        """Nothing but parts in the picture."""
        for name in ("Principal axes", "Marks", "Holes"):
            box = self.box(name)
            if box.count():
                box.uncheck()

    def click(self, x: float, y: float) -> Any:
        """Click a pixel of the canvas; what was read."""
        self.canvas.click(position={"x": float(x), "y": float(y)})
        return self.told("reading")

    def drag(self, by_x: float, by_y: float, *, shift: bool = False) -> None:
        """Drag from the middle of the canvas."""
        self.canvas.scroll_into_view_if_needed()
        box = self.canvas.bounding_box()
        assert box is not None
        x, y = box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0
        keyboard, mouse = self.page.keyboard, self.page.mouse
        if shift:
            keyboard.down("Shift")
        mouse.move(x, y)
        mouse.down()
        mouse.move(x + by_x, y + by_y, steps=8)
        mouse.up()
        if shift:
            keyboard.up("Shift")
