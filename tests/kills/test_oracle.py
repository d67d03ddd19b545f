"""The oracle of the kills finds what it is there for; no window is needed to try it."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("the kills need fork", allow_module_level=True)

from tests.kills.run import LINES, PAUSE, SLACK, Document, Oracle


@pytest.fixture
def oracle(tmp_path: Path) -> Oracle:
    write(tmp_path / "head.taperlab", 1)
    (tmp_path / "state" / "recovery").mkdir(parents=True)
    return Oracle(tmp_path, 1, {1: 1})


def write(path: Path, serial: int) -> None:
    path.write_text(json.dumps({"note": f"serial {serial}", "lines": [{}] * LINES}))


def after(oracle: Oracle, *lines: str, killed: float = 10.0, owed: set[int | None] = frozenset()):
    """What the oracle finds once it has heard this and looked."""
    documents: dict[str, Document] = {}
    for line in lines:
        oracle.hear(documents, line)
    oracle.look(documents, killed, set(owed))
    return oracle.faults


OPENED = ("A opened 1 0", "B opened 1 0")
EDITED = ("A edit 2 9", "A edited 2 9", "B edit 3 9", "B edited 3 9")
A_SAVED = ("A saving 2 9", "A saved 2 9")


def test_a_save_over_one_that_the_window_never_saw_is_a_fault(oracle: Oracle) -> None:
    write(oracle.folder / "head.taperlab", 3)
    faults = after(oracle, *OPENED, *EDITED, *A_SAVED, "B saving 3 9", "B saved 3 9")
    assert faults == ["put over newer: 3, begun on 1, over 2"]


def test_one_that_was_asked_about_is_none(oracle: Oracle) -> None:
    write(oracle.folder / "head.taperlab", 3)
    asked = ("B saving 3 9", "B asked over 9", "B saved 3 9")
    assert after(oracle, *OPENED, *EDITED, *A_SAVED, *asked) == []


def test_a_save_told_of_late_is_none_where_the_other_window_was_asked_about_it(
    oracle: Oracle,
) -> None:
    write(oracle.folder / "head.taperlab", 2)
    both = ("A saving 2 9.0", "B saving 3 9.1", "A asked over 9.2", "A saved 2 9.3")
    assert after(oracle, *OPENED, *EDITED, *both, "B saved 3 9.4") == []
    assert oracle.saved == 2


def test_of_two_saves_at_once_that_were_both_asked_about_the_one_told_last_was_last(
    oracle: Oracle,
) -> None:
    oracle.saved = 7
    write(oracle.folder / "head.taperlab", 3)
    both = ("A saving 2 9.0", "A asked over 9.1", "B saving 3 9.2", "A saved 2 9.3")
    assert after(oracle, *OPENED, *EDITED, *both, "B asked over 9.4", "B saved 3 9.5") == []
    assert oracle.saved == 3


def test_two_saves_at_once_of_which_none_was_asked_about_are_a_fault(oracle: Oracle) -> None:
    write(oracle.folder / "head.taperlab", 3)
    both = ("A saving 2 9.0", "B saving 3 9.1", "A saved 2 9.3", "B saved 3 9.4")
    assert len(after(oracle, *OPENED, *EDITED, *both)) == 1


def test_a_file_that_went_back_is_a_fault(oracle: Oracle) -> None:
    (fault,) = after(oracle, *OPENED, *EDITED[:2], *A_SAVED)
    assert fault == "the file holds 1, and 2 was saved last"


def test_a_save_that_the_kill_cut_short_may_have_been_done(oracle: Oracle) -> None:
    write(oracle.folder / "head.taperlab", 2)
    assert after(oracle, *OPENED, *EDITED[:2], "A saving 2 9") == []
    assert oracle.saved == 2


@pytest.mark.parametrize(("ago", "found"), [(PAUSE, 0), (PAUSE + SLACK + 0.1, 1)])
def test_an_edit_that_is_nowhere_is_a_fault_once_its_copy_was_due(
    oracle: Oracle, ago: float, found: int
) -> None:
    lines = ("A opened 1 0", "A edit 2 10", "A edited 2 10", f"A edit 3 {10.0 + ago}")
    assert len(after(oracle, *lines, killed=99.0)) == found
    assert oracle.longest_lost == 89.0


def test_a_copy_that_was_put_off_must_be_there(oracle: Oracle) -> None:
    copy = oracle.folder / "state" / "recovery" / "1-x.window-1.taperlab"
    write(copy, 5)
    assert after(oracle, "A opened 1 0", owed={5}) == []
    copy.write_text("{")
    faults = after(oracle, "A opened 1 0", owed={5})
    assert any("torn" in each for each in faults)
    assert "the copy 5, which was put off, is gone" in faults
