"""The program reads in the language of its environment where it has a catalogue of it."""

from __future__ import annotations

import sys
from gettext import NullTranslations
from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.__main__ import main
from taperlab.units import language
from tests.contracts.pseudo import compiled


@pytest.mark.parametrize(("wanted", "read"), [("pseudo", True), ("de", False), ("", False)])
def test_a_start_reads_the_language_of_the_environment(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    wanted: str,
    read: bool,
) -> None:
    catalogues, resource = compiled(tmp_path), shipped.resource
    monkeypatch.setattr(
        shipped,
        "resource",
        lambda *parts: catalogues if parts == ("languages",) else resource(*parts),
    )
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    if wanted:
        monkeypatch.setenv("LANGUAGE", wanted)
    monkeypatch.setattr(sys, "argv", ["taperlab", "report", str(shipped.sample("scandi.taperlab"))])
    try:
        assert main() == 0
    finally:
        language.use(NullTranslations())
    assert ("«" in capsys.readouterr().out) is read
