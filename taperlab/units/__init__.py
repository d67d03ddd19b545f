"""Typed text to SI and back. The only room that knows pint."""
