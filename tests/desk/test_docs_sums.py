"""What docs/sums.md shows works as it is written there."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from tallboy.checks.kinds import HOW
from tallboy.cli.main import main
from tallboy.tables.rows import EVIDENCE, OWN

TEXT = (Path(__file__).parents[2] / "docs" / "sums.md").read_text(encoding="utf-8")
PYTHON = re.findall(r"```python\n(.*?)```", TEXT, re.S)
COMMANDS = [re.split(r"\s{3,}", line)[0] for line in re.findall(r"^tallboy sum .*$", TEXT, re.M)]


def test_the_library_works_without_django() -> None:
    """The examples in Python run as they stand, tell what the page says, and bring no Django with them."""
    code = "\n".join([*PYTHON, "import sys", "assert 'django' not in sys.modules"])
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    assert re.match(r"10\.6 °C\n.*130.*\n", done.stdout), done.stdout


@pytest.mark.parametrize("command", COMMANDS)
def test_the_commands_work(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each line of the page runs and says something."""
    assert main(shlex.split(command)[1:]) == 0
    assert capsys.readouterr().out.strip()


def test_every_word_for_evidence_is_explained() -> None:
    """The table of words has all that rows and checks use, and none besides."""
    explained = set(re.findall(r"^\| ([a-z ]+) \| ", TEXT, re.M)) - {"word"}
    assert explained == {*EVIDENCE, *HOW, OWN}
