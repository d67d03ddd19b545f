"""The plots that share the distance axis."""
