"""JSON read strictly: what the standard library lets pass is told in a sentence instead."""

from __future__ import annotations

import json
import math
from typing import Any

from taperlab.files.codec import BadValue
from taperlab.files.problem import FileProblem
from taperlab.units.sentence import Sentence

LONGEST_WHOLE_NUMBER = 300
"""Digits."""

DEEPEST = 60
"""Objects and lists inside one another; ours go six deep, the rest is for keys we do not know."""


def damaged(source: str, fault: Sentence) -> FileProblem:
    """The problem to raise about a file that was not written so."""
    return FileProblem("{file} is damaged: {fault}.", file=source, fault=fault)


def parse_json(text: str, source: str) -> object:
    """What the text of a JSON file holds. Raises FileProblem for all that JSON should not be."""
    try:
        document = json.loads(
            text.lstrip("\ufeff"),
            parse_constant=_no_constant,
            parse_float=_finite,
            parse_int=_whole,
            object_pairs_hook=_without_doubles,
        )
        # Half of a character pair, written as an escape, is a text that cannot be saved again.
        if "\\ud" in text.lower():
            json.dumps(document, ensure_ascii=False).encode("utf-8")
        if _deeper_than(DEEPEST, document):
            raise RecursionError
    except BadValue as bad:
        raise damaged(source, bad.sentence) from None
    except json.JSONDecodeError as error:
        fault = Sentence(
            "row {row}, column {column}: {system}",
            row=error.lineno,
            column=error.colno,
            system=error.msg[0].lower() + error.msg[1:],
        )
        raise damaged(source, fault) from None
    except UnicodeEncodeError:
        raise damaged(source, Sentence("it holds half a character")) from None
    except RecursionError:
        raise damaged(source, Sentence("its brackets are nested too deep")) from None
    return document


def _no_constant(word: str) -> float:
    raise BadValue("found {found}, expected a number", found=word)


def _finite(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value):
        raise BadValue("found {found}, too large for a number", found=digits)
    return value


def _whole(digits: str) -> int:
    if len(digits) > LONGEST_WHOLE_NUMBER:
        raise BadValue("found a number of {count} digits", count=len(digits))
    return int(digits)


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        double = next(key for key in keys if keys.count(key) > 1)
        raise BadValue('the key "{key}" stands twice in one object', key=double)
    return found


def _deeper_than(levels: int, value: object) -> bool:
    if not isinstance(value, dict | list):
        return False
    inside = value.values() if isinstance(value, dict) else value
    return levels == 0 or any(_deeper_than(levels - 1, each) for each in inside)
