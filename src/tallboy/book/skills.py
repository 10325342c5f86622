"""Skills: words of the shop's own for what not everybody in it can do."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _

from tallboy.errors import BadInput
from tallboy.work.route import LONGEST_SKILL

# Trade words to begin with; a shop adds its own.
SUGGESTED = ("french polishing", "gilding", "spraying", "turning", "upholstery")
MOST_SKILLS = 20


def plain(text: str) -> str:
    """A skill as it is kept and compared: single spaces, small letters, so that "French  polishing" is the same."""
    return " ".join(text.split()).lower()


def checked(texts: Iterable[str]) -> list[str]:
    """Skills as they are kept: each once, by name; BadInput where one is too long or there are too many."""
    words = sorted({plain(text) for text in texts} - {""})
    for word in words:
        if len(word) > LONGEST_SKILL:
            raise BadInput(
                _("The skill “%(skill)s …” is too long.") % {"skill": word[:LONGEST_SKILL]},
                _("Give it a word or two, %(most)s letters at most.") % {"most": LONGEST_SKILL},
            )
    if len(words) > MOST_SKILLS:
        raise BadInput(
            _("%(count)s skills for one person?") % {"count": len(words)},
            _("Give %(most)s at most.") % {"most": MOST_SKILLS},
        )
    return words
