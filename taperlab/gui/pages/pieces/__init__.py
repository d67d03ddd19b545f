"""The Pieces page."""
