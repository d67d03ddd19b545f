"""Closed forms for weight along a line, water, drag and sinking. SI in, SI out."""
