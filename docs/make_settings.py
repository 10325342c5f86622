"""Write docs/settings.md from the one table of settings: python docs/make_settings.py"""

from __future__ import annotations

from pathlib import Path

from tallboy.web.options import OPTIONS


def text() -> str:
    """The whole of docs/settings.md."""
    rows = [f"| `{option.name}` | {option.default or '(empty)'} | {option.help} |" for option in OPTIONS]
    head = "# Settings\n\nFrom the environment. Made from the table in `src/tallboy/web/options.py`.\n\n"
    return head + "| setting | default | what it is for |\n|---|---|---|\n" + "\n".join(rows) + "\n"


if __name__ == "__main__":
    Path(__file__).with_name("settings.md").write_text(text(), encoding="utf-8")
