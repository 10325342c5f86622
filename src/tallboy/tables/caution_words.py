"""The cautions that belong to a step or a material, in the words that stand beside it."""

from __future__ import annotations

from collections.abc import Iterable

from tallboy.tables.load import load


def caution_words(keys: Iterable[str]) -> list[dict[str, str]]:
    """Title and text of the cautions with these keys, in order; a key that the table does not have is passed over."""
    rows = {row["key"]: row for row in load("cautions")["cautions"]}
    return [{"title": rows[key]["title"], "text": rows[key]["text"]} for key in keys if key in rows]
