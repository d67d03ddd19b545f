"""Constants used by more than one formula."""

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s^2], exact by definition (NIST SP 811, app. B.8)."""
