"""The main job in a real browser, as a new user: take in, take off four parts with photographs, plan, work, put back, print.

At phone and desktop size, with and without JavaScript: the same taps.
"""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, Route, ViewportSize, expect
from pypdf import PdfReader
from tests.browser.conftest import DESKTOP, PHONE, NewPage, Site

pytestmark = pytest.mark.browser


def _photo(path: Path, colour: tuple[int, int, int]) -> Path:
    Image.new("RGB", (640, 480), colour).save(path, "JPEG")
    return path


def _open_book(page: Page, site: Site) -> None:
    """The first page of an empty book offers two things; start one's own."""
    page.goto(site.address)
    assert page.get_by_role("button", name="Look around").is_visible()
    page.get_by_label("Name of the shop").fill("Slipway Bench")
    page.get_by_label("Your name").fill("Marta")
    page.get_by_role("button", name="Open the book").click()


def _take_in(page: Page, tmp_path: Path) -> None:
    """Take in a dresser with a photograph and a fault, by the strip-and-refinish route."""
    page.set_input_files("input[name=photos] >> nth=-1", _photo(tmp_path / "front.jpg", (170, 130, 90)))
    page.locator("[name=name]").fill("Sail loft dresser")
    page.locator("[name=kind]").select_option("dresser")
    page.locator("[name=front]").select_option("dresser")
    page.locator("[name=width]").fill("1220 mm")
    page.locator("[name=height]").fill("90 cm")
    page.locator("[name=depth]").fill("460")
    page.locator("[name=fault_0]").select_option("worn runner")
    page.locator("[name=where_0]").fill("middle drawer")
    page.locator("[name=route]").select_option(label="Strip and refinish")
    page.get_by_role("button", name="Take it in").click()
    page.get_by_role("button", name="Lay out and plan").click()
    assert "Sail loft dresser" in page.locator("h1").inner_text()
    assert page.locator(".steps-rail > li").count() >= 15


def _take_off(page: Page, tmp_path: Path) -> None:
    """From the piece's drawing: tap a position, photograph, done; four times."""
    page.get_by_role("link", name="Take-down").first.click()
    page.locator("a[href^='/pieces/position/']").first.click()
    for number in range(4):
        page.set_input_files("input[name=photo] >> nth=-1", _photo(tmp_path / f"{number}.jpg", (60 * number, 90, 90)))
        page.get_by_role("button", name="It is off").click()
        expect(page.get_by_text("is written down")).to_be_visible()


def _work_two_steps(page: Page, site: Site) -> None:
    """From Today: start the clock and finish, twice."""
    for _step in range(2):
        page.goto(site.address)
        before = page.locator(".what").inner_text()
        page.get_by_role("button", name="Start the clock").click()
        page.get_by_role("button", name="Stop the clock").wait_for()
        assert page.locator(".what").inner_text() == before
        _finish(page)
        page.goto(site.address)
        expect(page.locator(".what")).not_to_have_text(before, timeout=20_000)


def _finish(page: Page) -> None:
    """One tap; a lead test ends with what it said instead."""
    result = page.get_by_role("link", name="Record the lead test")
    if result.count():
        result.first.click()
        page.locator("[name=result]").first.wait_for()
        page.get_by_label("no lead found").check()
        page.get_by_role("button", name="Record it").click()
        page.get_by_text("Written down").wait_for()
    else:
        page.get_by_role("button", name="Done", exact=True).first.click()
        page.get_by_role("button", name="Start the clock").wait_for(timeout=20_000)


def _fit_one(page: Page, piece: str) -> None:
    """From the put-back list: fit one part again."""
    page.goto(piece + "put-back/")
    page.get_by_role("button", name="Fit").first.click()
    expect(page.get_by_text("is fitted on")).to_be_visible()


def _pdf(page: Page, button: str) -> PdfReader:
    """What a print button brings. The answer is kept on its way to the browser, whose PDF viewer cannot be asked."""
    brought: list[bytes] = []

    def keep(route: Route) -> None:
        answer = route.fetch()
        assert answer.headers["content-type"] == "application/pdf"
        brought.append(answer.body())
        route.fulfill(status=200, content_type="text/plain", body="printed")

    page.route("**/papers/*/", keep)
    page.get_by_role("button", name=button).click()
    page.get_by_text("printed").wait_for()
    page.unroute("**/papers/*/")
    return PdfReader(io.BytesIO(brought[0]))


@pytest.mark.parametrize("javascript", [True, False], ids=["with-js", "without-js"])
@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_the_main_job(
    empty_site: Site, new_page: NewPage, tmp_path: Path, size: ViewportSize, javascript: bool
) -> None:
    """Take in a piece, take off four parts with photographs, plan, work two steps, put back, print; the book holds."""
    page = new_page(size, javascript=javascript)
    _open_book(page, empty_site)
    _take_in(page, tmp_path)
    piece = page.url.split("steps/")[0].replace(empty_site.address, "")
    piece = empty_site.address + piece
    _take_off(page, tmp_path)
    _work_two_steps(page, empty_site)
    page.goto(piece + "papers/")
    tags = _pdf(page, "Print the new tags")
    assert "P-0001" in "".join(sheet.extract_text() for sheet in tags.pages)
    _fit_one(page, piece)
    checked = empty_site.tallboy("check", "--json")
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert all(row["holds"] for row in json.loads(checked.stdout))


def test_a_tap_on_today_changes_the_page_in_place(empty_site: Site, new_page: NewPage, tmp_path: Path) -> None:
    """With JavaScript the clock starts without loading the whole page again; the chest's own line follows."""
    page = new_page(PHONE)
    _open_book(page, empty_site)
    _take_in(page, tmp_path)
    page.goto(empty_site.address)
    page.evaluate("window.stayed = true")
    page.get_by_role("button", name="Start the clock").click()
    page.get_by_role("button", name="Stop the clock").wait_for()
    assert page.evaluate("window.stayed") is True
    assert "1 begun" in (page.locator("#chest").text_content() or "")
