"""The segment table."""
