"""Taperlab: make fly lines fit rods."""

__version__ = "0.1.0"
