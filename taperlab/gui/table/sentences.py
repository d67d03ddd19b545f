"""What the status line says after an edit: which other numbers it moved."""

from __future__ import annotations

from collections.abc import Sequence

from taperlab.edits.edited import Moved
from taperlab.gui.state.settings import Settings
from taperlab.units import kinds
from taperlab.units.kinds import Kind
from taperlab.units.show import show, shown_unit

_KINDS: dict[str, Kind] = {
    "length": kinds.LENGTH,
    "front diameter": kinds.DIAMETER,
    "rear diameter": kinds.DIAMETER,
    "density": kinds.DENSITY,
}
_MOST = 2


def moved_text(moved: Sequence[Moved], settings: Settings, holds: str = "") -> str:
    """What moved besides the number typed, in one sentence; nothing if nothing did.

    holds: what stayed as it was typed, such as "the weight holds".
    """
    if not moved:
        return ""
    parts = [_part(one, settings) for one in moved[:_MOST]]
    if len(moved) > _MOST:
        rest = len(moved) - _MOST
        parts.append(f"{rest} more {'number' if rest == 1 else 'numbers'} moved")
    text = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
    why = f" so that {holds}" if holds else ""
    return f"{text[0].upper()}{text[1:]}{why}"


def _part(moved: Moved, settings: Settings) -> str:
    kind, system = _KINDS[moved.quantity], settings.system
    if kind.shown(system).feet_and_inches:
        before, after = (show(value, kind, system) for value in (moved.before, moved.after))
        unit = ""
    else:
        before, after = (
            show(value, kind, system, unit=False) for value in (moved.before, moved.after)
        )
        unit = f" {shown_unit(kind, system)}"
    if before == after:
        return f"{moved.quantity} of row {moved.segment + 1} moved by less than is shown"
    return f"{moved.quantity} of row {moved.segment + 1} moved from {before} to {after}{unit}"
