"""Frozen values: what a bench holds. SI floats, no behaviour but validation."""
