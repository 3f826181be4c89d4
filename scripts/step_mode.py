"""Step mode on a phone as PNG, its start and its diagram: `python -m scripts.step_mode PAGE STEP PICTURE`."""

from __future__ import annotations

import base64
import io
import sys
import tempfile
from pathlib import Path

from PIL import Image

from tests.render.browser import Browser

_WIDTH, _HEIGHT = 390, 844
_GAP = 36
"""Pixels between the two pictures."""
_UNTIL = """
document.getElementById("stepping").click();
for (let n = 1; n < {step}; n += 1) document.getElementById("done").click();
document.querySelector(".current").dataset.number
"""
_PLACES = ("scrollTo(0, 0)", "document.querySelector('#now .in-hand').scrollIntoView({block: 'center'})")


def pictures(page: Path, step: str) -> list[Image.Image]:
    """What a phone shows once the steps before are ticked: the top, and the diagram where the work is.

    Raises SystemExit if the page does not go on to the step, as at a reading to write down.
    """
    with tempfile.TemporaryDirectory() as profile:
        browser = Browser(Path(profile))
        try:
            browser.visit(page, width=_WIDTH, height=_HEIGHT)
            if (at := browser.evaluate(_UNTIL.format(step=int(step)))) != step:
                raise SystemExit(f"{page.name}: the page stops at step {at} and does not go on to {step}")
            size = {"width": _WIDTH, "height": _HEIGHT, "deviceScaleFactor": 1.5, "mobile": True}
            browser.call("Emulation.setDeviceMetricsOverride", **size)
            browser.call("Emulation.setScrollbarsHidden", hidden=True)
            return [_seen(browser, place) for place in _PLACES]
        finally:
            browser.close()


def _seen(browser: Browser, place: str) -> Image.Image:
    browser.evaluate(f"{place}; 0")
    shot = browser.call("Page.captureScreenshot")["data"]
    return Image.open(io.BytesIO(base64.b64decode(shot))).convert("RGB")


def beside(left: Image.Image, right: Image.Image) -> Image.Image:
    """Two pictures of one size beside each other on grey."""
    both = Image.new("RGB", (left.width + _GAP + right.width, left.height), "#8a8f98")
    both.paste(left, (0, 0))
    both.paste(right, (left.width + _GAP, 0))
    return both


if __name__ == "__main__":
    beside(*pictures(Path(sys.argv[1]).resolve(), sys.argv[2])).save(sys.argv[3], optimize=True)
