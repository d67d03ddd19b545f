"""How each figure is worked out, and from which source: for tooltips and for the help."""

from __future__ import annotations

from taperlab.units.language import later, tr

_METHODS = {
    "weight": later(
        "Every segment that is neither handling nor running line, with the loops and sleeves on "
        "it. Each segment is a frustum: grains = density × π·L/12·(d₁² + d₁d₂ + d₂²)."
    ),
    "length": later(
        "Every segment that is neither handling nor running line, finished: line folded into loops "
        "is left out."
    ),
    "ratio": later(
        "Length of what the style’s practice counts (head, or body and tip) ÷ rod length. The "
        "bands are common practice among casters and instructors, not a standard."
    ),
    "front": later(
        "Weight of the tip and front-taper segments ÷ head weight. The length share stands below "
        "it."
    ),
    "balance": later(
        "Centre of mass of the head, from the fly end. Closed form over each frustum, loops and "
        "sleeves as points."
    ),
    "mean": later("Mean weight per length of the head, and at its thickest."),
    "sink": later(
        "The head as one body: the speed at which its net weight equals its drag, level and "
        "straight in still water. Drag of a cylinder: Cheng (2013), J. Hydraul. Eng. 139, 602. "
        "Type numbers are common practice, from two undated charts that name no author and do not "
        "agree."
    ),
    "standard": later(
        "AFFTA line-weight specifications. Single-hand: the first 30 ft, a level tip, loops and "
        "what joints add left out. Two-handed (2004): what the line weighs from the fly end to the "
        "weigh point of its class, running line and loops included; targets and no tolerance."
    ),
    "first": later(
        "What the single-hand standard weighs: the first 30 ft of line, a level tip, the loops "
        "and what joints add (sleeves, glue) left out. A shorter head has no such weight."
    ),
    "whole": later("The whole line, running line included."),
    "water": later(
        "Fresh: density after Tanaka and others (2001), Metrologia 38, 301. Sea: density by "
        "EOS-80 (Fofonoff and Millard 1983, UNESCO 44). Viscosity after Sharqawy, Lienhard and "
        "Zubair (2010), Desalin. Water Treat. 16, 354."
    ),
    "trust": later(
        "The drag formula lies within about 8 % of measurements for lines in water, and a density "
        "is seldom known better than to 1 %. What that makes of a rate stands with each line’s: "
        "little of a dense tip’s, much of one near the density of water. Real lines bend, "
        "hang from the rod tip and lie in moving water; labels printed on stock differ by up to an "
        "inch per second for the same type."
    ),
}


def method(figure: str) -> str:
    """How a figure is worked out, in the language that is read."""
    return tr(_METHODS[figure])
