"""Every page of the demo shop, found by following links: no accessibility fault, no sideways scroll, not too heavy."""

from __future__ import annotations

import urllib.error
import urllib.request
from collections.abc import Iterator
from urllib.parse import urljoin, urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import Resolver404, get_resolver, resolve, reverse
from django.urls.converters import IntConverter
from django.urls.resolvers import URLPattern, URLResolver
from playwright.sync_api import Browser, Page, Response, ViewportSize
from tests.browser.conftest import DESKTOP, PHONE, NewPage, Site

HEAVIEST = 100_000
CONTRAST = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
WEIGHED = ("document", "stylesheet", "script")
# Files, and what sends on to a page that is visited anyway.
NO_PAGE = {
    "book:photo", "book:thumbnail", "pieces:elevation", "pieces:piece-file", "pieces:take-down-record",
    "pieces:put-back-list", "today:day-sheet", "today:plan-ics", "pieces:tag", "ledger:csv", "welcome",
}  # fmt: skip
# Pages that the demo shop has no link to just now, because nothing in it is in that state.
WITHOUT_LINK = (
    "/pieces/handed-over/", "/pieces/position/1/stand-in/", "/pieces/position/1/empty/", "/pieces/1/lead-test/",
    "/pieces/5/points/", "/what-if/rescue/", "/plan/run/1/", "/step/1/needs/",
)  # fmt: skip
# Of several pages of one view, the one with most on it: a table with a row of the shop's own, a sum that is worked, a question answered.
RICHEST = (
    "/tables/woods/", "/sums/which-liquid/?residue=grease&spare=shellac",
    "/what-if/?hands=1&overtime=1&celsius=20+%C2%B0C&like=2&ready=2099-12-01",
)  # fmt: skip
pytestmark = pytest.mark.browser


def _crawl(page: Page, site: Site) -> dict[str, str]:
    """One address for each named view that links lead to, from the first page on."""
    found: dict[str, str] = {}
    waiting, seen = [f"{site.address}{path}" for path in ("/", *WITHOUT_LINK, *RICHEST)], set()
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
        waiting += [
            urljoin(address, link).split("#")[0] for link in links if urljoin(address, link).startswith(site.address)
        ]
    return found


def _view_name(path: str) -> str | None:
    if path.startswith("/static/"):
        return None
    try:
        return str(resolve(path).view_name)
    except Resolver404:
        pytest.fail(f"a link leads to {path}, which is no page")


def _views(patterns: list[URLPattern | URLResolver], prefix: str = "") -> Iterator[tuple[str, dict[str, int | str]]]:
    """Names of all views, each with arguments of the right kind."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from _views(pattern.url_patterns, f"{pattern.namespace}:" if pattern.namespace else prefix)
            continue
        kinds = pattern.pattern.converters
        yield (
            f"{prefix}{pattern.name}",
            {key: 1 if isinstance(kind, IntConverter) else "x" for key, kind in kinds.items()},
        )


@pytest.fixture(scope="module")
def pages(demo_site: Site, browser: Browser) -> dict[str, str]:
    """The address of every page."""
    page = browser.new_page(viewport=DESKTOP)
    found = _crawl(page, demo_site)
    page.close()
    return found


def test_links_lead_to_every_page(pages: dict[str, str], demo_site: Site) -> None:
    """Each view is linked from somewhere, is on the list above with its reason, or answers to a button (POST) only."""
    everything = dict(_views(get_resolver().url_patterns))
    assert NO_PAGE - set(everything) == set()
    unlinked = set(everything) - set(pages) - NO_PAGE
    assert {name for name in unlinked if _answers_get(demo_site, name, everything[name])} == set()


def _answers_get(site: Site, name: str, arguments: dict[str, int | str]) -> bool:
    """Whether a view answers a plain GET with anything but "method not allowed"."""
    try:
        urllib.request.urlopen(site.address + reverse(name, kwargs=arguments), timeout=30)  # noqa: S310 — our own server
    except urllib.error.HTTPError as error:
        return error.code != 405
    return True


@pytest.mark.parametrize(
    ("size", "dark"), [(PHONE, False), (DESKTOP, False), (PHONE, True)], ids=["phone", "desktop", "night"]
)
def test_no_accessibility_fault_and_no_sideways_scroll(
    pages: dict[str, str], demo_site: Site, new_page: NewPage, size: ViewportSize, dark: bool
) -> None:
    """axe-core (WCAG 2.0 to 2.2, A and AA, and best practice) finds nothing on any page; nothing scrolls sideways.

    Night changes nothing but colours, so only their contrast is asked then.
    """
    page = new_page(size, dark=dark)
    axe = Axe()
    faults: list[str] = []
    for name, path in pages.items():
        page.goto(demo_site.address + path)
        result = axe.run(page, options=CONTRAST if dark else None)
        faults += [
            f"{name} {path}: {fault['id']}: {fault['nodes'][0]['html'][:160]}"
            for fault in result.response["violations"]
        ]
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            faults.append(f"{name} {path}: scrolls sideways by {wide} px")
    assert not faults, "\n".join(faults)


def _weigh(browser: Browser, address: str) -> tuple[int, list[str]]:
    """Bytes of markup, style and script that a page brings to a fresh browser, and where all it loads comes from."""
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    answers: list[Response] = []

    def note(answer: Response) -> None:
        answers.append(answer)

    page.on("response", note)
    page.goto(address)
    total = sum(len(answer.body()) for answer in answers if answer.request.resource_type in WEIGHED)
    context.close()
    return total, [answer.url for answer in answers]


def test_no_page_is_heavy(pages: dict[str, str], demo_site: Site, browser: Browser) -> None:
    """Markup, style and script of each page together stay under 100 kB, unpacked, and all of it comes from here."""
    faults: list[str] = []
    for name, path in pages.items():
        total, sources = _weigh(browser, demo_site.address + path)
        if total > HEAVIEST:
            faults.append(f"{name} {path}: {total} bytes")
        faults += [source for source in sources if not source.startswith(demo_site.address)]
    assert not faults, "\n".join(faults)
