"""How a rig settles, how deep it fishes on a tight line, and how sure that is."""
