"""One member: the parent made as heavy, and as long, as is asked."""

from __future__ import annotations

from dataclasses import dataclass, replace

from taperlab.model.line import Line
from taperlab.model.range import LengthRule, ThicknessRule
from taperlab.physics.grading import Bound, Grading, Reach, stretched
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.units.kinds import LENGTH
from taperlab.units.sentence import RodLength, Sentence, Told, Weight


class NoMember(Told):
    """There is no such member. ``sentence`` says why; ``least``: the lightest there is [kg]."""

    least: float | None = None


@dataclass(frozen=True, slots=True)
class Counted:
    """What the ratio counts: the parent's head [m], a tip ahead of it [m], and its rod [m].

    rod: None where it is not known.
    """

    head: float
    tip: float
    rod: float | None

    def ratio(self, head: float, rod: float | None) -> float | None:
        """Of a head [m] to a rod [m], the tip counted in; None without a rod."""
        return None if rod is None else (head + self.tip) / rod

    def factor(self, rod: float | None) -> float:
        """How much longer a head must be to keep the ratio on a rod [m]: (q R - tip) / L."""
        own = self.ratio(self.head, self.rod)
        if own is None or rod is None:
            return 1.0
        return (own * rod - self.tip) / self.head


@dataclass(frozen=True, slots=True)
class Graded:
    """A member as it is worked out.

    line: running line behind the head included. factor: of its length to the parent's. moved: how
    far its diameters moved (k), 0 for not at all. holds: whether the front end was held. reach: how
    light and how heavy it could be at its length; None where the length gives way.
    """

    line: Line
    factor: float
    moved: float
    holds: bool
    reach: Reach | None = None


def grade(
    parent: Line,
    mass: float,
    rod: float | None,
    counted: Counted,
    rules: tuple[LengthRule, ThicknessRule],
) -> Graded:
    """The parent with a head that weighs ``mass`` [kg], loops and sleeves on it included.

    rod: of the member [m]. Raises NoMember; Impossible where the parent has no head in one piece.
    """
    head = head_of(parent)
    length, thickness = rules
    factor = 1.0
    if length is LengthRule.ROD:
        factor = counted.factor(rod)
    elif length is LengthRule.WEIGHT:
        factor = _by_weight(head, mass)
    if not factor > 0.0:
        raise NoMember(
            "On a rod of {rod} the tip alone is longer than the ratio allows.",
            rod=RodLength(rod or 0.0),
        )
    if any(not LENGTH.allows(each.length * factor) for each in head.segments):
        raise NoMember("Its segments would be shorter, or longer, than line can be.")
    longer = stretched(head, factor)
    if length is LengthRule.WEIGHT:
        return Graded(_whole(parent, longer), factor, 0.0, holds=True)
    grading = Grading.of(longer, hold_front=thickness is ThicknessRule.FRONT_END)
    k = grading.for_mass(mass)
    if k is None:
        raise _out_of_reach(mass, grading.reach)
    whole = _whole(parent, grading.moved(k))
    return Graded(whole, factor, k, grading.holds, grading.reach)


def reach_of(
    parent: Line, rod: float | None, counted: Counted, rules: tuple[LengthRule, ThicknessRule]
) -> Reach | None:
    """How light and how heavy a member on a rod [m] can be; None where its length gives way."""
    length, thickness = rules
    if length is LengthRule.WEIGHT:
        return None
    factor = counted.factor(rod) if length is LengthRule.ROD else 1.0
    if not factor > 0.0:
        return None
    longer = stretched(head_of(parent), factor)
    return Grading.of(longer, hold_front=thickness is ThicknessRule.FRONT_END).reach


def _by_weight(head: Line, mass: float) -> float:
    """The factor on lengths that makes a head weigh so much [kg] with every diameter kept."""
    profile = Profile.of(head)
    beside = float(profile.point_masses.sum())
    if mass <= beside:
        raise NoMember("Its loops and joints alone weigh {weight}.", weight=Weight(beside))
    return (mass - beside) / (profile.total_mass - beside)


def _whole(parent: Line, head: Line) -> Line:
    """The parent with another head; what lies behind it stays."""
    behind = parent.segments[len(head.segments) :]
    return replace(parent, segments=(*head.segments, *behind))


def _out_of_reach(mass: float, reach: Reach) -> NoMember:
    if mass > reach.most:
        return NoMember(
            Sentence(
                "At this length it can weigh {most} at most: line is not made thicker.",
                most=Weight(reach.most),
            )
        )
    least = Weight(reach.least)
    words = {
        Bound.FRONT: Sentence(
            "With its fly end held it weighs {least} at least, level from end to end. Keep the "
            "shape instead, or begin with a thinner tip.",
            least=least,
        ),
        Bound.CORE: Sentence(
            "It weighs {least} at least: below that no coat is left over the core.", least=least
        ),
        Bound.DIAMETER: Sentence(
            "It weighs {least} at least: line is not made thinner.", least=least
        ),
    }
    said = words[reach.lower]
    refused = NoMember(said)
    refused.least = reach.least
    return refused
