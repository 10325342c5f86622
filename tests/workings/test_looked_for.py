"""Words by which sums are looked for."""

from __future__ import annotations

from tallboy.workings.known import all_workings
from tallboy.workings.looked_for import LOOKED_FOR


def test_every_sum_has_words_and_every_word_a_sum() -> None:
    """A sum that is renamed or new is not forgotten; words are lower-case, as they are compared."""
    assert set(LOOKED_FOR) == set(all_workings())
    for name, words in LOOKED_FOR.items():
        assert words == words.lower()
        assert len(set(words.split())) == len(words.split()) >= 3, name
