"""A head before a job and after it, for the customer: what came off, and what that changed."""
