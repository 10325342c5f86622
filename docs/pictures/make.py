"""Make the README's pictures again: serves a fresh demo book and photographs its pages. Run by `make pictures`."""

from __future__ import annotations

import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright
from tests.browser.chromium import find
from tests.browser.conftest import DESKTOP, PHONE, served

# Which page, at which size; a piece's pages are those of the dresser, found by its name.
PICTURES = (
    ("today-wide", "/", DESKTOP),
    ("piece-wide", "dresser", DESKTOP),
    ("take-down-phone", "dresser/take-down/", PHONE),
)


def main() -> None:
    """Photograph each page of the list into this folder."""
    with (
        tempfile.TemporaryDirectory() as folder,
        served(Path(folder) / "book", ["demo", "--no-serve"]) as site,
        sync_playwright() as driver,
    ):
        chromium = driver.chromium.launch(
            executable_path=find(), args=["--no-sandbox", "--disable-background-networking"]
        )
        for name, address, size in PICTURES:
            page = chromium.new_page(viewport=size, device_scale_factor=2 if size is PHONE else 1)
            page.goto(f"{site.address}/pieces/")
            dresser = page.get_by_role("link", name="Pine dresser").first.get_attribute("href") or ""
            page.goto(site.address + address.replace("dresser", dresser.rstrip("/"), 1))
            page.screenshot(path=Path(__file__).with_name(f"{name}.png"))
            page.close()
        chromium.close()


if __name__ == "__main__":
    main()
