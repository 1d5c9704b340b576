"""A terminal assistant for people who rear wild butterflies at home."""

__version__ = "0.12.0"
