"""Labels for the bags that heads are kept in: what they say, and where on the sheet they lie."""
