"""Which tip suits a head: the page Tips."""
