"""What each ± on the bench does to a head."""
