"""A teaching handbook of one operation, generated from case files."""

__version__ = "0.1.0"
