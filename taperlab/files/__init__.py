"""Benches, lines and reports on disk. No Qt."""
