"""Trialbench: a notebook for side-by-side cooking trials."""

__version__ = "0.1.0"
