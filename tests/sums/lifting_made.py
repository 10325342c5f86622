"""Materials, residues and shares made up for the tests of lifting."""

from __future__ import annotations

from hypothesis import strategies as st

from tallboy.sums.lifting import Residue
from tallboy.sums.solubility import Hansen

materials = st.builds(Hansen, st.floats(13, 22), st.floats(0, 20), st.floats(0, 45))
"""Anywhere that liquids and residues lie."""

residues = st.builds(Residue, st.just("residue"), materials, st.floats(3, 15), st.booleans(), st.booleans())


def fractions(many: int) -> st.SearchStrategy[list[float]]:
    """Shares of so many liquids that add up to 1."""
    weights = st.lists(st.floats(0.01, 1), min_size=many, max_size=many)
    return weights.map(lambda found: [weight / sum(found) for weight in found])
