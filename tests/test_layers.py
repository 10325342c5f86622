"""Imports only point down: the contracts of import-linter in pyproject.toml, checked as the tool checks them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
CHECK = "from importlinter.cli import lint_imports; raise SystemExit(lint_imports({config!r}, no_cache=True))"
UPSIDE_DOWN = """[tool.importlinter]
root_package = "tallboy"

[[tool.importlinter.contracts]]
name = "Upside down"
type = "layers"
layers = ["tallboy.errors", "tallboy.sums"]
"""


def _linted(config: Path) -> subprocess.CompletedProcess[str]:
    """The tool run on a file of contracts, in a process of its own: it keeps state and speaks to the screen."""
    command = [sys.executable, "-c", CHECK.format(config=str(config))]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)


def test_every_import_points_down() -> None:
    """The floors, the purity of the pure packages, and the one door of the solver."""
    found = _linted(ROOT / "pyproject.toml")
    assert found.returncode == 0, found.stdout[-4000:] + found.stderr[-2000:]
    assert "3 kept, 0 broken" in found.stdout


def test_a_contract_that_does_not_hold_is_reported(tmp_path: Path) -> None:
    """With errors set above the sums that use them the check fails and names both."""
    config = tmp_path / "pyproject.toml"
    config.write_text(UPSIDE_DOWN, encoding="utf-8")
    found = _linted(config)
    assert found.returncode == 1
    assert "tallboy.sums is not allowed to import tallboy.errors" in found.stdout
    assert "0 kept, 1 broken" in found.stdout
