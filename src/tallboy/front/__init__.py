"""The face of a piece: how it is divided, its numbered positions, its elevation drawing, and the piece file."""
