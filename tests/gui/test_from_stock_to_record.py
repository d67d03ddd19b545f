"""A head from the shelf to the record, by keys: built, labelled, handed over, found again."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog

from taperlab.gui.frame.window import Window
from taperlab.gui.paper.labels.dialog import LabelsDialog
from taperlab.physics.profile import Profile
from tests.gui.hands import (
    CTRL,
    ENTER,
    GRAIN,
    NOISE,
    SHIFT,
    TAB,
    choose,
    keys,
    open_dialog,
    settled,
    wait_active,
)
from tests.gui.reading import read_back
from tests.gui.test_build_tab import build_by_keys
from tests.gui.test_jobs_page import jobs_page, rows

pytestmark = [
    pytest.mark.qt_log_ignore(NOISE),
    pytest.mark.qt_log_ignore("propagateSizeHints", extend=True),
]


def test_a_head_is_built_labelled_and_found_again_by_its_customer(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, built = build_by_keys(window)
    page = jobs_page(window)
    page.begin.setFocus()
    keys(Qt.Key.Key_Space)
    keys("The ferry-stage customer", TAB, "A-052", ENTER)
    for _ in range(2):  # begun and finished
        page.job.due.setFocus()
        keys(Qt.Key.Key_Space)
    page.figures.cast.setFocus()
    keys("Lands soft", TAB)

    keys(Qt.Key.Key_P, modifier=CTRL | SHIFT)
    dialog = open_dialog(window, LabelsDialog)
    assert isinstance(dialog, LabelsDialog)
    assert dialog.what.currentText().startswith("Job A-052")
    choose(dialog.grid, dialog.grid.findData("2 × 4 in"))
    target = tmp_path / "label.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    dialog.save_button.setFocus()
    keys(Qt.Key.Key_Space)
    label = read_back(target)
    assert "A-052" in label
    assert f"{Profile.of(built).total_mass / GRAIN:.0f} gr" in label
    keys(Qt.Key.Key_Escape)
    wait_active(window)

    benches = tmp_path / "benches"
    benches.mkdir()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(benches / "ferry"), ""))
    keys(Qt.Key.Key_S, modifier=CTRL)
    assert (benches / "ferry.taperlab").exists()

    # Next season, from another bench.
    window.file_menu.open_demo()
    page = jobs_page(window)
    assert rows(page) == []
    monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_: str(benches))
    page.begin.setFocus()
    keys(TAB, Qt.Key.Key_Space)
    settled(page.case)
    page.search.words.setFocus()
    keys("ferry stage")
    assert rows(page) == ["The ferry-stage customer"]
    page.job.due.setFocus()
    keys(Qt.Key.Key_Space)
    settled(page.case)
    assert window.document.path == benches / "ferry.taperlab"
    found = page.case.job
    assert found is not None
    assert (found.ticket, found.cast) == ("A-052", "Lands soft")
    assert window.document.bench.line(found.line or "").name == built.name
