"""Lines in the air: the room behind, whether they turn over, and a film of it."""
