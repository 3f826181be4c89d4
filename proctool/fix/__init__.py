"""Faults that can be put right surely, put right in the text of a file, every other sign of it kept."""

from proctool.fix.result import Fixed
from proctool.fix.run import fix_library

__all__ = ["Fixed", "fix_library"]
