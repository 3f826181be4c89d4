"""What no input may do: take longer than it is given, or leave findings that point nowhere."""

from __future__ import annotations

import re
import signal
import time
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager

from proctool.model.finding import Finding
from proctool.source.text import split_lines

BUDGET = 300
"""Outcomes of steps that a proof may look at here."""
FAULT_OF_OURS = re.compile("fault of proctool")
"""What a finding says that stands for a failure of the program."""


class TookTooLongError(BaseException):
    """The work was cut off. What catches every exception must not catch this one."""


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Cut work off that uses the processor for longer than that, on any machine however busy."""
    began = time.process_time()

    def stop(*_: object) -> None:
        raise TookTooLongError(f"more than {seconds} s of the processor")

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
    took = time.process_time() - began
    assert took <= seconds, f"took {took:.1f} s of the processor"


def told(error: Exception) -> None:
    """A failure that is documented, and says what to do."""
    assert str(error).strip()


def placed(findings: Iterable[Finding], files: Mapping[str, bytes]) -> None:
    """Every finding says something, is of no failure of ours, and points inside a file that there is."""
    for finding in findings:
        assert finding.message.strip(), finding
        assert not FAULT_OF_OURS.search(finding.message), finding.message
        if finding.span is None:
            continue
        span = finding.span
        assert span.file == finding.file in files, finding
        lines = split_lines(files[span.file].removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace"))
        assert 1 <= span.line <= span.end_line <= len(lines) + 1, (finding, len(lines))
        assert 1 <= span.column <= len(lines[min(span.line, len(lines)) - 1]) + 1, finding
