"""Letters for a console that cannot show ours: ``-`` for a minus sign, ``"`` for curly quotes."""

from __future__ import annotations

import codecs
import unicodedata

ERRORS = "taperlab.plain"
"""Names the way to Python's streams."""

_PLAIN = {
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-",
    "“": '"', "”": '"', "„": '"', "″": '"', "’": "'", "‘": "'", "′": "'",
    "×": "x", "·": "*", "…": "...", "±": "+/-", "≈": "~", "≤": "<=", "≥": ">=", "→": "->",
    "⌀": "dia.", "°": "deg ", "µ": "u", "μ": "u", "⁄": "/", "‰": "per mille", "•": "*",
}  # fmt: skip


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    # An accent parted from its letter has nothing to stand on.
    left = error.object[error.start : error.end]
    decomposed = unicodedata.normalize("NFKD", "".join(_PLAIN.get(each, each) for each in left))
    letters = "".join(each for each in decomposed if not unicodedata.combining(each))
    return letters.replace("⁄", "/").encode("ascii", "replace").decode("ascii"), error.end


codecs.register_error(ERRORS, _stand_in)
