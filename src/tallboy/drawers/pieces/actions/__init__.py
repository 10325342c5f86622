"""Every change of a piece, of its parts, its steps and the work on them."""
