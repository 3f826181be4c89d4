"""Does in a folder what docs/tutorial.md tells, for its picture: `python -m scripts.tutorial FOLDER`."""

import os
import shutil
import sys
from pathlib import Path

from tests.shown import files, shown

ROOT = Path(__file__).parent.parent


def main(folder: Path) -> None:
    """Every command of the page, in a copy of the demonstration library."""
    page = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")
    shutil.copytree(ROOT / "procedures", folder / "procedures")
    os.chdir(folder)
    for name, text in files(page).items():
        Path(name).write_text(text, encoding="utf-8")
    for one in shown(page):
        one.real()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
