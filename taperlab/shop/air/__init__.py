"""Lines in the air: what is looked at and what is laid over it, thrown alike."""
