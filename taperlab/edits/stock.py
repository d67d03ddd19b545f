"""Line material on the shelf, and putting a length of it into a line."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits import rows
from taperlab.edits.changing import SAME, find, find_line, find_segment, within, without_blanks
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, fresh_key
from taperlab.model.stock import Stock
from taperlab.units.kinds import LENGTH
from taperlab.units.sentence import Length, Sentence


def keep_as_stock(bench: Bench, line: str, index: int, name: str) -> Edited:
    """Put a material like a segment of a line on the shelf, as long as that segment is."""
    segment = find_segment(find_line(bench, line), index)
    name = without_blanks(name, Sentence("A material needs a name."))
    if name in {each.name for each in bench.stock}:
        raise Refused(Sentence("There is a material named {name} on the shelf already.", name=name))
    key = fresh_key({each.key for each in bench.stock}, "stock")
    material = replace(Stock.like(segment, name), key=key)
    return Edited(replace(bench, stock=(*bench.stock, material)), Sentence("Keep as stock"))


def delete_stock(bench: Bench, stock: str) -> Edited:
    """Take a material off the shelf; lines that hold some of it keep it."""
    old = _find(bench, stock)
    kept = tuple(each for each in bench.stock if each is not old)
    return Edited(replace(bench, stock=kept), Sentence("Delete stock"))


def insert_from_stock(bench: Bench, line: str, index: int, stock: str, length: float) -> Edited:
    """Put a length [m] of a material into a line before row ``index``, or at its end.

    A tapered material is cut from its front. The shelf stays as it is.
    """
    material = _find(bench, stock)
    within(length, LENGTH, Sentence("The length"))
    if length > material.length * (1.0 + SAME):
        raise Refused(
            Sentence(
                "There is only {length} of {material}.",
                length=Length(material.length),
                material=material.name,
            )
        )
    segment = material.piece(min(length, material.length))
    edited = rows.insert(bench, line, index, segment)
    return replace(edited, text=Sentence("Insert from stock"))


def _find(bench: Bench, key: str) -> Stock:
    return find(bench.stock, key, Sentence("That stock is no longer on the bench."))
