"""The planner's rules in the words that people see, in one place: what each rule is called, and what it says of a step."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

# What holds a step where it is, as a short title.
RULES = {
    "wait": _("something dries, sets or soaks"),
    "order": _("another step comes first"),
    "hands": _("hands are busy"),
    "hours": _("nobody works then"),
    "quiet": _("quiet hours"),
    "air": _("the air does not suit"),
    "delivery": _("not delivered yet"),
    "not before": _("put off"),
    "room": _("no room, or nothing free"),
    "dust": _("dust and a wet coat"),
    "vapour": _("vapour of a solvent"),
    "fire": _("vapour and flame"),
    "window": _("a window to keep"),
    "kept": _("kept where it was planned"),
    "begun": _("begun"),
    "done": _("done"),
    "now": _("nothing: it can begin"),
}


def rule_word(rule: str) -> str:
    """What a rule is called; its own name where it is new."""
    return str(RULES.get(rule, rule))
