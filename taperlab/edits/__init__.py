"""Everything a person can do to a bench: pure functions from Bench to Bench."""
