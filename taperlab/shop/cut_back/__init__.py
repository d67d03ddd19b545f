"""Where to cut a head, in how many steps, and what the scale says after each."""
