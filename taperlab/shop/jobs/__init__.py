"""What became of the jobs of customers, and which of them a person is looking for."""
