"""From a bench to figures: analysis, measuring, cutting back."""
