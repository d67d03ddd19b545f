"""What every page is made of: theme, cards, fields, gauge."""
