"""All pages of a library but its manuals, by their address."""

from __future__ import annotations

from proctool.render.site import rules, unit
from proctool.render.site.entries import INDEX, RULES, Site, unit_page
from proctool.render.site.index import first_page
from proctool.render.speech import speaking

MARK = b'<meta name="generator" content="proctool">'
"""Stands near the top of each page, so that a later build knows its own."""


def pages(site: Site) -> dict[str, str]:
    """Address and page, the first page last: what it leads to is there before it is."""
    with speaking(site.language):
        return {
            **{unit_page(survey.unit.id): unit.page(site, survey) for survey in site.units},
            **dict(rules.pack_pages(site)),
            RULES: rules.list_page(site),
            INDEX: first_page(site),
        }
