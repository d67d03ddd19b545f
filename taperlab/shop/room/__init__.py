"""How much room behind a head wants, and how long a head a room takes: an estimate."""
