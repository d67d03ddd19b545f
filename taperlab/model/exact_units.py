"""The trade's own measures in SI, exact by definition."""

FOOT = 0.3048
"""International foot [m], exact (NIST SP 811, app. B.6)."""

INCH = 0.0254
"""International inch [m], exact (NIST SP 811, app. B.6)."""

GRAIN = 64.79891e-6
"""Grain [kg], exact (NIST SP 811, app. B.8; NIST Handbook 44, app. C)."""
