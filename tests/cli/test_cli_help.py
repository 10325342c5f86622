"""`tallboy --help` is there at once: it imports nothing that is not needed to say it."""

from __future__ import annotations

import json

from tests.cli.conftest import run_python

from tallboy.cli.main import COMMANDS
from tallboy.web.options import OPTIONS

AFTER_HELP = """
import contextlib, io, json, sys
from tallboy.cli.main import main
said = io.StringIO()
with contextlib.redirect_stdout(said), contextlib.suppress(SystemExit):
    main(["--help"])
json.dump({"said": said.getvalue(), "modules": sorted(sys.modules)}, sys.stdout)
"""
# Everything of ours that may be loaded by then; third-party packages may not be, whatever their name.
OURS = {
    "tallboy", "tallboy.errors", "tallboy.web", "tallboy.web.options", "tallboy.cli", "tallboy.cli.start", "tallboy.cli.given",
    "tallboy.cli.main",
    *(f"tallboy.cli.{module}" for _name, module, _help in COMMANDS),
}  # fmt: skip
HEAVY = {"django", "numpy", "ortools", "scipy", "PIL", "cv2", "typst", "waitress", "segno", "sqlite3", "platformdirs"}
# Only these names stand outside the standard library: what the interpreter itself loads to find an installed package.
AT_START = ("__", "_distutils_hack", "_virtualenv", "sitecustomize", "usercustomize")


def _is_foreign(module: str, known: frozenset[str]) -> bool:
    top = module.split(".", maxsplit=1)[0]
    return top not in known and top != "tallboy" and not top.startswith(AT_START) and "editable" not in top


def test_help_imports_nothing_heavy() -> None:
    """After the help has been said only the standard library and a known few modules of ours are loaded."""
    import sys

    done = run_python("-c", AFTER_HELP)
    assert done.code == 0, done.err
    told = json.loads(done.out)
    modules = set(told["modules"])
    assert {name.split(".")[0] for name in modules} & HEAVY == set()
    assert {name for name in modules if name.split(".")[0] == "tallboy"} <= OURS
    assert [name for name in sorted(modules) if _is_foreign(name, frozenset(sys.stdlib_module_names))] == []
    assert all(f"  {name} " in told["said"] for name, _module, _help in COMMANDS)
    assert all(option.name in told["said"] for option in OPTIONS)


def test_an_unknown_command_names_the_known_ones() -> None:
    """Code 2, and the list of what there is; no book is made or opened for it."""
    done = run_python("-m", "tallboy", "frobnicate")
    assert done.code == 2
    assert done.out == ""
    assert "invalid choice: 'frobnicate'" in done.err
    assert all(f"'{name}'" in done.err or name in done.err for name, _module, _help in COMMANDS)
    assert "Traceback" not in done.err
