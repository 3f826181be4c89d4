"""Every way in which something from outside gets into proctool: what is fed in, and what must hold.

The bytes of an input say what is made: mostly damage to the files that come with proctool, for what is nearly
right goes deepest.
"""

from tests.fuzz.of_files import FILES
from tests.fuzz.of_pages import PAGES
from tests.fuzz.of_texts import TEXTS

SURFACES = FILES | TEXTS | PAGES
"""Every surface by the name that `python -m tests.fuzz` takes."""
