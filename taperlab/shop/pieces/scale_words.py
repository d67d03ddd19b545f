"""What lies on the scale while a head is built, and what to look at where it is far off."""

from __future__ import annotations

from taperlab.shop.pieces.build_words import has_loops_to_make
from taperlab.shop.pieces.progress import Progress
from taperlab.shop.pieces.tubes import tube_of
from taperlab.units.sentence import Sentence, Several, Value, Weight


def scale_holds(progress: Progress, after: int) -> Sentence:
    """What lies on the scale once so many are joined, and what does not."""
    count = len(progress.pieces)
    if after > count:
        if has_loops_to_make(progress):
            return Sentence("On the scale: the whole head, its loops on.")
        return Sentence("On the scale: the whole head.")
    numbers: list[Value] = [str(number) for number in range(1, after + 1)]
    made = progress.build.joints[: after - 1]
    values: dict[str, Value] = {"pieces": Several(tuple(numbers))}
    if any(each.is_peeled for each in made):
        said = Sentence("On the scale: pieces {pieces}, joined. No loops, no tube.", **values)
    elif any(each.mass and each.overlap for each in made):
        said = Sentence("On the scale: pieces {pieces}, joined, tubes on. No loops.", **values)
    else:
        said = Sentence("On the scale: pieces {pieces}, joined. No loops.", **values)
    if after < count and progress.build.pieces[after - 1].spare:
        return Sentence(
            "{said} The rod end of piece {last} is not bevelled yet.", said=said, last=after
        )
    return said


def field_name(progress: Progress, after: int) -> Sentence:
    """What is typed: what the scale reads then."""
    if after > len(progress.pieces):
        return Sentence("The finished head weighs")
    return Sentence("After joint {number} the scale reads", number=after - 1)


def look_first(progress: Progress) -> tuple[Sentence, ...]:
    """What to look at first where the scale is far off, with what each weighs."""
    build, found = progress.build, []
    laps = [each.overlap for each in build.joints if each.is_peeled]
    if laps:
        tube, _ = tube_of(progress.log.rules, laps[0])
        found.append(_weighs(Sentence("a welding tube still on"), tube))
    for mass, words in (
        (build.front, Sentence("a loop at the fly end")),
        (build.rear, Sentence("a loop at the rod end")),
    ):
        if mass:
            found.append(_weighs(words, mass))
    for number, joint in enumerate(build.joints, start=1):
        if joint.mass:
            found.append(_weighs(Sentence("what joint {number} adds", number=number), joint.mass))
            break
    # Of the joint that is weighed now, or was weighed last.
    count, due = len(progress.pieces), progress.due
    last = min(max(due.after, len(progress.log.joints) + 1, min(2, count)), count) - 1
    if build.pieces[last].spare:
        found.append(_weighs(Sentence("a lap bevelled too early"), build.pieces[last].spare))
    trims = [each for each in progress.pieces[: last + 1] if each.off]
    if trims:
        words, piece = Sentence("a piece that was not trimmed"), trims[-1]
        found.append(_weighs(words, piece.mass_without(0.0) - piece.mass))
    found.append(Sentence("a piece from the wrong spool"))
    return tuple(found)


def _weighs(words: Sentence, mass: float) -> Sentence:
    return Sentence("{what}, {mass}", what=words, mass=Weight(mass))
