"""Versions of a line: what differs between one and the line now."""
