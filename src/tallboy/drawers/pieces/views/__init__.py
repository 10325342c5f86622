"""Views of the Pieces drawer, by subject."""
