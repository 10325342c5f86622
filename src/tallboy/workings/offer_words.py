"""How the choice among liquids is told: the verdict, what to measure out, how it was reckoned, and the ranking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tallboy.sums.blends import WORTH, Choice, best_fractions
from tallboy.sums.lifting import Residue
from tallboy.tables.residues import hansen
from tallboy.tables.rows import Row
from tallboy.workings import lifting_words as words
from tallboy.workings.kinds import Got, Grid
from tallboy.workings.lifting_words import Mixture
from tallboy.workings.offer import Harm, Offer, does_it, harm_line, harm_of_choice, harms, lifts


def mixed(choice: Choice, rows: Sequence[Row]) -> Mixture:
    named = {str(row["key"]): row for row in rows}
    return Mixture(
        tuple(named[key] for key, _ in choice.parts), tuple(share for _, share in choice.parts), choice.hansen
    )


def verdict(found: Offer) -> str:
    best, name = found.first, words.spoken(found.first.parts)
    judged = words.judged_words(best.lifted, best.spared)
    if does_it(best):
        return f"Try {name} first: it {judged}.{_beside(found)} {words.RED_WORDS}"
    if not lifts(best):
        return f"Nothing on this list is likely to lift {best.lifted.key}. The nearest is {name} (RED {best.lifted.red:.2f})."
    stays = " and ".join(one.key for one in best.spared)
    sure = "lifts" if harms(best) else "is sure to lift"
    spare = "without harm to" if harms(best) else "and to spare"
    return f"Nothing on this list {sure} {best.lifted.key} {spare} {stays}. The nearest is {name}: it {judged}. {words.RED_WORDS}"


def _beside(found: Offer) -> str:
    """What to turn to when the first one does not do: with what it does better."""
    if found.better is None:
        return ""
    name, stronger = words.spoken(found.better.parts), found.better.lifted.red < found.first.lifted.red - WORTH
    if stronger:
        return f" When that is too slow, {name} lifts better (RED {found.better.lifted.red:.2f})."
    return f" {name[0].upper()}{name[1:]} is gentler on what stays."


def results(found: Offer, named: Mapping[str, Row], volume: float) -> tuple[Got, ...]:
    best = found.first
    nearest = min(best.spared, key=lambda one: one.red, default=None)
    told = [
        Got("best", "First to try", words.blend_words(best.parts)),
        Got("measure_out", f"For {volume:.4g} ml", _measured(best, volume)),
        Got("red", f"RED on {best.lifted.key}", best.lifted.red, "", best.lifted.low, best.lifted.high),
    ]
    if nearest:
        label = f"Nearest that stays: {nearest.key}, RED"
        told.append(Got("nearest", label, nearest.red, "", nearest.low, nearest.high))
    told.append(Got("margin", "Margin of the weaker claim", best.margin))
    told += _harm_results(harm_of_choice(best, named))
    if found.better:
        told.append(Got("better", "Better at it, beside that", words.blend_words(found.better.parts)))
        told.append(Got("better_measure", f"of that for {volume:.4g} ml", _measured(found.better, volume)))
    if len(found.order) > 1:
        told.append(Got("second", "Next in order", words.blend_words(found.order[1].parts)))
    return tuple(told)


def _measured(choice: Choice, volume: float) -> str:
    return "; ".join(f"{volume * share:.4g} ml {key}" for key, share in choice.parts)


def _harm_results(found: Harm) -> list[Got]:
    limit = "not known" if found.limit is None else f"{found.limit.ppm:.4g} ppm ({found.limit.of})"
    flash = Got("flash", "Flash point", "not known" if found.flash is None else found.flash, "°C", digits=2)
    return [Got("limit", "Limit in air over 8 hours", limit), flash]


def how(found: Offer, rows: Sequence[Row], lift: Residue, others: Sequence[Residue], many: int) -> list[str]:
    best, named = found.first, {str(row["key"]): row for row in rows}
    lines = _reckoned(best, rows, lift, others)
    sparing = " and the smallest RED of what stays - 1.3" if others else ""
    lines.append(f"Margin = {'the smaller of ' if others else ''}0.9 - RED on {lift.key}{sparing} = {best.margin:.2f}")
    lines.append(harm_line(harm_of_choice(best, named)))
    if found.better:
        lines += [f"Beside it {words.blend_words(found.better.parts)}:", *_reckoned(found.better, rows, lift, others)]
    lines.append(f"{many} liquids and blends were worth comparing; a blend is, when it beats its parts by 0.05.")
    lines.append(
        "Order: what lifts the one and spares the others; one liquid before a blend; flash point from 23 °C up before one below; "
        "then least vapour over its limit. Where nothing does, the largest margin."
    )
    return [*lines, f"Words: {words.EDGES}."]


def _reckoned(choice: Choice, rows: Sequence[Row], lift: Residue, others: Sequence[Residue]) -> list[str]:
    """How one liquid or blend was reckoned: its parameters, its RED on each, and for a blend the finest shares."""
    mix = mixed(choice, rows)
    lines = words.blend_lines(mix) if len(mix.rows) > 1 else []
    for one in (lift, *others):
        lines += words.judgement_lines(mix.hansen, one)
    if len(mix.rows) > 1:
        finest = best_fractions([hansen(row) for row in mix.rows], lift, others)
        exact = words.blend_words(zip((str(row["key"]) for row in mix.rows), finest, strict=True))
        lines.append(f"Measured out finer the best of these would be {exact}.")
    return lines


def ranking(shown: Sequence[Choice], named: Mapping[str, Row]) -> Grid:
    stays = [one.key for one in shown[0].spared]
    lines = []
    for one in shown:
        found = harm_of_choice(one, named)
        lines.append(
            (
                words.blend_words(one.parts),
                f"{one.lifted.red:.2f} {one.lifted.word}",
                *(f"{other.red:.2f} {other.word}" for other in one.spared),
                f"{one.margin:.2f}",
                "not known" if found.limit is None else f"{found.limit.ppm:.4g} ppm",
                "not known" if found.flash is None else f"{found.flash:.0f} °C",
            )
        )
    heads = ("Liquid or blend", f"RED on {shown[0].lifted.key}", *(f"RED on {key}" for key in stays), "Margin")
    return Grid((*heads, "Limit in air", "Flash point"), tuple(lines), "In the order in which to try them")
