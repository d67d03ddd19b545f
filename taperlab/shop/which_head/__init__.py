"""Which head suits a rod and its water: what is ruled out, what speaks for each, and why."""
