"""The bench command: one file is solved and told as a JSON line; aims are judged as said."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from bench.planner import main
from bench.shared.figures import Figure

from tallboy.errors import BadFile

TWO_JOBS = "# two jobs on two machines\n2 2\n0 3 1 2\n1 4 0 1\n"


def test_one_instance_as_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two jobs, 3 then 2 and 4 then 1: the longer machine has 6 of work, and 6 can be reached."""
    file = tmp_path / "two.jss"
    file.write_text(TWO_JOBS, encoding="utf-8")
    assert main(["--instance", str(file), "--json", "--workers", "1"]) == 0
    row = json.loads(capsys.readouterr().out)
    assert {"name", "figure", "baseline", "ratio", "aim", "met"} <= row.keys()
    assert (row["figure"], row["ratio"], row["met"]) == (6.0, 1.0, True)


def test_unknown_kind_of_instance_is_refused(tmp_path: Path) -> None:
    """A file of another kind gets a message that names the known ones."""
    file = tmp_path / "two.txt"
    file.write_text(TWO_JOBS, encoding="utf-8")
    with pytest.raises(BadFile, match=r"\.jss, \.sm, \.sch"):
        main(["--instance", str(file)])


@pytest.mark.parametrize(
    ("figure", "met"),
    [
        (Figure("a", 2.0, aim=3.0), True),
        (Figure("a", 4.0, aim=3.0), False),
        (Figure("a", 4.0, aim=3.0, better="more"), True),
        (Figure("a", 4.0, 8.0, 0.4, of="ratio"), False),
        (Figure("a", 4.0, 8.0), None),
    ],
)
def test_aim_is_judged_as_said(figure: Figure, met: bool | None) -> None:
    """At most or at least, of the figure or of its ratio to the baseline; without an aim nothing is judged."""
    assert figure.met is met
