"""Labels for bags, as vectors: one label laid out for its size, and sheets of them."""
