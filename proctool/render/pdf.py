"""The manual as a tagged PDF (PDF/UA-1) on A4."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from proctool.render.html import page
from proctool.render.manual import Manual


class RefusedAddressError(ValueError):
    """A document asked for something outside itself."""


def pdf(manual: Manual, figures: Mapping[str, bytes]) -> bytes:
    """The manual as PDF; the same manual and figures give the same bytes.

    Nothing is fetched: style and pictures are in the page, every address but `data:` is refused.
    """
    from weasyprint import HTML  # noqa: PLC0415 - heavy; only who asks for a PDF pays for it

    source = page(manual, figures, "paper")
    identifier = hashlib.sha256(source.encode()).digest()[:16]
    document = HTML(string=source, url_fetcher=_fetcher())
    content = document.write_pdf(
        pdf_variant="pdf/ua-1", pdf_identifier=identifier, pdf_forms=False, custom_metadata=False
    )
    if not isinstance(content, bytes):
        raise TypeError("the PDF was written elsewhere")
    return content


def _fetcher() -> object:
    from weasyprint.urls import URLFetcher  # noqa: PLC0415 - as above

    class Fetcher(URLFetcher):  # type: ignore[misc] # the library has no types
        """Reads `data:` addresses only."""

        def fetch(self, url: str, headers: object = None) -> object:
            if not url.lower().startswith("data:"):
                raise RefusedAddressError(f"a manual may not read {url}")
            return super().fetch(url, headers)

    return Fetcher(allowed_protocols=["data"])
