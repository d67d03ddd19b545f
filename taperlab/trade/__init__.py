"""Published tables and trade practice, read from resources/."""
