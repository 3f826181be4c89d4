"""The rules on pages of their own: a list of all, and a page for each pack."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from proctool.render.html import document
from proctool.render.site.entries import RulePage, Site, pack_page

Pack = tuple[str, str, tuple[RulePage, ...]]
"""Name of a pack, the address of its page, its rules."""


def packs(site: Site) -> tuple[Pack, ...]:
    """The rules by pack, in the order in which they come."""
    grouped = groupby(site.rules, key=lambda rule: rule.pack)
    return tuple((name, pack_page(name), tuple(rules)) for name, rules in grouped)


def list_page(site: Site) -> str:
    """Every rule with what it asks."""
    return _document("site_rules.html.j2", site, packs=packs(site), own_rules=site.own_rules)


def pack_pages(site: Site) -> Iterator[tuple[str, str]]:
    """Address and page of each pack."""
    every = packs(site)
    for name, address, rules in every:
        others = tuple((other, page) for other, page, _ in every)
        yield address, _document("site_pack.html.j2", site, pack=name, rules=rules, others=others)


def _document(template: str, site: Site, **known: object) -> str:
    return document(template, "screen", ("site.css",), language=site.language, library=site.library, **known)
