"""The parts of the Measure page: its tables, plots, cards and words."""
