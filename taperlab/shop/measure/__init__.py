"""From stations, sections and weights to a line, with what is known about its errors."""
