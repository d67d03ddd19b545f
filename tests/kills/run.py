"""What a thousand kills leave: windows ended at random moments while they work on one file.

``python -m tests.kills.run --count 1000`` plays it and prints a table; ``--seed`` plays another.
Each round one or two real windows, each a process of its own, take up what was left behind, or
put it off, or throw it away, then open the file, edit and save without a pause, some of the time
on a full disk, until all of them are killed. Then an oracle looks, which knows the program by what
it said on a pipe before and after each step and reads the files as plain JSON:

- torn: is the file, or a copy, or a copy thrown away, not whole?
- lost: is there an edit, older than the pause between copies, that is nowhere any more?
- put over newer: was a file written over that held something the window had not begun on, without
  asking?

Needs ``fork``, so it runs on Linux and macOS.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import resource
import select
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

PAUSE = 0.2
"""Seconds between an edit and its copy; the program's own pause is seven times as long."""

SLACK = 1.0
"""Seconds that a busy machine may hold up a copy."""

OVER, CANCEL = "over", "cancel"


# -- the hand: what a window that will be killed does ---------------------------------------------


@dataclass
class Hand:
    """A person at one window, who says on a pipe what is about to be done and what was."""

    name: str
    pipe: int
    file: Path
    serial: Iterator[int]
    dice: random.Random
    full: bool

    def say(self, what: str, serial: int | str) -> None:
        """One short line, which a pipe takes whole or not at all."""
        line = f"{self.name} {what} {serial} {time.monotonic()}\n"
        os.write(self.pipe, line.encode())

    def work(self) -> None:
        """Open a window and work until the end comes."""
        from PySide6.QtCore import QTimer

        from taperlab.files.preferences import Preferences
        from taperlab.files.presence import Presence
        from taperlab.gui.frame.file_menu import FileMenu
        from taperlab.gui.frame.start import make_application, make_window
        from taperlab.gui.state import bench_file

        bench_file.COPY_AFTER = round(PAUSE * 1000)
        FileMenu._ask_about_change = self._asked  # type: ignore[method-assign]
        FileMenu.may_leave = lambda menu: True  # type: ignore[method-assign]
        app = make_application(["taperlab"])
        self.window = make_window(Preferences(), Presence.enter(), keeps=False)
        self.window.file.sweep()
        self._take_up()
        self.say("ready", 0)
        timer = QTimer()
        timer.timeout.connect(self._step)
        timer.start(0)
        app.exec()

    def _take_up(self) -> None:
        """Answer what is offered, or open the file."""
        menu = self.window.file_menu
        left = [each for each in self.window.file.left_copies() if each.can_be_read]
        if left and self.dice.random() < 0.7:
            chosen = self.dice.choice(left)
            self.say("taking", serial_of(chosen.read()))
            if menu.get_back(chosen):
                self.say("took", self._serial())
                return
            self.say("missed", serial_of(chosen.read()))
        elif left and self.dice.random() < 0.5:
            menu.throw_away(self.dice.choice(left))
        self._open()

    def _open(self) -> None:
        from taperlab.files.opening import Opened, reading
        from taperlab.shop.steps import finish

        found = finish(reading(self.file))
        assert isinstance(found, Opened)
        self.window.file.put_in_hand(found.bench, self.file, found.digest)
        self.say("opened", self._serial())

    def _serial(self) -> int:
        return serial_of(self.window.document.bench)

    def _asked(self, _standing: object) -> Any:
        from PySide6.QtWidgets import QMessageBox

        self.over = self.dice.random() < 0.5
        self.say("asked", OVER if self.over else CANCEL)
        buttons = QMessageBox.StandardButton
        return buttons.Save if self.over else buttons.Cancel

    def _step(self) -> None:
        """One edit, or one save."""
        from taperlab.edits.bench import set_note

        if self.full:
            self._fill_disk(self.dice.random() < 0.3)
        if self.dice.random() < 0.85:
            serial = next(self.serial)
            self.say("edit", serial)
            assert self.window.document.apply(set_note, f"serial {serial}")
            self.say("edited", serial)
            time.sleep(self.dice.random() * 0.01)
            return
        serial = self._serial()
        self.over = False
        self.say("saving", serial)
        done = self.window.file_menu.save()
        self.say("saved" if done else "unsaved", serial)
        if not done and not self.full:
            self.say("gives-up", serial)  # what another window saved is taken instead
            self._open()

    def _fill_disk(self, full: bool) -> None:
        """Let files grow no longer than a little, or as they like: writes end midway."""
        _, most = resource.getrlimit(resource.RLIMIT_FSIZE)
        room = self.dice.randrange(200, 20_000) if full else most
        self.say("full" if full else "room", 0)
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, most))


def serial_of(bench: Any) -> int:
    """The number of the last edit that a bench holds."""
    return int(bench.note.removeprefix("serial "))


# -- the oracle: what must be true whatever the program thinks ------------------------------------


@dataclass
class Document:
    """What one window has in hand.

    base: the saved edit that it was begun on. edits: those since, and when each was done. saving:
    the edit that is being saved. taking: the copy that is being taken up. last_sign: when it last
    said anything. saving_since: when it last began to save.
    """

    base: int
    edits: list[tuple[int, float]] = field(default_factory=list)
    over: bool = False
    saving: int | None = None
    is_full: bool = False
    taking: int | None = None
    last_sign: float = 0.0
    saving_since: float = 0.0


@dataclass
class Saved:
    """The last save: over what, when it was told of, and whether its window was asked."""

    over: int = 0
    ended: float = 0.0
    asked: bool = False


@dataclass
class Oracle:
    """Follows what the windows say.

    saved: the edit that was saved last. base_of: the saved one that each edit was begun on.
    """

    folder: Path
    saved: int
    base_of: dict[int, int] = field(default_factory=dict)
    last: Saved = field(default_factory=Saved)
    ever_saved: set[int | None] = field(default_factory=set)
    taken_up: set[int | None] = field(default_factory=set)
    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    longest_lost: float = 0.0

    def hear(self, documents: dict[str, Document], line: str) -> None:
        """Follow one line of a window."""
        name, what, value, at = line.split()
        document = documents.setdefault(name, Document(self.saved))
        if what in ("edit", "edited", "opened", "saving", "saved", "unsaved", "took", "taking"):
            serial = int(value)
        if what == "opened":
            documents[name] = Document(serial, is_full=document.is_full)
        elif what == "taking":
            document.taking = serial
        elif what == "missed":
            document.taking = None
            self.counts["copies another window was faster with"] += 1
        elif what == "took":
            documents[name] = Document(self.base_of[serial], [(serial, 0.0)])
            self.counts["got back"] += 1
            self.taken_up.add(serial)
        elif what == "edit":
            self.base_of[serial] = document.base
        elif what == "edited":
            document.edits.append((serial, float(at)))
        elif what == "asked":
            self.counts["asked"] += 1
            document.over = value == OVER
        elif what == "saving":
            document.saving, document.over = serial, False
            document.saving_since = float(at)
        elif what == "saved":
            self._was_saved(document, serial, float(at))
        elif what == "unsaved":
            document.saving = None
            self.counts["saves refused or failed"] += 1
        elif what == "gives-up":
            document.edits = []
        elif what == "full":
            document.is_full = True
        documents[name].last_sign = float(at)

    def _was_saved(self, document: Document, serial: int, at: float) -> None:
        self.counts["saves"] += 1
        self.ever_saved.add(serial)
        base, document.base = document.base, serial
        self.base_of[serial] = serial
        asked, document.over = document.over, False
        document.edits, document.saving = [], None
        last = self.last
        at_once = last.ended > document.saving_since
        if not asked and last.asked and at_once and base == last.over:
            return  # told late: it was there before the last one, whose window was asked about it
        if not asked and base != self.saved and serial != self.saved:
            self._fault(f"put over newer: {serial}, begun on {base}, over {self.saved}")
        self.last = Saved(self.saved, at, asked)
        self.saved = serial

    def _fault(self, said: str) -> None:
        self.faults.append(said)
        print(f"\n{said}", file=sys.stderr)

    def look(self, documents: dict[str, Document], killed: float, owed: set[int | None]) -> None:
        """Look at what is on the disk after a kill; owed: the copies that were there before."""
        there = self._file_now()
        for document in documents.values():
            # A save that was under way when the end came may have been done.
            if document.saving is not None and document.saving == there:
                self.counts["kills within a save"] += 1
                self._was_saved(document, there, killed)
        if there is not None and there != self.saved:
            self._fault(f"the file holds {there}, and {self.saved} was saved last")
        kept = self.kept()
        taken = {document.taking for document in documents.values()}
        taken |= self.taken_up
        for serial in owed - kept - self.ever_saved - taken:
            self._fault(f"the copy {serial}, which was put off, is gone")
        for document in documents.values():
            if document.taking is not None and document.taking not in kept | self.ever_saved:
                self._fault(f"the copy {document.taking} went while it was taken up")
            self._look_for(document, kept | {there, self.saved}, killed)

    def _look_for(self, document: Document, kept: set[int | None], killed: float) -> None:
        """Whether a window's last edits are somewhere."""
        newest = max(
            (i for i, (serial, _) in enumerate(document.edits) if serial in kept), default=-1
        )
        lost = document.edits[newest + 1 :]
        if not lost:
            return
        self.counts["kills that lost the last edits"] += 1
        # A machine that stalls keeps no window from being killed, but from keeping a copy.
        acted = document.last_sign - lost[0][1]
        if document.is_full:
            self.counts["of these on a full disk"] += 1
            if newest < 0 and lost[0][1] == 0.0:
                self._fault(f"the copy {lost[0][0]} that was got back is gone")
            return
        self.longest_lost = max(self.longest_lost, killed - lost[0][1])
        if acted > PAUSE + SLACK:
            self._fault(f"edit {lost[0][0]} is nowhere, {acted:.2f} s of work later")

    def _file_now(self) -> int | None:
        return self._read(self.folder / "head.taperlab")

    def kept(self) -> set[int | None]:
        """The edits that copies hold, those thrown away among them."""
        copies = (self.folder / "state" / "recovery").rglob("*.taperlab")
        return {self._read(each) for each in copies}

    def _read(self, path: Path) -> int | None:
        try:
            document = json.loads(path.read_bytes())
            assert len(document["lines"]) == LINES
            return int(document["note"].removeprefix("serial "))
        except (OSError, ValueError, KeyError, AssertionError) as error:
            self._fault(f"torn: {path.name}: {error!r}")
            return None


LINES = 40
"""Lines on the bench: enough that writing it takes a while, in which the end may come."""


# -- the play -------------------------------------------------------------------------------------


def play(count: int, seed: int, folder: Path) -> Oracle:
    """Kill windows until so many are killed."""
    os.environ.update(
        TAPERLAB_STATE=str(folder / "state"),
        TAPERLAB_CONFIG=str(folder / "config"),
        QT_QPA_PLATFORM="offscreen",
    )
    from taperlab.files.native import read_bench, write_bench
    from taperlab.gui.frame import start  # noqa: F401 - loaded once, for all that are forked
    from taperlab.gui.pages.shape import page  # noqa: F401
    from taperlab.shipped import sample

    demo = read_bench(sample("scandi.taperlab"))
    lines = tuple(replace(demo.lines[0], key=f"line-{i}") for i in range(LINES))
    write_bench(replace(demo, lines=lines, note="serial 1"), folder / "head.taperlab")
    oracle = Oracle(folder, 1, {1: 1})
    dice = random.Random(seed)
    serial, killed = 2, 0
    while killed < count:
        owed = oracle.kept()
        names = ("A", "B") if dice.random() < 0.3 else ("A",)
        full = dice.random() < 0.25
        hands = []
        reading, writing = os.pipe()
        for at, name in enumerate(names):
            own = iter(range(serial + at, 1 << 60, len(names)))
            hands.append(
                Hand(
                    name, writing, folder / "head.taperlab", own, random.Random(dice.random()), full
                )
            )
        children = [_fork(hand) for hand in hands]
        os.close(writing)
        heard, at = _listen_and_kill(reading, children, dice)
        documents: dict[str, Document] = {}
        for line in heard:
            oracle.hear(documents, line)
        oracle.look(documents, at, owed)
        killed += len(children)
        serial = max([serial, *(int(x.split()[2]) for x in heard if " edit " in x)]) + 2
        oracle.counts["kills"] += len(children)
        oracle.counts["kills with two windows"] += len(children) * (len(children) - 1)
        oracle.counts["kills on a full disk"] += full * len(children)
        oracle.counts["edits"] += sum(" edited " in each for each in heard)
        _thin_out(folder, oracle, dice)
        print(f"\r{killed} of {count}, {len(oracle.faults)} faults", end="", file=sys.stderr)
    return oracle


def _fork(hand: Hand) -> int:
    child = os.fork()
    if child:
        return child
    try:
        with contextlib.suppress(KeyboardInterrupt):
            hand.work()
    finally:
        os._exit(3)


def _listen_and_kill(
    reading: int, children: list[int], dice: random.Random
) -> tuple[list[str], float]:
    """Let the windows work, kill them at a random moment, and give what they said until then."""
    said, ready = b"", 0
    until = time.monotonic() + 60.0
    # Some are killed while they still take up what was left behind.
    wanted = 0 if dice.random() < 0.2 else len(children)
    early = time.monotonic() + dice.random() * 1.5
    while time.monotonic() < until:
        if ready >= wanted and (wanted or time.monotonic() > early):
            break
        if select.select([reading], [], [], 0.01)[0]:
            piece = os.read(reading, 65536)
            if not piece:
                break
            said += piece
            ready = said.count(b" ready ")
    end = time.monotonic() + (dice.random() * 0.9 if wanted else 0.0)
    while (left := end - time.monotonic()) > 0.0:
        if select.select([reading], [], [], left)[0]:
            said += os.read(reading, 65536)
    at = time.monotonic()
    for child in children:
        os.kill(child, signal.SIGKILL)
    for child in children:
        _, status = os.waitpid(child, 0)
        if not os.WIFSIGNALED(status):
            sys.exit("a window ended by itself, before it was killed")
    while piece := os.read(reading, 65536):
        said += piece
    os.close(reading)
    return said.decode().splitlines(), at


def _thin_out(folder: Path, oracle: Oracle, dice: random.Random) -> None:
    """Age what was half written, and throw the oldest copies away for good once there are many."""
    now = time.time()
    for path in folder.rglob(".taperlab-*.tmp"):
        oracle.counts["half-written files"] += 1
        os.utime(path, (now - 7200.0, now - 7200.0))
    copies = sorted((folder / "state" / "recovery").rglob("*.taperlab"), key=os.path.getmtime)
    for path in copies[:-12]:
        path.unlink()


def main() -> None:
    """Play and print."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--count", type=int, default=1000, help="kills (default 1000)")
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="kills-"))
    begun = time.monotonic()
    try:
        oracle = play(given.count, given.seed, folder)
        swept = len(list(folder.glob(".taperlab-*.tmp")))
    finally:
        shutil.rmtree(folder)
    print(file=sys.stderr)
    for name, count in oracle.counts.items():
        print(f"| {name} | {count} |")
    print(f"| half-written files left at the end | {swept} |")
    print(f"| longest lost work | {oracle.longest_lost:.2f} s (copies each {PAUSE:g} s) |")
    print(f"| faults | {len(oracle.faults)} |")
    for fault in oracle.faults[:20]:
        print(f"  {fault}")
    print(f"{time.monotonic() - begun:.0f} s")
    sys.exit(bool(oracle.faults))


if __name__ == "__main__":
    main()
