"""Pages that are made from schemas and rules are what they should be."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_the_reference_pages_are_up_to_date():
    result = subprocess.run(
        [sys.executable, "scripts/reference.py", "--check"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert result.returncode == 0, result.stdout + result.stderr
