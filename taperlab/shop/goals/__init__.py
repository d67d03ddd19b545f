"""Goals: the smallest change of a line that meets them, and why some cannot be met."""
