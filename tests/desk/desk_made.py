"""A sum that asks for one input of every kind, and one that refuses; the tests put them among the real ones."""

from __future__ import annotations

from tallboy.errors import Refused
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Grid, Plot, Working

INPUTS = (
    Asked("celsius", "Air temperature", "°C", -20, 50, help="In the shade."),
    Asked("width", "Width", "mm", 1, 5000, 20.0),
    Asked("coats", "Coats", low=1, high=9, default=2, kind="whole"),
    Asked("cut", "Cut", kind="choice", default="flat", choices=(("flat", "flat-sawn"), ("quarter", "quartered"))),
    Asked("side", "Side", kind="choice", choices=tuple((key, f"side {key}") for key in "abcdefg"), needed=False),
    Asked("wood", "Wood", kind="row", table="woods", default="red oak"),
    Asked("spare", "To be spared", kind="row list", table="residues", needed=False),
    Asked("diameters", "Diameters", "mm", 1, 100, kind="numbers", needed=False),
    Asked("cans", "Cans", kind="pairs", units=("ml", ""), needed=False),
    Asked("thinned", "Thinned", kind="flag"),
    Asked("name", "Its name", kind="text", needed=False),
)


def _work(given: Given) -> Answer:
    celsius = given.number("celsius")
    return Answer(
        results=(
            Got("warmth", "Warmth", celsius, "°C", celsius - 1, celsius + 1),
            Got("wood", "Wood", str(given.row("wood")["key"])),
            Got("spared", "Spared", len(given.rows("spare"))),
            Got("thinned", "Thinned", given.flag("thinned")),
        ),
        working=("warmth = as read", f"<b>{given.text('name')}</b>"),
        sources=("memory", str(given.row("wood")["source"])),
        cautions=("dust",),
        says=f"It is {celsius:g} °C.",
        limits=("It knows no wind.",),
        plots=(
            Plot("Warmth", "hour", "h", "warmth", "°C", (Curve("", (0, 1), (celsius, celsius + 1)),), says="Rises."),
        ),
        table=Grid(("Liquid", "RED"), (("acetone", "0.5"), ("water", "3.1"))),
    )


def _refuse(_given: Given) -> Answer:
    raise Refused("It never dries.", "Warm the shop.")


EVERY_KIND = Working(
    "try-it", "air", "Try every input", "What does it say?", INPUTS, _work, {"celsius": "18 °C", "name": "quay"}
)
REFUSES = Working("never", "air", "Never dries", "Does it dry?", (Asked("n", "Number"),), _refuse, {"n": "1"})
