"""Every text of the program can be found for translation, and is looked up when it is said."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, counted, render
from tests.contracts.pseudo import KEYWORDS, ROOT, TOLD, outside, reading_pseudo, template

DEFINED = {"units/sentence.py", "units/language.py"}


def calls() -> Iterator[tuple[str, ast.Call]]:
    for file in sorted((ROOT / "taperlab").rglob("*.py")):
        place = file.relative_to(ROOT / "taperlab").as_posix()
        if place in DEFINED:
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                yield f"{place}:{node.lineno}", node


def is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str)


def test_texts_are_literal_where_they_are_marked() -> None:
    """Babel reads the source: a text that is put together there is not found.

    ``tr`` also takes a text from a table, which ``later`` has marked there; an exception also
    takes a sentence that was made before.
    """
    wrong = []
    for place, call in calls():
        name = call.func.id
        if name not in KEYWORDS:
            continue
        texts = call.args[: len(KEYWORDS[name] or (1,))]
        looked_up = ((ast.Name, ast.Attribute, ast.Subscript) if name == "tr" else ()) + (
            (ast.Name, ast.Attribute, ast.Call) if name in TOLD else ()
        )
        if not texts or not all(is_text(each) or isinstance(each, looked_up) for each in texts):
            wrong.append(f"{place}: {name}")
    assert wrong == []


def test_every_exception_that_is_told_is_known() -> None:
    told = set()
    for file in (ROOT / "taperlab").rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and "Told" in map(ast.unparse, node.bases):
                told.add(node.name)
    assert told == TOLD


def test_every_marked_text_is_in_the_template() -> None:
    catalog = template()
    marked = {
        call.args[0].value
        for _, call in calls()
        if call.func.id in KEYWORDS and call.args and is_text(call.args[0])
    } - {""}
    assert len(marked) > 100
    assert [each for each in marked if catalog.get(each) is None] == []


def test_a_language_is_read_from_its_catalogue(tmp_path: Path) -> None:
    one = Sentence("{others} and {last}", others=Sentence("tip"), last="Mill Pool 9")
    with reading_pseudo(tmp_path):
        assert tr("tip") == "«tip»"
        assert render(one, System.US) == "««tip» and Mill Pool 9»"
        assert outside(render(one, System.US)).strip() == ""
    assert tr("tip") == "tip"
    assert render(counted("{count} x", "{count} xs", 2), System.US) == "2 xs"


NOT_SAID = {
    "curly apostrophes and quotation marks": r"['\"]",
    "in hand": r"\bin hand\b",
    "undo and redo": r"\bundid\b|\bdid again\b",
    "offcut": r"\b(off-cut|scrap|waste|remnant|leftover)s?\b",
    "import and export": r"\b(read|write) (in|out)\b",
    "fly end and rod end": r"\b(front|rear) (end|loop)s?\b|\b(at|off) the (front|rear)\b",
    "grain window": r"(?<!grain )\bwindows?\b",
    "segment": r"\brows?\b",
    "stock": r"\bshelf\b",
}
"""What a text may not say, by what it says instead."""

OF_THE_SCREEN = ("cli/", "files/", "gui/frame/", "gui/state/")
"""Where a window is one on the screen, unless a rod or a head is spoken of."""

OF_A_TABLE = (
    *("files/", "cli/", "gui/dialogs/table_import.py", "gui/pages/measure/stations_table.py"),
    "trade/reasons.py",
)
"""Where a row is one of a file, or of what the clipboard holds."""

TO_TYPE = re.compile(r"\{\w+\}|--?window|window-|\"(?!\{)[\w .{}/-]+\"")
"""What stands for something else, or is typed at a shell as it stands."""


def said() -> Iterator[tuple[str, str]]:
    """Every text of the program, and the file that it stands in first."""
    for message in template():
        place = str(message.locations[0][0]).removeprefix("taperlab/") if message.id else ""
        for text in message.id if isinstance(message.id, tuple) else (message.id,):
            yield place, text


def test_one_word_for_one_thing() -> None:
    """A person reads one word for each thing, on screen, on paper and in messages.

    A straight quotation mark stands only round what is typed at a shell; the straight marks of feet
    and inches are made where lengths are shown.
    """
    wrong = []
    for place, text in said():
        fine = set()
        if place.startswith(OF_THE_SCREEN) and not re.search(r"\b(rod|head)s?\b", text):
            fine.add("grain window")
        if place.startswith(OF_A_TABLE) or "clipboard" in text:
            fine.add("segment")
        if text == "Shelf":
            fine.add("stock")  # the place itself, as a tab is called
        bare = TO_TYPE.sub("…", text).replace("&", "")
        wrong += [
            f"{place}: {word}: {text}"
            for word, banned in NOT_SAID.items()
            if word not in fine and re.search(banned, bare, re.IGNORECASE)
        ]
    assert wrong == []
