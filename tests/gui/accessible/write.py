"""Writes anew what screen readers find on each page: ``python -m tests.gui.accessible.write``.

Read the difference before it is kept: a test holds the pages to these texts.
"""

from __future__ import annotations

import os
import tempfile

from tests.gui.accessible.tree import FOLDER, text_of

if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as own:
        os.environ |= {"TAPERLAB_STATE": own, "TAPERLAB_CONFIG": own}
        from taperlab.gui.frame.start import make_application
        from taperlab.gui.pages import catalogue

        app = make_application(["taperlab"])
        for entry in catalogue.PAGES:
            (FOLDER / f"{entry.key}.txt").write_text(text_of(entry), encoding="utf-8")
