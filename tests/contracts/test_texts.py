"""Every text of the program can be found for translation, and is looked up when it is said."""

from __future__ import annotations

import ast
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
