"""Write the catalogue of the fixed words of the pages for translators: `python scripts/catalogue.py`."""

from __future__ import annotations

from pathlib import Path

from proctool.render.catalogue import template
from proctool.render.speech import DOMAIN, FOLDER

RENDER = Path(__file__).parents[1] / "proctool" / "render"


def main() -> None:
    """Read the modules and templates, write `pages.pot`."""
    to = RENDER / FOLDER / f"{DOMAIN}.pot"
    to.parent.mkdir(exist_ok=True)
    to.write_text(template(), encoding="utf-8")
    print(f"written  {to}")


if __name__ == "__main__":
    main()
