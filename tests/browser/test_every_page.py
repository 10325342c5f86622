"""Every page of the demo shop, found by following links: no accessibility fault, no sideways scroll, not too heavy."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import urljoin, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import Resolver404, get_resolver, resolve
from django.urls.resolvers import URLPattern, URLResolver
from playwright.sync_api import Page

from tests.browser.conftest import DESKTOP, PHONE, NewPage, Site

HEAVIEST = 100_000
# Not pages: they answer to a button only, give a file, or send on to a page that is visited anyway.
NO_PAGE = {
    "book:photo", "book:thumbnail", "pieces:elevation", "pieces:piece-file", "pieces:take-down-record",
    "pieces:put-back-list", "today:day-sheet", "pieces:tag", "ledger:csv",
}  # fmt: skip
pytestmark = pytest.mark.browser


def _crawl(page: Page, site: Site) -> dict[str, str]:
    """One address for each named view that links lead to, from the first page on."""
    found: dict[str, str] = {}
    waiting, seen = [f"{site.address}/"], set()
    while waiting:
        address = waiting.pop(0)
        path = urlsplit(address).path
        if path in seen:
            continue
        seen.add(path)
        name = _view_name(path)
        if name is None or name in found or name in NO_PAGE:
            continue
        answer = page.goto(address)
        assert answer is not None
        assert answer.status == 200, f"{path} answers {answer.status}"
        found[name] = urlsplit(page.url).path + (f"?{urlsplit(address).query}" if urlsplit(address).query else "")
        links = page.eval_on_selector_all("a[href], form[method=get]", "all => all.map(a => a.href || a.action)")
        waiting += [urljoin(address, link).split("#")[0] for link in links if urljoin(address, link).startswith(site.address)]
    return found


def _view_name(path: str) -> str | None:
    if path.startswith("/static/"):
        return None
    try:
        return str(resolve(path).view_name)
    except Resolver404:
        pytest.fail(f"a link leads to {path}, which is no page")


def _get_views(patterns: list[URLPattern | URLResolver], prefix: str = "") -> Iterator[str]:
    """Names of all views that answer to a plain GET."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from _get_views(pattern.url_patterns, f"{pattern.namespace}:" if pattern.namespace else prefix)
        elif "GET" in getattr(pattern.callback, "answers", {"GET"}):
            yield f"{prefix}{pattern.name}"


@pytest.fixture(scope="module")
def pages(demo_site: Site, browser: object) -> dict[str, str]:
    """The address of every page."""
    from playwright.sync_api import Browser

    assert isinstance(browser, Browser)
    page = browser.new_page(viewport=DESKTOP)  # type: ignore[arg-type]
    found = _crawl(page, demo_site)
    page.close()
    return found


def test_links_lead_to_every_page(pages: dict[str, str], demo_site: Site) -> None:
    """Each view that can be looked at is linked from somewhere; what is not a page is on a list with its reason."""
    import urllib.error
    import urllib.request

    unlinked = set(_get_views(get_resolver().url_patterns)) - set(pages) - NO_PAGE
    pattern_args = {"pk": 1, "number": 1, "digest": "0" * 64, "side": 360}
    really = set()
    for name in unlinked:
        from django.urls import NoReverseMatch, reverse

        for names in ((), ("pk",), ("number",), ("digest",), ("digest", "side")):
            try:
                path = reverse(name, kwargs={key: pattern_args[key] for key in names})
            except NoReverseMatch:
                continue
            try:
                urllib.request.urlopen(demo_site.address + path, timeout=20)  # noqa: S310 — our own server
                really.add(name)
            except urllib.error.HTTPError as error:
                if error.code not in (404, 405):
                    really.add(name)
            break
    assert really - {"welcome"} == set()


@pytest.mark.parametrize(("size", "dark"), [(PHONE, False), (DESKTOP, False), (PHONE, True)], ids=["phone", "desktop", "night"])
def test_no_accessibility_fault_and_no_sideways_scroll(
    pages: dict[str, str], demo_site: Site, new_page: NewPage, size: dict[str, int], dark: bool
) -> None:
    """axe-core (WCAG 2.0 to 2.2, A and AA, and best practice) finds nothing on any page; nothing scrolls sideways."""
    page = new_page(size, dark=dark)
    axe, faults = Axe(), []
    for name, path in pages.items():
        page.goto(demo_site.address + path)
        result = axe.run(page)
        faults += [
            f"{name} {path}: {fault['id']}: {fault['nodes'][0]['html'][:160]}" for fault in result.response["violations"]
        ]
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            faults.append(f"{name} {path}: scrolls sideways by {wide} px")
    assert faults == []


def test_no_page_is_heavy(pages: dict[str, str], demo_site: Site, new_page: NewPage) -> None:
    """Markup, style and script of each page together stay under 100 kB, and all of it comes from here."""
    page = new_page(PHONE)
    weights: dict[str, int] = {}
    foreign: list[str] = []

    def weigh(response: object) -> None:
        from playwright.sync_api import Response

        assert isinstance(response, Response)
        if not response.url.startswith(demo_site.address):
            foreign.append(response.url)
        elif response.request.resource_type in ("document", "stylesheet", "script"):
            sizes = response.request.sizes()
            weights[page.url] = weights.get(page.url, 0) + len(response.body() or b"") * (sizes["responseBodySize"] >= 0)

    page.on("response", weigh)
    heavy = []
    for name, path in pages.items():
        context_page = page
        weights.clear()
        context_page.goto(demo_site.address + path)
        total = sum(weights.values())
        if total > HEAVIEST:
            heavy.append(f"{name} {path}: {total} bytes")
    assert heavy == []
    assert foreign == []
