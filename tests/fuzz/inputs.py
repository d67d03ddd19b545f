"""Readers of what comes from outside, and inputs made by damaging what they take.

Each reader gets bytes or text of one kind and either reads them or refuses them in a sentence;
whatever else happens is a find. The same seed gives the same inputs.
"""

from __future__ import annotations

import json
import random
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from taperlab import shipped
from taperlab.edits.edited import Refused
from taperlab.files import native, recovery
from taperlab.files.delimited import decode, lay_out_file, read_with
from taperlab.files.heads import read_heads
from taperlab.files.preferences import Preferences, change_preferences, load_preferences
from taperlab.files.presence import Presence
from taperlab.files.problem import FileProblem
from taperlab.files.reasons import load_reasons
from taperlab.files.shelf import read_shelf
from taperlab.files.stations import read_stations
from taperlab.model.bench import Bench
from taperlab.trade.reasons import TABLE
from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.parse import Unreadable, parse, parse_unit, read_part

REFUSALS = (FileProblem, Refused, Unreadable)
KINDS = tuple(each for each in vars(kinds).values() if isinstance(each, Kind))


@dataclass(frozen=True)
class Reader:
    """One door for input from outside. seeds: what it takes. share: how often it is tried."""

    name: str
    read: Callable[[bytes], object]
    seeds: Callable[[], list[bytes]]
    share: int


# -- what is read -----------------------------------------------------------------------------


@cache
def _folder() -> Path:
    return Path(tempfile.mkdtemp(prefix="taperlab-fuzz-"))


def _native(content: bytes) -> object:
    bench = native.parse_bench(content, "x.taperlab")
    again = native.parse_bench(native.dumps(bench).encode("utf-8"), "x.taperlab")
    # What was read is written so that it is read again.
    assert again == bench, "another bench came back"
    return bench


def _small_benches() -> list[bytes]:
    """Of each sample only what makes a small file: much of it, once."""
    found = []
    for name in ("scandi", "measured_head", "cut_back", "build", "jobs"):
        document = json.loads(shipped.sample(f"{name}.taperlab").read_bytes())
        for key in ("lines", "rods", "stock", "measurements", "cut_backs", "versions", "jobs"):
            if key in document:
                document[key] = document[key][:1]
        for line in document["lines"]:
            line["segments"] = line["segments"][:2]
            if "joints" in line:
                line["joints"] = line["joints"][:1]
        for one in document.get("builds", ()):
            one["pieces"], one["joints"] = one["pieces"][:2], one["joints"][:1]
        for one in document.get("measurements", ()):
            one["stations"] = one["stations"][:2]
        found.append(json.dumps(document).encode())
    return found


def _table(content: bytes) -> object:
    layout = lay_out_file(decode(content, "x.csv"), "x.csv")
    return read_with(layout, "x.csv", "x")


_LINE = (
    "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],weight [gr],note\n"
    'front taper,10,0.037,0.060,0.85,48.5,"low, water"\nbelly,8.5 ft,.06,1.52 mm,0.85,,\n'
)


def _tables() -> list[bytes]:
    point, comma = _LINE, _LINE.replace(",", ";").replace(".", ",")
    return [text.encode() for text in (point, comma, _LINE.replace(",", "\t"), "\ufeff" + point)]


def _paste(content: bytes) -> object:
    from taperlab.gui.pages.shape.clipboard import read_block

    text = content.decode("utf-8", "replace")
    chance = random.Random(len(content))
    return read_block(text, chance.randrange(6), chance.choice(list(System)))


def _blocks() -> list[bytes]:
    rows = "belly\t10 ft\t0.06\t0,06\t0.85\ntip\t1'6\"\t.03\t.03\t\n"
    return [rows.encode(), b"12,5\n13,25\n", *_tables()]


def _cell(content: bytes) -> object:
    text = content.decode("utf-8", "replace")
    chance = random.Random(len(content))
    kind = chance.choice(KINDS)
    for read in (
        lambda: parse(text, kind, System.US),
        lambda: parse(text, kind, System.METRIC, decimal=",", grouping=True),
        lambda: parse_unit(text, kind),
        lambda: read_part(text),
    ):
        try:
            read()
        except Unreadable as problem:
            str(problem.sentence)
    return None


def _cells() -> list[bytes]:
    texts = (
        "13'6\"", "13 ft 6 1/2 in", "4.11 m", "0.085\"", "2,16mm", "480 gr", "31.1 g", "85 thou",
        "0.85 g/cm^3", "14 gr/ft", "10 degC", "-1 °F", "1,234.5", "1.234,5", "½", "6-1/2", "front",
        "12 %", "3 in/s", "1e3", "nan", "∞",
    )  # fmt: skip
    return [text.encode() for text in texts]


def _preferences(content: bytes) -> object:
    path = _folder() / "preferences.json"
    path.write_bytes(content)
    read = load_preferences(path)
    after = replace(read, sink_shown=not read.sink_shown)
    change_preferences(read, after, path)
    assert load_preferences(path) == after, "other preferences came back"
    return read


def _some_preferences() -> list[bytes]:
    path = _folder() / "seed.json"
    change_preferences(Preferences(), Preferences(recent_files=("/a/b.taperlab",)), path)
    return [path.read_bytes()]


@cache
def _present() -> Presence:
    return Presence.enter(_folder() / "state")


def _account(content: bytes) -> object:
    """A recovery copy with the account that it gives of itself."""
    folder = _present().folder / "recovery"
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / "1-gone.window-1.taperlab"
    copy.write_bytes(content)
    found = recovery.find_left_copies(_present())
    for each in found:
        said = str(each.words())
        assert said, "nothing is said of a copy"
        try:
            each.read()
        except FileProblem as problem:
            str(problem.sentence)
    return found


def _accounts() -> list[bytes]:
    here, made = _present(), []
    for original, base in ((Path("/a/b.taperlab"), "0" * 64), (None, None)):
        recovery.write_copy(here, Bench(), "window-1", original, base)
        (written,) = (here.folder / "recovery").glob(f"{here.name}.*.taperlab")
        made.append(written.read_bytes())
        recovery.drop_copy(here, "window-1")
    return made


def _by_file(read: Callable[[Path], object], name: str) -> Callable[[bytes], object]:
    def reading(content: bytes) -> object:
        path = _folder() / name
        path.write_bytes(content)
        return read(path)

    return reading


READERS = (
    Reader("cells", _cell, _cells, 36),
    Reader("native", _native, _small_benches, 16),
    Reader("table", _table, _tables, 16),
    Reader("paste", _paste, _blocks, 14),
    Reader(
        "stations",
        _by_file(read_stations, "stations.csv"),
        lambda: [b"distance [ft],diameter [in],diameter [in]\n1,0.06,\n2.5,0.061,0.0605\n"],
        4,
    ),
    Reader(
        "heads",
        _by_file(read_heads, "heads.csv"),
        lambda: [b"name,scale [gr],to,line,file\nAnna,480,450 gr,,\nBo,471.5,,x,y.csv\n"],
        2,
    ),
    Reader(
        "reasons",
        _by_file(load_reasons, "reasons.csv"),
        lambda: [shipped.resource(*TABLE).read_bytes()],
        2,
    ),
    Reader(
        "shelf",
        _by_file(read_shelf, "shelf.csv"),
        lambda: [
            b"name,kind,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],"
            b"leftover,cost\nSpool,14,60,0.082,,0.87,no,21.5\nHead,,10,0.036,0.085,0.87,yes,\n"
            b"Head,,8,0.085,0.04,0.87,,\n"
        ],
        4,
    ),
    Reader("preferences", _preferences, _some_preferences, 8),
    Reader("recovery", _account, _accounts, 4),
)


# -- damage -----------------------------------------------------------------------------------

_TOKENS = tuple(
    text.encode()
    for text in (
        *'"\'{}[]:,;\t\n\r#%\\', "null", "true", "NaN", "-Infinity", "1e999", "-0", "1e-320",
        "9" * 400, "\ufeff", "\0", "−", "½", "\u0301", "\ud7ff", "😀", "\\ud800", "[ft]", "[cubit]",
        "(mm)", "ft", "gr/ft", "0", "-1", "1,234", "1.234,5", "0x10", "1_0", "１２", "[" * 70,
        "\x1b", "%s", "{}", "{a}",
    )
)  # fmt: skip


def damaged(content: bytes, chance: random.Random) -> bytes:
    """The content after one to four pieces of damage."""
    made = bytearray(content)
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 4))):
        at = chance.randrange(len(made) + 1)
        to = min(len(made), at + chance.choice((0, 1, 1, 2, 4, 8, 32)))
        match chance.randrange(7):
            case 0:
                made[at:to] = b""
            case 1:
                made[at:to] = chance.choice(_TOKENS)
            case 2:
                made[at:at] = chance.choice(_TOKENS)
            case 3:
                made[at:at] = made[at:to] * chance.randrange(1, 4)
            case 4:
                made[at:to] = bytes(chance.randrange(256) for _ in range(to - at))
            case 5:
                other = chance.randrange(len(made) + 1)
                made[at:to] = made[other : other + to - at]
            case _:
                for i in range(at, to):
                    if 48 <= made[i] <= 57:
                        made[i] = 48 + chance.randrange(10)
    return bytes(made)


def inputs(reader: Reader, seed: int) -> bytes:
    """One input for a reader; the same seed gives the same one."""
    chance = random.Random(f"{reader.name} {seed}")
    return damaged(chance.choice(_seeds(reader.name)), chance)


@cache
def _seeds(name: str) -> list[bytes]:
    return next(each for each in READERS if each.name == name).seeds()
