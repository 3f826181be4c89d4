"""The manual as a tagged PDF (PDF/UA-1) on A4."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Protocol

from proctool.render.html import page
from proctool.render.manual import Manual


class RefusedAddressError(ValueError):
    """A document asked for something outside itself."""


class Fetcher(Protocol):
    """What the PDF writer asks for the content of an address."""

    def fetch(self, url: str, headers: object = None) -> object:
        """The content, or `RefusedAddressError`."""


def pdf(manual: Manual, figures: Mapping[str, bytes]) -> bytes:
    """The manual as PDF; the same manual and figures give the same bytes on the same machine.

    Nothing is fetched: style and pictures are in the page, every address but `data:` is refused.
    """
    from weasyprint import HTML  # noqa: PLC0415 - heavy; only who asks for a PDF pays for it

    source = page(manual, figures, "paper")
    identifier = hashlib.sha256(source.encode()).digest()[:16]
    written: bytes = HTML(string=source, url_fetcher=fetcher()).write_pdf(
        pdf_variant="pdf/ua-1", pdf_identifier=identifier
    )
    return written


def fetcher() -> Fetcher:
    """Reads `data:` addresses, and refuses all others by `RefusedAddressError`."""
    from weasyprint.urls import URLFetcher  # noqa: PLC0415 - as above

    class DataOnly(URLFetcher):  # type: ignore[misc] # the library has no types
        def fetch(self, url: str, headers: object = None) -> object:
            if not url.lower().startswith("data:"):
                raise RefusedAddressError(f"a manual may not read {url}")
            return super().fetch(url, headers)

    return DataOnly(allowed_protocols=["data"])
