"""What the Cut back page is made of."""
