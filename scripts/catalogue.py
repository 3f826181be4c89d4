"""Write the catalogue of the fixed words of the pages for translators: `python scripts/catalogue.py`."""

from __future__ import annotations

from pathlib import Path

from proctool.render.catalogue import DOMAIN, FOLDER, template
from proctool.render.html import environment

RENDER = Path(__file__).parents[1] / "proctool" / "render"


def main() -> None:
    """Read the templates, write `pages.pot`."""
    names = [path.name for path in (RENDER / "templates").glob("*.j2")]
    to = RENDER / FOLDER / f"{DOMAIN}.pot"
    to.parent.mkdir(exist_ok=True)
    to.write_text(template(environment("en"), names), encoding="utf-8")
    print(f"written  {to}")


if __name__ == "__main__":
    main()
