"""tallboy: the workshop book for people who restore and refinish furniture."""

__version__ = "0.1.0"
