"""The words a route may use: what a step does, over what, where, and what a wait is. One list each, used by every reader."""

from __future__ import annotations

from typing import Final

DOES: Final = (
    "look", "test", "take-down", "clean", "strip", "sand", "repair", "glue", "fill",
    "coat", "rub-down", "wax", "metal", "put-back", "check", "fetch",
)  # fmt: skip
"""What a step does."""

OVERS: Final = ("piece", "surface", "part", "fault")
"""What a step is done over: once for the piece, once a surface, over its parts, or for one fault."""

GROUPS: Final = ("top", "sides", "front frame", "drawer fronts", "doors", "inside", "back", "legs")
"""Groups of surfaces."""

OUTSIDE: Final = ("top", "sides", "front frame", "drawer fronts", "doors", "legs")
"""The groups that are seen; a step that names no group covers these."""

PLACES: Final = ("bench", "spray spot", "soak station", "outdoors")
"""Where in the shop a step is done."""

LABELS: Final = ("", "touch", "recoat", "cure")
"""Which time on the label a wait is taken from; empty when the wait is fixed."""

WAIT_KINDS: Final = ("order", "drying", "clamps", "soak", "cure", "settle")
"""Why a wait is there. `order` is no time at all, only what comes first."""

ROLES: Final = ("sealer", "primer", "topcoat", "oil", "wax", "stain", "stripper", "cleaner", "glue", "filler")
"""What a product is on the piece for."""

ROLES_WITHOUT_CLASS: Final = ("stain", "stripper", "cleaner")
"""Roles for which the coatings table has no drying class; their waits are written in the route."""

DECISIONS: Final = ("keep", "clean", "repair", "replace")
"""What is to become of a part."""

BEFORE: Final = ("finish", "put-back")
"""What a repair holds up: the finishing of the wood, or only the putting back."""

PLACEHOLDERS: Final = ("surface", "part", "fault", "product", "coat", "coats")
"""Words in curly brackets that a title may hold."""

LOOSE: Final = ("drawer fronts", "doors")
"""The groups that come off the piece: coated, they lie on the rack until they are dry; the rest stands where it was coated."""

SURFACE_WORK: Final = frozenset({"clean", "strip", "sand", "fill", "coat", "rub-down", "wax"})
"""Steps that touch surfaces and so are counted by their area."""

FINISH_WORK: Final = frozenset({"sand", "fill", "coat", "rub-down", "wax", "put-back", "check"})
"""Steps that must not start before the repairs of the wood are done."""

STIRS_PAINT: Final = frozenset({"clean", "strip", "sand", "metal"})
"""Steps that rub at old paint, on the wood or on a fitting, even where they make little dust."""

SIDE_WORK: Final = frozenset({"metal", "fetch"})
"""Steps that run beside the woodwork and are needed only at the put-back."""

DECISIONS_FOR: Final = {"metal": ("clean", "repair"), "repair": ("repair",), "fetch": ("replace",)}
"""Which decisions about a part bring it into a step over parts; any other step takes them all."""
