"""The trade's arithmetic: pure functions in SI units. Each says its formula, its range and its source."""
