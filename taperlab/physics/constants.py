"""Constants used by more than one formula."""

from taperlab.model.exact_units import FOOT, GRAIN, INCH

__all__ = ["FOOT", "GRAIN", "INCH", "STANDARD_GRAVITY"]

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s^2], exact by definition (NIST SP 811, app. B.8)."""
