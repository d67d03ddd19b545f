"""Line material on the shelf, and putting a length of it into a line."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits import rows
from taperlab.edits.changing import SAME, check_positive, find_line, find_segment
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, fresh_key
from taperlab.model.exact_units import FOOT
from taperlab.model.stock import Stock
from taperlab.units.sentence import Sentence, verbatim


def add_stock(bench: Bench, stock: Stock) -> Edited:
    """Put a material on the shelf; it gets another key if its own is taken."""
    taken = {each.key for each in bench.stock}
    if stock.key in taken or not stock.key:
        stock = replace(stock, key=fresh_key(taken, "stock"))
    return Edited(replace(bench, stock=(*bench.stock, stock)), Sentence("Add stock"))


def keep_as_stock(bench: Bench, line: str, index: int, name: str) -> Edited:
    """Put a material like a segment of a line on the shelf, as long as that segment is."""
    segment = find_segment(find_line(bench, line), index)
    name = " ".join(name.split())
    if not name:
        raise Refused(Sentence("A material needs a name."))
    if name in {each.name for each in bench.stock}:
        raise Refused(verbatim(f"There is a material named {name} on the shelf already."))
    material = Stock.like(segment, name)
    return replace(add_stock(bench, material), text=Sentence("Keep as stock"))


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
    check_positive(length, "The length")
    if length > material.length * (1.0 + SAME):
        raise Refused(
            verbatim(
                f"There are only {material.length:.2f} m "
                f"({material.length / FOOT:.1f} ft) of {material.name}."
            )
        )
    segment = material.piece(min(length, material.length))
    edited = rows.insert(bench, line, index, segment)
    return replace(edited, text=Sentence("Insert from stock"))


def _find(bench: Bench, key: str) -> Stock:
    for stock in bench.stock:
        if stock.key == key:
            return stock
    raise Refused(Sentence("That stock is no longer on the bench."))
