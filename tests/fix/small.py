"""A fix tried on one file of the example library, or on a file by itself."""

from proctool.fix import fix_library
from proctool.fix.fixes import FIXES
from proctool.fix.sheet import read
from tests.rules import example

TOOLS = {"wrench": "strap wrench", "torque": "torque wrench", "long": "long torque wrench"}


def check(files):
    return example.check({file: data.decode() for file, data in files.items()})


def files(**changed):
    """The example library with some files changed: `procedure`, `unit`, `library`, a block."""
    texts = {**example.clean(), **{f"{name.replace('_', '-')}.yaml": text for name, text in changed.items()}}
    return {file: text.encode() for file, text in texts.items()}


def fixed(**changed):
    return fix_library(files(**changed), check)


def changed(file, old, new):
    """The text of a file of the example library with one change."""
    text = example.clean()[file]
    assert text.count(old) == 1, old
    return text.replace(old, new)


def edited(rule, text, finding):
    """A text with the edit that a fix makes of one finding, or why it makes none."""
    sheet = read("x.yaml", text.encode(), TOOLS)
    made = FIXES[rule](sheet, finding)
    return (
        made if made is None or isinstance(made, str) else text[: made.start] + made.text + text[made.end :]
    )
