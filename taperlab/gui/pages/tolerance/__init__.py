"""What a thousandth costs: the page Tolerances."""
