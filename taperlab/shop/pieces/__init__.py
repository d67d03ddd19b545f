"""Pieces: designs to what is cut from what, joined in which order, and weighed on the way."""
