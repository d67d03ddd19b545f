"""What the window holds: the bench, its file, jobs and settings."""
