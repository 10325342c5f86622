"""Find a Chromium for the browser tests, or install one: Debian's package where root and apt allow, else the driver's own.

Run by `make test`. Ends with an error, saying what to do, when there is none to be had.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def find() -> str | None:
    """The path of a Chromium: the one TALLBOY_CHROMIUM names, one of the system's, or the browser driver's own."""
    named = os.environ.get("TALLBOY_CHROMIUM")
    if named:
        return named if Path(named).exists() else None
    for name in NAMES:
        path = shutil.which(name)
        if path:
            return path
    return _drivers_own()


def _drivers_own() -> str | None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        path = driver.chromium.executable_path
    return path if Path(path).exists() else None


def _install() -> None:
    if os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get"):
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run(["apt-get", "update", "-qq"], env=quiet, check=False)
        subprocess.run(["apt-get", "install", "-y", "-qq", "chromium"], env=quiet, check=False, stdout=sys.stderr)
    if find() is None:
        subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)


def main() -> int:
    """Find or install; print the path."""
    if find() is None:
        _install()
    path = find()
    if path is None:
        print(
            "The browser tests need Chromium. Install your system's package (Debian: apt install chromium), or name "
            "one: TALLBOY_CHROMIUM=/path/to/chromium make test",
            file=sys.stderr,
        )
        return 1
    print(f"browser: {path}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
