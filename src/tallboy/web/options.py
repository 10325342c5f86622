"""The one table of settings: the command line, the docs and Django's settings all read it.

Each row: the environment variable, its default, what it is for. No other module reads the environment.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from tallboy.errors import BadInput


@dataclass(frozen=True)
class Option:
    """One setting: `name` is the environment variable, `default` what holds without it, `help` a plain sentence."""

    name: str
    default: str
    help: str


OPTIONS: tuple[Option, ...] = (
    Option("TALLBOY_BOOK", "", "Folder of the book. Empty: a folder named tallboy in your own data folder."),
    Option("DATABASE_URL", "", "A PostgreSQL address (postgresql://…). Empty: an SQLite file in the book's folder."),
    Option("TALLBOY_PORT", "8733", "Port that `tallboy open` and `tallboy demo` listen on, on this machine only."),
    Option("TALLBOY_ADDRESS", "", "Web address printed in QR codes. Empty: http://127.0.0.1 and the port."),
    Option("TALLBOY_HOSTS", "", "Further host names the pages may be asked for by, with commas between."),
    Option("TALLBOY_LANGUAGE", "en-gb", "Language of screens and papers: en-gb or en."),
    Option("TALLBOY_PLAN_SECONDS", "1.5", "How long, in seconds, a plan may be improved before it is shown."),
    Option(
        "TALLBOY_PLAN_LONG_SECONDS", "20", "How long, in seconds, a plan is improved at most when that is asked for."
    ),
    Option(
        "TALLBOY_CLUSTER",
        "",
        "Address of a Dask scheduler (tcp://host:8786) that works out how sure the dates are; its workers need tallboy installed. "
        "Empty: this machine does.",
    ),
    Option("TALLBOY_PHOTO_MEGABYTES", "30", "Largest photograph file taken in, in megabytes."),
    Option("TALLBOY_PHOTO_MEGAPIXELS", "120", "Largest photograph taken in, in millions of pixels."),
    Option(
        "TALLBOY_REFERENCE",
        "",
        "Folder with the data files that some published checks are read from. Empty: those are told apart.",
    ),
    Option("TALLBOY_DEBUG", "0", "1 shows program errors in full, for developers only."),
)
_BY_NAME = {option.name: option for option in OPTIONS}


def read(name: str, environ: Mapping[str, str] | None = None) -> str:
    """The value of a setting as text: from the environment, else its default.

    Raises KeyError for a name that is not in the table (a program error).
    """
    option = _BY_NAME[name]
    source = os.environ if environ is None else environ
    return source.get(name) or option.default


def read_choice(name: str, accepted: Collection[str], environ: Mapping[str, str] | None = None) -> str:
    """The value of a setting that is one of the accepted words; BadInput names them otherwise."""
    text = read(name, environ)
    if text not in accepted:
        raise BadInput(f"The setting {name} is {text!r}.", f"It must be one of: {', '.join(accepted)}.")
    return text


def read_port(environ: Mapping[str, str] | None = None) -> int:
    """The port to listen on; BadInput when it is none."""
    return int(read_number("TALLBOY_PORT", 1, 65535, environ))


def read_number(name: str, low: float, high: float, environ: Mapping[str, str] | None = None) -> float:
    """The value of a setting as a number between `low` and `high`; BadInput says which setting is wrong and how."""
    text = read(name, environ)
    hint = f"It must be a number from {low:g} to {high:g}."
    try:
        value = float(text)
    except ValueError:
        raise BadInput(f"The setting {name} is {text!r}.", hint) from None
    if not low <= value <= high:
        raise BadInput(f"The setting {name} is {text}.", hint)
    return value
