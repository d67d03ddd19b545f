"""What a line is at one place: what the crosshair reads."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.line import Joint, JointKind
from taperlab.model.segment import Part
from taperlab.physics import sinking
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.wording import sinks_or_rises
from taperlab.units.sentence import Diameter, Length, Sentence, Weight, WeightPerLength

AT_JOINT = 0.005
"""A place this near to a joint is at it [m]."""

ROUNDING = 1e-9
"""A place beyond an end by no more than this is at it [m]."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A line at one place.

    position, diameter: [m]. linear_density: [kg/m], of the line alone; in a lap of both pieces,
    bevelled over each other. running_mass: [kg] from the fly end, loops and sleeves passed
    included. sink: [m/s] of a level piece like it, positive sinking. joint: the joint here, if
    there is one.
    """

    position: float
    segment: int
    part: Part
    diameter: float
    linear_density: float
    running_mass: float
    sink: float
    joint: Joint | None


def read_line(analysis: LineAnalysis, position: float) -> Reading | None:
    """Read a line at a distance from the fly end [m]; at a breakpoint, just behind it.

    None beyond its ends.
    """
    profile = analysis.profile
    if not analysis.segments or not -ROUNDING <= position <= profile.length + ROUNDING:
        return None
    x = min(max(position, 0.0), profile.length)
    index = int(profile.segment_at(x))
    diameter = float(profile.diameter(x, index))
    linear_density = float(profile.linear_density(x, index))
    running = float(profile.running_mass(x))
    if laps := analysis.laps:
        diameter = float(laps.diameter(x, diameter))
        linear_density = float(laps.linear_density(x, linear_density))
        running = float(laps.running_mass(x, running))
    joint = None
    for i, there in enumerate(analysis.line.joints):
        if abs(float(profile.starts[i + 1]) - x) <= AT_JOINT:
            joint = there
    return Reading(
        position=x,
        segment=index,
        part=analysis.line.segments[index].part,
        diameter=diameter,
        linear_density=linear_density,
        running_mass=running,
        sink=float(sinking.sink_rate(diameter, linear_density, analysis.state)),
        joint=joint,
    )


def words(reading: Reading) -> tuple[Sentence, ...]:
    """A reading in words: place, part, diameter, weight per length, weight so far, sink rate."""
    part = Sentence("{part}", part=reading.part)
    if reading.joint and reading.joint.kind is not JointKind.ONE_EXTRUSION:
        part = Sentence("{part}, {joint}", part=reading.part, joint=reading.joint.kind)
    return (
        Sentence("{place}", place=Length(reading.position)),
        part,
        Sentence("⌀ {diameter}", diameter=Diameter(reading.diameter)),
        Sentence("{weight}", weight=WeightPerLength(reading.linear_density)),
        Sentence("{weight} so far", weight=Weight(reading.running_mass)),
        sinks_or_rises(reading.sink),
    )


def words_beyond(position: float) -> tuple[Sentence, ...]:
    """What there is to say of a place [m] where the line is not."""
    return Sentence("{place}", place=Length(position)), Sentence("beyond the line")


def place_of_weight(analysis: LineAnalysis, mass: float) -> Reading | None:
    """Read a line at the first place up to which it weighs ``mass`` [kg] from the fly end.

    None where the line is lighter than that.
    """
    if not analysis.segments or not 0.0 <= mass <= analysis.mass:
        return None
    place = analysis.profile.position_of(mass)
    if laps := analysis.laps:
        place = laps.position_of(mass, place, analysis.profile.running_mass)
    return read_line(analysis, place)
