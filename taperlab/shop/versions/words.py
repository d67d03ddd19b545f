"""What differs between a version and the line now, in words."""

from __future__ import annotations

from collections.abc import Sequence

from taperlab.model.bench import Bench, keyed
from taperlab.model.version import Version
from taperlab.shop.versions.study import Changes, RowChange, WasNow
from taperlab.units.sentence import (
    Apart,
    Density,
    Diameter,
    Length,
    OnTape,
    Sentence,
    Share,
    Value,
    Weight,
    counted,
    listed,
)

MOST = 6
"""Rows that are told one by one; the rest are counted."""


def told(found: Changes, version: Version) -> tuple[Sentence, ...]:
    """What became of the line since a version: its figures in one sentence, then row by row."""
    if found.is_none:
        return (Sentence("The line is as in “{version}”.", version=version.name),)
    figures: list[Value] = [_weight(found.mass), _length(found.length)]
    if found.front_share is not None:
        figures.append(_share(found.front_share))
    said = listed(*figures)
    if found.of_head:
        first = Sentence(
            "The head now, against “{version}”: {figures}.", version=version.name, figures=said
        )
    else:
        first = Sentence(
            "The line now, against “{version}”: {figures}.", version=version.name, figures=said
        )
    return (first, *row_words(found))


def row_words(found: Changes) -> tuple[Sentence, ...]:
    """What became of segments, joints, loops and style, a sentence each; many are counted."""
    return tuple(_few(_pieces(found)))


def name_of(version: Version, bench: Bench, line: str | None) -> str:
    """What a version is called beside a line in hand: with its own line's name where it is not it.

    line: key of the line in hand.
    """
    if version.of == line:
        return version.name
    of = keyed(bench.lines, version.of) or version.line
    return f"{version.name} ({of.name})"


def _few(said: Sequence[Sentence]) -> Sequence[Sentence]:
    if len(said) <= MOST + 1:
        return said
    more = len(said) - MOST
    return (*said[:MOST], counted("And {count} more change.", "And {count} more changes.", more))


def _weight(mass: WasNow) -> Apart:
    by = Weight(abs(mass.change))
    said = Sentence("{weight} lighter", weight=by)
    if mass.change > 0.0:
        said = Sentence("{weight} heavier", weight=by)
    return Apart(Weight(mass.was), Weight(mass.now), said, Sentence("as heavy"))


def _length(length: WasNow) -> Apart:
    by = OnTape(abs(length.change))
    said = Sentence("{length} shorter", length=by)
    if length.change > 0.0:
        said = Sentence("{length} longer", length=by)
    return Apart(OnTape(length.was), OnTape(length.now), said, Sentence("as long"))


def _share(share: WasNow) -> Apart:
    return Apart(
        Share(share.was),
        Share(share.now),
        Sentence(
            "front taper {now} of the weight (was {was})",
            now=Share(share.now),
            was=Share(share.was),
        ),
        Sentence("front taper {now} of the weight as before", now=Share(share.now)),
    )


def _pieces(found: Changes) -> list[Sentence]:
    said = [_row(each) for each in found.rows]
    said += [
        Sentence("The joint behind segment {row} is another.", row=row + 1) for row in found.joints
    ]
    if found.front_loop:
        said.append(Sentence("The loop at the fly end is another."))
    if found.rear_loop:
        said.append(Sentence("The loop at the rod end is another."))
    if found.style is not None:
        was, now = found.style
        said.append(Sentence("Style: {now} (was {was}).", now=now, was=was))
    return said


def _row(row: RowChange) -> Sentence:
    if row.was is None and row.now is not None:
        return Sentence("Segment {row}, {part}, is new.", row=row.now + 1, part=row.part)
    if row.now is None and row.was is not None:
        return Sentence("What was segment {row}, {part}, is gone.", row=row.was + 1, part=row.part)
    parts: list[Value] = []
    if row.was_part is not None:
        parts.append(Sentence("was {part}", part=row.was_part))
    for number, quantity, template in (
        (row.length, Length, Sentence("length")),
        (row.front_diameter, Diameter, Sentence("front diameter")),
        (row.rear_diameter, Diameter, Sentence("rear diameter")),
        (row.density, Density, Sentence("density")),
    ):
        if number is not None:
            parts.append(
                Sentence(
                    "{what} {now} (was {was})",
                    what=template,
                    now=quantity(number.now),
                    was=quantity(number.was),
                )
            )
    return Sentence(
        "Segment {row}, {part}: {changes}.",
        row=(row.now or 0) + 1,
        part=row.part,
        changes=listed(*parts),
    )
