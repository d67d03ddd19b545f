"""Which tip suits a head, and how deep each fishes."""
