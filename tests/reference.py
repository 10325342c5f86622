"""Where the gathered reference data lies: the folder named by TALLBOY_REFERENCE, else `../shared/reference` beside the checkout."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]


def place(path: str = ".") -> Path:
    """Where the reference file at `path` lies, if it is there."""
    return Path(os.environ.get("TALLBOY_REFERENCE") or ROOT.parent / "shared" / "reference") / path


def reference(path: str = ".") -> Path:
    """The reference file at `path`; skips the test where it is absent, fails it where CI=true."""
    found = place(path)
    if not found.exists():
        reason = f"reference data {path} is not there; name its folder in TALLBOY_REFERENCE"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return found
