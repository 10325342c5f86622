"""A real server on a real book, and a real Chromium. These tests fail, never skip, when there is no browser."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import psycopg
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright
from tests.browser.chromium import find

from tallboy.front.piecefile import read_piece_file

PHONE: ViewportSize = {"width": 390, "height": 844}
DESKTOP: ViewportSize = {"width": 1280, "height": 900}
STARTS_WITHIN = 60.0


@dataclass(frozen=True)
class Site:
    """A served book: its address, its folder, and the environment that commands on it need."""

    address: str
    book: Path
    environ: dict[str, str]

    def tallboy(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run a command on this book."""
        command = [sys.executable, "-m", "tallboy", *words, "--book", str(self.book)]
        return subprocess.run(command, env=self.environ, capture_output=True, text=True, check=False)


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _environ() -> dict[str, str]:
    """The environment of a server: on PostgreSQL, with a database of its own."""
    environ = {key: value for key, value in os.environ.items() if not key.startswith("TALLBOY_")}
    environ.pop("DATABASE_URL", None)
    environ["TALLBOY_PLAN_SECONDS"] = "0.4"
    url = os.environ.get("TALLBOY_TEST_DATABASE_URL")
    if url:
        name = f"tallboy_{uuid.uuid4().hex[:12]}"
        with psycopg.connect(url, autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{name}"')
        environ["DATABASE_URL"] = url.replace("/postgres?", f"/{name}?")
    return environ


@contextmanager
def served(book: Path, *first: list[str]) -> Iterator[Site]:
    """Serve a book, after running commands on it when any are given."""
    environ = _environ()
    port = _free_port()
    site = Site(f"http://127.0.0.1:{port}", book, environ)
    for command in first:
        made = site.tallboy(*command)
        assert made.returncode == 0, made.stderr + made.stdout
    serve = [sys.executable, "-m", "tallboy", "open", "--no-browser", "--port", str(port), "--book", str(book)]
    with (book.parent / f"{book.name}.log").open("w") as log:
        server = subprocess.Popen(serve, env=environ, stdout=log, stderr=subprocess.STDOUT)
    try:
        _wait_for(site.address, server)
        yield site
    finally:
        server.terminate()
        server.wait(timeout=20)


def _wait_for(address: str, server: subprocess.Popen[bytes]) -> None:
    until = time.monotonic() + STARTS_WITHIN
    while time.monotonic() < until:
        assert server.poll() is None, "the server ended before it answered"
        try:
            with urllib.request.urlopen(f"{address}/static/tallboy.css", timeout=2):  # noqa: S310 — our own server
                return
        except OSError:
            time.sleep(0.1)
    pytest.fail("the server did not answer in time")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One Chromium for all tests of a worker."""
    path = find()
    assert path, "No Chromium: run `make browser`, or name one with TALLBOY_CHROMIUM."
    with sync_playwright() as driver:
        chromium = driver.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-background-networking", "--disable-gpu"]
        )
        yield chromium
        chromium.close()


NewPage = Callable[..., Page]


@pytest.fixture
def new_page(browser: Browser) -> Iterator[NewPage]:
    """Open a page of a size, with or without JavaScript; every error of the page itself fails the test."""
    contexts = []
    troubles: list[str] = []

    def opened(size: ViewportSize, *, javascript: bool = True, dark: bool = False) -> Page:
        context = browser.new_context(
            viewport=size,
            java_script_enabled=javascript,
            color_scheme="dark" if dark else "light",
            has_touch=size is PHONE,
        )
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(20_000)
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on("console", lambda line: troubles.append(line.text) if line.type == "error" else None)
        return page

    yield opened
    for context in contexts:
        context.close()
    unexpected = [line for line in troubles if "status of 4" not in line]
    assert unexpected == []


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The demo shop, served, with a fifth piece that is drawn freely on a photograph, and a run that has improved the plan."""
    folder = tmp_path_factory.mktemp("demo")
    for name in _photos_named(EXAMPLE):
        Image.new("RGB", (600, 900), (140, 110, 80)).save(folder / name, "JPEG")
    file = shutil.copy(EXAMPLE, folder)
    first = ["demo", "--no-serve"], ["take-in", str(file)], ["plan", "--seconds", "0.5"]
    with served(folder / "book", *first) as site:
        yield site


EXAMPLE = Path(__file__).parents[2] / "docs" / "examples" / "hall-stand.toml"


def _photos_named(file: Path) -> list[str]:
    takein = read_piece_file(file.read_text(encoding="utf-8"), name=file.name)
    assert takein.free is not None
    return [takein.free.photo, *(photo.file for photo in takein.photos)]


@pytest.fixture
def empty_site(tmp_path: Path) -> Iterator[Site]:
    """A book with nothing in it, served."""
    with served(tmp_path / "book") as site:
        yield site
