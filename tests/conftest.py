"""What every test gets: no screen, private folders, nothing left alive."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# How long an example takes says more about the machine than about the program.
EXAMPLES = int(os.environ.get("TAPERLAB_EXAMPLES") or 20)
settings.register_profile("taperlab", deadline=None, max_examples=EXAMPLES)
settings.load_profile("taperlab")

os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["PYQTGRAPH_QT_LIB"] = "PySide6"
# As the program does, and before anything loads numpy.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


@pytest.fixture(autouse=True)
def private_folders(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """State and preferences of a test lie in folders of its own."""
    folder = tmp_path_factory.mktemp("person")
    names = {"TAPERLAB_STATE": folder / "state", "TAPERLAB_CONFIG": folder / "config"}
    before = {name: os.environ.get(name) for name in names}
    os.environ.update({name: str(path) for name, path in names.items()})
    yield folder
    for name, value in before.items():
        if value is None:
            os.environ.pop(name, None)
        else:
            os.environ[name] = value
