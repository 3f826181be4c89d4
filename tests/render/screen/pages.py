"""The pages that these tests open, and how a hand works in them."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

from proctool.model.rows import Table
from proctool.render.html import page
from tests.render import kw4, sheets
from tests.render.browser import Browser

IN_SIGHT = "[...document.querySelectorAll('.step')].filter(s => s.offsetHeight).map(s => s.id)"
"""The steps that are seen."""
SHOWS = {"pressure": ("bar", "psi"), "torque": ("N·m", "lbf·ft")}


def write(folder: Path, *tables: Table) -> Path:
    """A manual with a due table and readings in two measures."""
    plan = kw4.with_facts(kw4.plan(), due=("table change_point",), shows=SHOWS)
    path = folder / "manual.html"
    shown = kw4.view(plan, tables=tables or (sheets.change_point(), sheets.torque()))
    path.write_text(page(shown, {}), encoding="utf-8")
    return path


def press(browser: Browser, key: str) -> None:
    """One key, down and up."""
    code = {"Tab": 9, "Enter": 13, " ": 32}[key]
    text = {"Enter": "\r", " ": " "}.get(key)
    known = {"key": key, "windowsVirtualKeyCode": code, **({"text": text} if text else {})}
    browser.call("Input.dispatchKeyEvent", type="keyDown", **known)
    browser.call("Input.dispatchKeyEvent", type="keyUp", key=key, windowsVirtualKeyCode=code)


def tab_to(browser: Browser, element: str, most: int = 400) -> None:
    """Tab until an element has the focus."""
    for _ in range(most):
        if browser.evaluate("document.activeElement.id") == element:
            return
        press(browser, "Tab")
    raise AssertionError(f"the focus never comes to {element}")


def click(browser: Browser, element: str) -> None:
    browser.evaluate(f"document.getElementById({element!r}).click()")


def text(browser: Browser, element: str) -> str:
    return str(browser.evaluate(f"document.getElementById({element!r}).textContent"))


def fill(browser: Browser, label: str, value: str) -> None:
    """Type into the field that has a label."""
    assert browser.evaluate(f"""
        (() => {{
          const field = document.querySelector(`input[aria-label="{label}"]`);
          if (!field) return false;
          field.value = {value!r};
          field.dispatchEvent(new Event('input', {{bubbles: true}}));
          return true;
        }})()
    """), label


def go_to(browser: Browser, number: int) -> None:
    """Tick the steps before a number, no others, and start step mode there."""
    browser.evaluate(f"""
        document.querySelectorAll('#steps > .steps > .step')
          .forEach((s, n) => {{ s.querySelector('.tick').checked = n < {number - 1}; }})
    """)
    click(browser, "stepping")
    assert browser.evaluate(IN_SIGHT) == [f"step-{number}"]


def saved(browser: Browser, folder: Path) -> Any:
    """The record that the page saves as a file."""
    browser.call("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(folder))
    click(browser, "save-record")
    path = folder / "record-change-cartridges-KW-4.json"
    end = time.monotonic() + 10
    while not path.exists():
        assert time.monotonic() < end, "nothing was saved"
        time.sleep(0.05)
    return json.loads(path.read_text(encoding="utf-8"))
