"""The trade's numbers as TOML, every row with its source and how it was come by; one loader."""

from tallboy.tables.load import load

__all__ = ["load"]
