"""Slips in words: what was left out and why, and what is to be read again."""

from __future__ import annotations

from taperlab.shop.measure.outcome import caution, note
from taperlab.shop.measure.slips import Doubt, LeftOut, Sifted, Why
from taperlab.units.finding import Finding
from taperlab.units.sentence import Diameter, OnTape, Sentence


def slip_findings(sifted: Sifted) -> tuple[Finding, ...]:
    """What was left out and what is in doubt, in order along the line."""
    said = [(each.distance, caution(left_out(each))) for each in sifted.left_out]
    # Many lines taper steeply at an end: there it is worth a second look, and no more.
    said += [
        (each.distance, (note if each.at_end else caution)(_doubted(each)))
        for each in sifted.doubts
    ]
    return tuple(finding for _, finding in sorted(said, key=lambda each: each[0]))


def left_out(out: LeftOut) -> Sentence:
    """Why a reading takes no part, and what to do."""
    read, among = Diameter(out.diameter, unit=False), Diameter(out.among, unit=False)
    place = OnTape(out.distance)
    if out.why is Why.ALONE:
        return Sentence(
            "{read} at {place} stands alone among {among}: left out, read it again.",
            read=read,
            place=place,
            among=among,
        )
    if out.why is Why.OUTVOTED:
        return Sentence(
            "{read} at {place} is left out: the other readings there agree on {among}.",
            read=read,
            place=place,
            among=among,
        )
    return Sentence(
        "{read} at {place} is left out: {among}, read there too, fits the neighbours.",
        read=read,
        place=place,
        among=among,
    )


def _doubted(doubt: Doubt) -> Sentence:
    place = OnTape(doubt.distance)
    if len(doubt.diameters) > 2:
        return Sentence(
            "The readings at {place} disagree and the neighbours cannot tell: all kept, error "
            "widened.",
            place=place,
        )
    if len(doubt.diameters) > 1:
        return Sentence(
            "Two readings at {place} disagree and the neighbours cannot tell: both kept, error "
            "widened.",
            place=place,
        )
    read, among = Diameter(doubt.diameters[0], unit=False), Diameter(doubt.among, unit=False)
    if doubt.at_end:
        return Sentence(
            "{read} at {place} stands alone at the end, where {among} was to be expected: kept, "
            "read it again.",
            read=read,
            place=place,
            among=among,
        )
    return Sentence(
        "{read} at {place} stands alone among {among}, but a taper may do that: kept, read it "
        "again.",
        read=read,
        place=place,
        among=among,
    )
