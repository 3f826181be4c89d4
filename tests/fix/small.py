"""A fix tried on one file of the example library, or on a file by itself."""

from proctool.fix import fix_library
from proctool.fix.sheet import read
from tests.rules import example


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


def sheet_of(text):
    """The sheet of a text."""
    sheet = read("x.yaml", text.encode(), {})
    assert sheet is not None
    return sheet


def said(file, result, **given):
    """The text of a file after fixing."""
    return result.after.get(f"{file}.yaml", given[file].encode()).decode()
