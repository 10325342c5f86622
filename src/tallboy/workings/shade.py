"""Tones, as they are asked at the bench: how far two lie apart, how even a set is, which on the shelf comes nearest."""

from __future__ import annotations

import re

from tallboy.errors import BadInput
from tallboy.sums import colour, shade
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working
from tallboy.workings.telling import listed

MOST_TONES = 200
_TAKES = "A code such as #b5a642, or L*, a* and b* such as 60 5 25."
_TONE_HELP = "A colour code such as #8b4513, or L*, a*, b*: 37 26 41."
EYE = {
    "not seen": "which is not seen",
    "seen by a trained eye": "which a trained eye sees",
    "seen by anyone side by side": "which anyone sees side by side",
    "clearly seen": "which is clearly seen",
    "two colours": "which makes them two colours",
}
_LIMITS = (
    "A screen's or a photograph's colour has its light in it: compare only tones from the same picture, beside the same grey card.",
    "From a phone's picture a difference under about 2 says nothing. Shine, grain and tarnish are not in the number.",
    "The steps of seeing were given for CIELAB 1976 and hold for flat tones side by side in daylight.",
)
_SOURCES = ("sharma-2005", "iec-61966-2-1", "jnd-steps")
_NUMBER = re.compile(r"[+-]?[0-9]*[.,]?[0-9]+")


def tone(text: str) -> list[float]:
    """A tone typed as a colour code or as three numbers of CIELAB."""
    typed = text.strip().replace("\u2212", "-")
    parts = typed.split()
    if len(parts) == 3 and all(_NUMBER.fullmatch(part) for part in parts):
        numbers = [float(part.replace(",", ".")) for part in parts]
        return [float(value) for value in colour.tones_of(numbers)]
    if len(parts) != 1:
        raise BadInput(f"“{text[:30]}” is no tone.", _TAKES)
    return colour.srgb_to_lab(colour.hex_to_rgb(typed))


def named_tones(text: str) -> list[tuple[str, list[float]]]:
    """Tones with semicolons between, each with a name before it or not: "left door = #8b4513; #8f4a18"."""
    items = [item.strip() for item in re.split(r"[;\n]", text) if item.strip()]
    if len(items) > MOST_TONES:
        raise BadInput(f"There are {len(items)} tones.", f"At most {MOST_TONES}.")
    found = []
    for place, item in enumerate(items, start=1):
        name, equals, code = item.rpartition("=")
        found.append((name.strip() if equals and name.strip() else f"no. {place}", tone(code)))
    return found


def _difference(given: Given) -> Answer:
    one, other = tone(given.text("first")), tone(given.text("second"))
    found, older = float(colour.ciede2000(one, other)), float(colour.cie76(one, other))
    seen = shade.seen_as(found)
    turns = _turns(one, other)
    return Answer(
        results=(
            Got("difference", "Difference, CIEDE2000", found),
            Got("older", "Difference, CIELAB 1976", older),
            Got("seen", "For the eye", seen),
            Got("turns", "The second is", turns),
        ),
        working=(
            _tone_line("first", one),
            _tone_line("second", other),
            f"1976: √(ΔL² + Δa² + Δb²) = √({other[0] - one[0]:.2f}² + {other[1] - one[1]:.2f}² + {other[2] - one[2]:.2f}²) = {older:.2f}",
            f"CIEDE2000 (kL = kC = kH = 1) = {found:.2f}",
            "up to 1 not seen, 2 by a trained eye, 3.5 by anyone side by side, 5 clearly, above: two colours",
        ),
        sources=_SOURCES,
        says=f"They differ by {found:.1f}, {EYE[seen]}. The second is {turns}.",
        limits=_LIMITS,
    )


def _tone_line(name: str, of: list[float]) -> str:
    return f"{name}: L* {of[0]:.2f}, a* {of[1]:.2f}, b* {of[2]:.2f}"


def _turns(one: list[float], other: list[float]) -> str:
    words = (("darker", "lighter"), ("greener", "redder"), ("bluer", "yellower"))
    steps = [after - before for before, after in zip(one, other, strict=True)]
    told = [pair[step > 0] for pair, step in zip(words, steps, strict=True) if abs(step) >= 0.5]
    return listed(told) or "the same, near enough"


def _even(given: Given) -> Answer:
    named = named_tones(given.text("tones"))
    if len(named) < 2:
        raise BadInput("A set needs two tones at least.", _TAKES)
    names, tones = [name for name, _ in named], [of for _, of in named]
    found = shade.evenness(tones)
    seen = shade.seen_as(found.largest)
    odd = names[found.odd] if found.odd >= 0 else "none: there are only two"
    return Answer(
        results=(
            Got("largest", "Largest difference", found.largest),
            Got("pair", "Between", f"{names[found.first]} and {names[found.second]}"),
            Got("seen", "For the eye", seen),
            Got("odd", "The odd one out", odd),
            Got("without", "Largest without it", found.without),
            Got("mean", "Mean of all pairs", found.mean),
        ),
        working=(
            *(_tone_line(name, of) for name, of in named[:20]),
            f"largest of {len(named) * (len(named) - 1) // 2} pairs (CIEDE2000) = {found.largest:.2f}",
            f"largest without {odd} = {found.without:.2f}" if found.odd >= 0 else "two tones have no odd one out",
        ),
        sources=_SOURCES,
        says=_even_words(found, names, seen),
        limits=(*_LIMITS, "Two ends of a room hide what shows side by side: look at neighbours first."),
        table=Grid(("Tone", *names), _matrix(names, tones), "Difference of each pair") if len(named) <= 8 else None,
    )


def _even_words(found: shade.Evenness, names: list[str], seen: str) -> str:
    pair = f"The two farthest apart are {names[found.first]} and {names[found.second]}, by {found.largest:.1f}, {EYE[seen]}."
    if found.odd < 0 or found.largest - found.without < 0.05:
        return pair
    return f"{pair} Without {names[found.odd]} the rest keep within {found.without:.1f}."


def _matrix(names: list[str], tones: list[list[float]]) -> tuple[tuple[str, ...], ...]:
    rows = shade.difference_matrix(tones)
    return tuple((name, *(f"{value:.1f}" for value in row)) for name, row in zip(names, rows, strict=True))


def _nearest(given: Given) -> Answer:
    wanted, shelf = tone(given.text("wanted")), named_tones(given.text("shelf"))
    if not shelf:
        raise BadInput("The shelf is empty.", _TAKES)
    found = shade.nearest(wanted, [of for _, of in shelf])
    name, of = shelf[found.place]
    seen, turns = shade.seen_as(found.difference), _turns(wanted, of)
    return Answer(
        results=(
            Got("nearest", "Nearest", name),
            Got("difference", "Its difference, CIEDE2000", found.difference),
            Got("seen", "For the eye", seen),
            Got("turns", "It is", turns),
        ),
        working=(
            _tone_line("wanted", wanted),
            *(
                f"{_tone_line(*shelf[place])}: difference {apart:.2f}"
                for place, apart in zip(found.order[:8], found.differences, strict=False)
            ),
        ),
        sources=_SOURCES,
        says=f"The nearest is {name}, {found.difference:.1f} off, {EYE[seen]}. It is {turns}.",
        limits=(
            *_LIMITS,
            "A stain's tone depends on the wood beneath and on the coats over it: try it on a hidden spot.",
        ),
        table=Grid(
            ("Tone", "Difference"),
            tuple(
                (shelf[place][0], f"{apart:.1f}") for place, apart in zip(found.order, found.differences, strict=True)
            )[:8],
            "The nearest first",
        ),
    )


SUMS = (
    Working(
        "colour-difference", "shade", "Two tones", "How far apart do two tones look?",
        (
            Asked("first", "One tone", kind="text", help=_TONE_HELP),
            Asked("second", "The other", kind="text", help=_TONE_HELP),
        ),
        _difference,
        {"first": "#8b4513", "second": "#8f4a18"},
    ),
    Working(
        "even-set", "shade", "How even a set is", "Do these look alike, and which is the odd one out?",
        (Asked("tones", "Tones, with semicolons between", kind="text", help="Such as left = #8b4513; right = #8f4a18."),),
        _even,
        {"tones": "top drawer = #8b4513; middle = #8f4a18; bottom = #7a3a10; door = #8c4614"},
    ),
    Working(
        "nearest-tone", "shade", "Nearest tone on the shelf", "Which of these tones comes nearest to the one that is wanted?",
        (
            Asked("wanted", "Tone that is wanted", kind="text", help=_TONE_HELP),
            Asked("shelf", "Tones on the shelf, with semicolons between", kind="text", help="Such as oak = #b08d57; walnut = #5c4033."),
        ),
        _nearest,
        {"wanted": "#8b4513", "shelf": "light oak = #b08d57; walnut = #5c4033; mahogany = #8a3f1e"},
    ),
)  # fmt: skip
