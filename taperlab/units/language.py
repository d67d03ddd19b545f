"""The language that a person reads: what gettext finds for each text of the program.

Texts are written in English where they arise and looked up when they are shown. ``tr`` and
``trn`` look up now; ``later`` only marks a text that stands in a table, for whoever shows it to
look up. Catalogues are found by the standard library's gettext; Babel draws the template.
"""

from __future__ import annotations

import gettext
import os
from pathlib import Path

from taperlab.model.marked import later as later

DOMAIN = "taperlab"

_catalogue = gettext.NullTranslations()


def use(catalogue: gettext.NullTranslations) -> None:
    """Read this catalogue from now on; texts already on screen stay as they are."""
    global _catalogue  # noqa: PLW0603 - the one place that holds the language
    _catalogue = catalogue


def load(folder: Path, languages: list[str] | None = None) -> None:
    """Use the catalogue of the first of these languages that ``folder`` holds.

    Without languages, those of the environment (LANGUAGE, LC_ALL, LC_MESSAGES, LANG); where no
    catalogue fits, the texts stay English.
    """
    if languages is None and not any(
        os.environ.get(each) for each in ("LANGUAGE", "LC_ALL", "LC_MESSAGES", "LANG")
    ):
        return
    use(gettext.translation(DOMAIN, folder, languages, fallback=True))


def language() -> str:
    """The language that is read, as catalogues and PDFs name it: ``en``, ``pt-BR``."""
    return _catalogue.info().get("language", "en").replace("_", "-") or "en"


def tr(text: str) -> str:
    """The text in the language that is read."""
    return _catalogue.gettext(text) if text else text


def trn(one: str, many: str, count: int) -> str:
    """The text for so many things in the language that is read."""
    return _catalogue.ngettext(one, many, count)
