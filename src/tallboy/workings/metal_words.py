"""The verdicts on metals as sentences."""

from __future__ import annotations

from collections.abc import Sequence

from tallboy.sums import agents as care
from tallboy.sums import galvanic, wood_metal
from tallboy.tables.rows import Row

PLACES = {
    "harsh": "wet, salt or outdoor air",
    "normal": "a room or store without control",
    "controlled": "dry, steady air",
}
NEXT = {
    "magnet": "try a magnet on it",
    "rub": "rub it where it does not show and look at the colour",
    "tarnish": "look at its tarnish",
    "edges": "look at worn edges",
    "mark": "try how soft it is, where it does not show",
    "ring": "tap it with a pencil",
}


def upper(text: str) -> str:
    """The text as the beginning of a sentence."""
    return text[:1].upper() + text[1:]


def touch_words(agent: str, metal: str, found: care.Touch, after: tuple[str, ...]) -> str:
    """Whether an agent may touch a part, why, and what follows at once."""
    on = metal if found.deciding.metal == metal else f"{metal} ({found.deciding.metal})"
    then = f" Then {', '.join(after)}." if after else ""
    return {
        care.Verdict.NEVER: f"Never put {agent} on {on}. {found.deciding.reason}",
        care.Verdict.UNKNOWN: f"Nothing is known of {agent} on {on}: take something milder, or try it out of sight.{then}",
        care.Verdict.CARE: f"{upper(agent)} may touch {on} with care. {found.deciding.reason}{then}",
        care.Verdict.USUAL: f"{upper(agent)} is usually all right on {on}. {found.deciding.reason}{then}",
    }[found.verdict]


def bath_words(agent: str, metals: Sequence[Row], found: care.Touch) -> str:
    """Whether several metals may share a bath, and which of them decides."""
    what = f"these {len(metals)} metals" if len(metals) > 1 else str(metals[0]["key"])
    decides = f"{upper(found.deciding.metal)} decides: {found.deciding.reason}"
    return {
        care.Verdict.NEVER: f"Never put {what} into {agent}. {decides}",
        care.Verdict.UNKNOWN: f"It is not known what {agent} does to {what}. {decides}",
        care.Verdict.CARE: f"{upper(what)} may go into {agent} with care. {decides}",
        care.Verdict.USUAL: f"{upper(what)} may usually go into {agent}. {decides}",
    }[found.verdict]


def pair_words(first: Row, second: Row, found: galvanic.Couple, place: str, anode: str, area: str) -> str:
    """Whether two metals may touch, which is eaten, and what helps."""
    both = f"{upper(first['key'])} and {second['key']}"
    if found.anode == "neither":
        return f"{both} lie level: neither eats the other."
    may = galvanic.allowed(found.hundredths, place)
    lie = f"they lie {found.volts:.2f} V apart"
    if may:
        return f"{both} may touch in {PLACES[place]}: {lie}. Where damp joins them {anode} is eaten first."
    faster = ", and fast, because it is the smaller of the two" if area == "worse" else ""
    return (
        f"{both} should not touch bare in {PLACES[place]}: {lie}, and where damp joins them {anode} is eaten{faster}. "
        "Wax, lacquer or a washer between them stops it."
    )


def wood_words(wood: Row, metal: Row, effect: wood_metal.Effect, stain: str) -> str:
    """How a metal and a wood get on, and what water would do."""
    name, within = upper(str(metal["key"])), str(wood["key"])
    first = {
        wood_metal.Effect.CORRODES: f"{name} corrodes in {within}.",
        wood_metal.Effect.STAINS: f"{name} stains {within}.",
        wood_metal.Effect.SLIGHT: f"{name} is slightly attacked in {within}.",
        wood_metal.Effect.SOUND: f"{name} is usually sound in {within}.",
    }[effect]
    if stain.endswith("stain"):
        return f"{first} Expect a {stain}."
    if stain != "none while dry":
        return first
    wet = wood_metal.iron_stain(bool(wood.get("tannin")), wood_metal.DAMP_FROM)
    return f"{first} It leaves no stain while it is dry; a wet cloth or a waterborne coat brings a {wet}."


def case_words(lead: str) -> str:
    """What the air of a case does to lead."""
    return {
        "corrodes": "Lead corrodes in this case: keep lead, pewter and old solder out of it.",
        "darkens": "Lead darkens in this case: keep lead, pewter and old solder out of it.",
        "over the guideline": "This air is over the guideline for a case: air it before lead goes in.",
        "no harm known": "No harm to lead is known from so little.",
    }[lead]


def film_words(milligrams: float, verdict: str) -> str:
    """What the law says of lead in a film of paint; and that it says nothing of sanding."""
    return (
        f"{milligrams:g} mg/kg of lead in the dried film is {verdict} on furniture sold to US consumers; "
        "whatever the figure, do not dry-sand it."
    )


def identity_words(best: str, share: float, plated: float, following: str, sure: bool) -> str:
    """What a fitting most likely is, and what to try next where that is not sure."""
    kind = "plated rather than solid" if plated >= 0.5 else "solid rather than plated"
    tail = "" if sure else f" That is not sure yet: {NEXT.get(following, 'weigh it')} next."
    return f"It is most likely {best} ({100 * share:.0f} in 100), {kind}.{tail}"
