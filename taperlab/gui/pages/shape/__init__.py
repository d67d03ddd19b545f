"""The Shape page."""
