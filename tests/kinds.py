"""Every kind of value, by the name that it has in the program, in small letters."""

from __future__ import annotations

from taperlab.units import kinds
from taperlab.units.kinds import Kind

KINDS = {name.lower(): kind for name, kind in vars(kinds).items() if isinstance(kind, Kind)}
