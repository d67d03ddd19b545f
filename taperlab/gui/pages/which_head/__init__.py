"""Which head suits a rod and its water."""
