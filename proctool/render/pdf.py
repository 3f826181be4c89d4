"""Manual, lockout card and tables as tagged PDFs (PDF/UA-1), on A4 or Letter."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from typing import Protocol

from proctool.render.html import Paper, card, page, tables
from proctool.render.manual import Manual


class RefusedAddressError(ValueError):
    """A document asked for something outside itself."""


class Sheets(Protocol):
    """A document laid out on its pages."""

    pages: Sequence[object]

    def write_pdf(self, *, pdf_variant: str, pdf_identifier: bytes) -> bytes:
        """The whole as PDF."""


class Fetcher(Protocol):
    """What the PDF writer asks for the content of an address."""

    def fetch(self, url: str, headers: object = None) -> object:
        """The content, or `RefusedAddressError`."""


_FITS = ((0, True), (1, True), (0, False), (1, False))
"""How a lockout card is set until it fits on one sheet: how tight, and whether with the energy diagram;
after these it is set as tight as can still be read."""
_READABLE = 480
"""The tallest diagram, in its own units, that can still be read where a card has room for it."""


def pdf(manual: Manual, figures: Mapping[str, bytes], paper: Paper = Paper.A4) -> bytes:
    """The manual as PDF; the same manual and figures give the same bytes on the same machine.

    Nothing is fetched: style and pictures are in the page, every address but `data:` is refused.
    """
    source = page(manual, figures, "paper", paper)
    return _written(source, _laid_out(source))


def card_pdf(manual: Manual, paper: Paper = Paper.A4) -> bytes:
    """The lockout card as PDF: one sheet, without the energy diagram and in smaller letters if it must be.

    A unit with so many lock points that even this is too much gets as many sheets as it needs, numbered.
    """
    drawn = manual.diagram.wide.height <= _READABLE
    for tight, diagram in _FITS[0 if drawn else 2 :]:
        source = card(manual, paper, tight=tight, diagram=diagram)
        made = _laid_out(source)
        if len(made.pages) == 1:
            return _written(source, made)
    source = card(manual, paper, tight=2, diagram=False)
    return _written(source, _laid_out(source))


def tables_pdf(manual: Manual, paper: Paper = Paper.A4) -> bytes:
    """The tables of a procedure as PDF, each on a sheet of its own."""
    return written_pdf(tables(manual, paper))


def written_pdf(source: str) -> bytes:
    """Any page of ours as PDF; the same page gives the same bytes on the same machine."""
    return _written(source, _laid_out(source))


def _laid_out(source: str) -> Sheets:
    from weasyprint import HTML  # noqa: PLC0415 - heavy; only who asks for a PDF pays for it

    made: Sheets = HTML(string=source, url_fetcher=fetcher()).render(pdf_variant="pdf/ua-1")
    return made


def _written(source: str, made: Sheets) -> bytes:
    identifier = hashlib.sha256(source.encode()).digest()[:16]
    return made.write_pdf(pdf_variant="pdf/ua-1", pdf_identifier=identifier)


def fetcher() -> Fetcher:
    """Reads `data:` addresses, and refuses all others by `RefusedAddressError`."""
    from weasyprint.urls import URLFetcher  # noqa: PLC0415 - as above

    class DataOnly(URLFetcher):  # type: ignore[misc] # the library has no types
        def fetch(self, url: str, headers: object = None) -> object:
            if not url.lower().startswith("data:"):
                raise RefusedAddressError(f"a manual may not read {url}")
            return super().fetch(url, headers)

    return DataOnly(allowed_protocols=["data"])
