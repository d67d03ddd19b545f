"""Taperlab: make fly lines fit rods."""
