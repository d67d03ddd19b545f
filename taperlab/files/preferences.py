"""What the program remembers of a person's choices, apart from any bench."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from enum import StrEnum
from pathlib import Path

from taperlab.edits.edited import Ends, Solve
from taperlab.files import disk, locks
from taperlab.files.codec import (
    TEXT,
    TEXTS,
    YES_OR_NO,
    BadValue,
    Entry,
    Record,
    Value,
    Where,
    choice,
    number,
    one,
    optional,
    whole,
)
from taperlab.files.disk import read_bytes
from taperlab.files.folders import config_folder
from taperlab.files.problem import FileProblem
from taperlab.model.segment import Extras
from taperlab.shop.labels.asking import MOST_PRINTED, LabelChoices
from taperlab.trade.label_grids import MOST_LABELS, Paper
from taperlab.units.kinds import System
from taperlab.units.language import later

RECENT_FILES = 10


class Theme(StrEnum):
    """Colours of the window."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


class SheetPaper(StrEnum):
    """What sheets are printed on."""

    USUAL = "usual"
    """Letter where inches are used, A4 elsewhere."""
    LETTER = "letter"
    A4 = "a4"


@dataclass(frozen=True, slots=True)
class Preferences:
    """A person's choices.

    solve: what a typed weight moves. figures_move: what each typed figure of the head moves, as
    ``head weight = all diameters``. sink_shown: whether the sink-rate plot is. head_only: whether
    the plots show heads without what is behind them. builds_to_steps: whether answers to goals are
    rounded to the steps of tape and micrometer. zoom: how large all is written, of what the
    system asks for [%]. paper: what sheets are printed on. stills: whether films are shown as
    stills. recent_files: newest first.
    labels: what they are printed on, and how.
    jobs_folder: below which all benches' jobs are looked through; empty: none is.
    window_*: the window's own encoded state.
    """

    system: System = System.US
    solve: Solve = Solve.DENSITY
    figures_move: tuple[str, ...] = ()
    sink_shown: bool = False
    head_only: bool = False
    ends: Ends = Ends.JOINED
    builds_to_steps: bool = True
    theme: Theme = Theme.SYSTEM
    zoom: int = 100
    paper: SheetPaper = SheetPaper.USUAL
    stills: bool = False
    welcome_seen: bool = False
    recent_files: tuple[str, ...] = ()
    labels: LabelChoices = field(default_factory=LabelChoices)
    jobs_folder: str = ""
    window_geometry: str = ""
    window_layout: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def with_recent(self, path: Path) -> Preferences:
        """The preferences with a file at the head of the recent ones."""
        name = str(path.absolute())
        others = (each for each in self.recent_files if each != name)
        return replace(self, recent_files=(name, *others)[:RECENT_FILES])

    def without_recent(self, path: Path) -> Preferences:
        """The preferences with a file taken off the recent ones: it is no longer there."""
        name = str(path.absolute())
        return replace(self, recent_files=tuple(each for each in self.recent_files if each != name))


_PERCENT = number(50.0, 400.0)

_SIZE = number(0.0, 1.0)
_SHIFT = number(-0.1, 0.1)
_LABELS = Record(
    later("labels"),
    LabelChoices,
    (
        Entry("grid", TEXT, ""),
        Entry("is_own", YES_OR_NO, False, "of_own_size"),
        Entry("paper", choice(Paper), Paper.LETTER),
        Entry("width", _SIZE, LabelChoices().width, "width_m"),
        Entry("height", _SIZE, LabelChoices().height, "height_m"),
        Entry("pitch_x", optional(_SIZE), None, "pitch_x_m"),
        Entry("pitch_y", optional(_SIZE), None, "pitch_y_m"),
        Entry("left", _SIZE, 0.0, "left_m"),
        Entry("top", _SIZE, 0.0, "top_m"),
        Entry("inner", optional(_SIZE), None, "inner_m"),
        Entry("nudge_x", _SHIFT, 0.0, "nudge_x_m"),
        Entry("nudge_y", _SHIFT, 0.0, "nudge_y_m"),
        Entry("start", whole(1, MOST_LABELS), 1),
        Entry("count", whole(1, MOST_PRINTED), 1),
        Entry("by", TEXT, "", "initials"),
        Entry("rule", YES_OR_NO, True, "scale_rule"),
    ),
)

_ENTRIES = (
    Entry("system", choice(System), key="units"),
    Entry("solve", choice(Solve), key="a_typed_weight_moves"),
    Entry("figures_move", TEXTS, key="a_typed_figure_moves"),
    Entry("sink_shown", YES_OR_NO, key="sink_rate_shown"),
    Entry("head_only", YES_OR_NO, key="head_only_shown"),
    Entry("ends", choice(Ends), key="ends_that_meet_are"),
    Entry("builds_to_steps", YES_OR_NO, key="answers_to_goals_are_rounded"),
    Entry("theme", choice(Theme)),
    Entry("zoom", Value(lambda found, where: round(_PERCENT.read(found, where)), int)),
    Entry("paper", choice(SheetPaper)),
    Entry("stills", YES_OR_NO, key="stills_in_place_of_films"),
    Entry("welcome_seen", YES_OR_NO),
    Entry("recent_files", TEXTS),
    Entry("labels", one(_LABELS)),
    Entry("jobs_folder", TEXT),
    Entry("window_geometry", TEXT),
    Entry("window_layout", TEXT),
)
_RECORD = Record(later("preferences"), Preferences, _ENTRIES)


def preferences_file() -> Path:
    """Where the preferences lie."""
    return config_folder() / "preferences.json"


def load_preferences(path: Path | None = None) -> Preferences:
    """The person's choices; each that is missing or damaged is the default. Never raises."""
    try:
        where = preferences_file() if path is None else path
        found = json.loads(read_bytes(where).decode("utf-8"))
    except (FileProblem, ValueError, RecursionError):
        return Preferences()
    if not isinstance(found, dict):
        return Preferences()
    usual = _RECORD.write(Preferences())
    filled = {key: found.get(key, value) for key, value in usual.items()}
    for entry in _ENTRIES:
        try:
            entry.read(filled, Where(""))
        except (BadValue, FileProblem):
            filled[entry.key] = usual[entry.key]
    kept: Preferences = _RECORD.read(found | filled, Where(""))
    return kept


def change_preferences(
    before: Preferences, after: Preferences, path: Path | None = None
) -> Preferences:
    """Remember the choices that are others after than before; all that are remembered then.

    The rest stays as it is on the disk, where another window may have put it meanwhile. Raises
    FileProblem.
    """
    where = preferences_file() if path is None else path
    disk.make_folder(where.parent, private=True)
    with locks.alone(where.with_suffix(".lock")):
        if where.exists():
            read_bytes(where)  # what cannot be read now must not be written over
        kept = _merged(before, after, load_preferences(where))
        text = json.dumps(_RECORD.write(kept), indent=2, ensure_ascii=True)
        disk.write_text(where, text + "\n", durable=False, private=True)
    return kept


def _merged(before: Preferences, after: Preferences, found: Preferences) -> Preferences:
    names = (entry.attribute for entry in _ENTRIES)
    changed = {
        name: getattr(after, name)
        for name in names
        if getattr(after, name) != getattr(before, name)
    }
    if "recent_files" in changed:
        changed["recent_files"] = _recent(
            before.recent_files, after.recent_files, found.recent_files
        )
    return replace(found, extra={**found.extra, **after.extra}, **changed)


def _recent(
    before: tuple[str, ...], after: tuple[str, ...], found: tuple[str, ...]
) -> tuple[str, ...]:
    """The recent files on the disk, with one put first or taken off as it was in a window."""
    if len(after) < len(before):
        return tuple(each for each in found if each in after or each not in before)
    newest = after[:1]
    return (*newest, *(each for each in found if each not in newest))[:RECENT_FILES]
