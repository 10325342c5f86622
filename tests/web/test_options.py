"""The one table of settings."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from tallboy.errors import BadInput
from tallboy.web import options

DOCS = Path(__file__).parents[2] / "docs"


def _docs_text() -> str:
    spec = importlib.util.spec_from_file_location("make_settings", DOCS / "make_settings.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return str(module.text())


def test_the_docs_say_what_the_table_says() -> None:
    """docs/settings.md is what docs/make_settings.py makes of the table."""
    assert (DOCS / "settings.md").read_text(encoding="utf-8") == _docs_text()


def test_every_option_has_a_sentence_of_help_and_a_name_of_its_own() -> None:
    """Names are unique, helps are sentences."""
    names = [option.name for option in options.OPTIONS]
    assert len(set(names)) == len(names)
    assert all(option.help.endswith(".") for option in options.OPTIONS)


def test_the_environment_wins_over_the_default() -> None:
    """A set variable is used; an empty one counts as not set."""
    assert options.read("TALLBOY_PORT", {"TALLBOY_PORT": "9000"}) == "9000"
    assert options.read("TALLBOY_PORT", {"TALLBOY_PORT": ""}) == "8733"


@pytest.mark.parametrize("text", ["eighty", "0", "70000", "nan"])
def test_a_bad_number_names_the_setting_and_the_range(text: str) -> None:
    """Not a number, or outside the range: the message names the setting and what is accepted."""
    with pytest.raises(BadInput, match=r"TALLBOY_PORT.*1 to 65535"):
        options.read_number("TALLBOY_PORT", 1, 65535, {"TALLBOY_PORT": text})


def test_a_word_that_is_none_names_the_setting_and_the_words() -> None:
    """A language that no page is written in is refused at the start, not on every page."""
    assert options.read_choice("TALLBOY_LANGUAGE", ["en-gb", "en"], {"TALLBOY_LANGUAGE": "en"}) == "en"
    with pytest.raises(BadInput, match=r"TALLBOY_LANGUAGE is 'xx'.*en-gb, en"):
        options.read_choice("TALLBOY_LANGUAGE", ["en-gb", "en"], {"TALLBOY_LANGUAGE": "xx"})


def test_no_other_module_reads_the_environment() -> None:
    """Only the table reads os.environ; a command's start and Django's entry point set it."""
    allowed = {"web/options.py", "web/wsgi.py", "cli/start.py"}
    root = Path(__file__).parents[2] / "src" / "tallboy"
    readers = {
        str(path.relative_to(root))
        for path in root.rglob("*.py")
        if "os.environ" in path.read_text(encoding="utf-8") or "getenv" in path.read_text(encoding="utf-8")
    }
    assert readers == allowed
