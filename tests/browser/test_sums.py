"""The sums in a real browser: each with its example on a phone, one worked without JavaScript."""

from __future__ import annotations

from urllib.parse import urlencode

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.browser.conftest import PHONE, NewPage, Site

from tallboy.workings.known import all_workings

pytestmark = pytest.mark.browser
SMALLEST = 44
EVERY_SO_MANY = 10
"""axe-core looks at one sum in so many: the page is the same, only its inputs and its answer differ."""
TOO_SMALL = f"""() => [...document.querySelectorAll("main :is(button, .btn, select, textarea, summary, label:has(input), input[type=text])")]
    .filter(one => one.offsetParent && one.getBoundingClientRect().height < {SMALLEST})
    .map(one => one.outerHTML.slice(0, 120))"""


def _faults(page: Page, axe: Axe | None) -> list[str]:
    """What is wrong with the page that is open."""
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    faults = [f"scrolls sideways by {wide} px"] if wide > 0 else []
    faults += [f"too small to tap: {one}" for one in page.evaluate(TOO_SMALL)]
    if not page.get_by_role("heading", name="Result").is_visible():
        faults.append("shows no result")
    if axe is not None:
        violations = axe.run(page).response["violations"]
        faults += [f"{fault['id']}: {fault['nodes'][0]['html'][:160]}" for fault in violations]
    return faults


def test_every_sum_fits_a_phone(demo_site: Site, new_page: NewPage) -> None:
    """With its example filled in: a result, nothing that scrolls sideways, nothing too small to tap, nothing axe-core finds."""
    page, axe = new_page(PHONE), Axe()
    faults: list[str] = []
    for number, (name, working) in enumerate(all_workings().items()):
        page.goto(f"{demo_site.address}/sums/{name}/?{urlencode(working.example)}")
        faults += [f"{name}: {fault}" for fault in _faults(page, axe if number % EVERY_SO_MANY == 0 else None)]
    assert not faults, "\n".join(faults)


def test_a_sum_is_found_and_worked_without_javascript(demo_site: Site, new_page: NewPage) -> None:
    """Looked up by a word, filled in, worked out; a bad input comes back with its reason and all else kept."""
    page = new_page(PHONE, javascript=False)
    page.goto(demo_site.address)
    page.get_by_role("link", name="Sums", exact=True).click()
    page.get_by_label("Look for a sum").fill("dew point")
    page.get_by_role("button", name="Look").click()
    page.get_by_role("link", name="Dew point", exact=True).click()
    page.get_by_role("link", name="Fill in the example").click()
    expect(page.get_by_role("heading", name="Result")).to_be_visible()
    page.get_by_label("Relative humidity").fill("damp")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_text("It cannot be worked out like this.")).to_be_visible()
    assert page.get_by_label("Relative humidity").input_value() == "damp"
    page.get_by_label("Relative humidity").fill("60")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("heading", name="Result")).to_be_visible()
    assert "humidity=60" in page.url
