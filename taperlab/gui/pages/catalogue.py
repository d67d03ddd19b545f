"""The one list of the pages. Menus, keys, the list at the left, pictures and tests read it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.page import Page
from taperlab.units.language import later


@dataclass(frozen=True, slots=True)
class Entry:
    """One page.

    key: names it in files and on the command line. name: with the letter of its menu entry
    marked by ``&``. tip: what it is for. group: heading of the list at the left that it stands
    under. sample: bench in ``samples/`` that shows it at work. make: builds it when first shown.
    """

    key: str
    name: str
    tip: str
    group: str
    sample: str
    make: Callable[[Workplace], Page]


DESIGN, MAKE, FISH = later("Design"), later("Make"), later("Fish")
"""The three groups, in order; one that has no page yet is not shown."""


def _shape(place: Workplace) -> Page:
    from taperlab.gui.pages.shape.page import ShapePage

    return ShapePage(place)


def _range(place: Workplace) -> Page:
    from taperlab.gui.pages.range.page import RangePage

    return RangePage(place)


def _tolerance(place: Workplace) -> Page:
    from taperlab.gui.pages.tolerance.page import TolerancePage

    return TolerancePage(place)


def _measure(place: Workplace) -> Page:
    from taperlab.gui.pages.measure.page import MeasurePage

    return MeasurePage(place)


def _pieces(place: Workplace) -> Page:
    from taperlab.gui.pages.pieces.page import PiecesPage

    return PiecesPage(place)


def _cut_back(place: Workplace) -> Page:
    from taperlab.gui.pages.cut_back.page import CutBackPage

    return CutBackPage(place)


def _jobs(place: Workplace) -> Page:
    from taperlab.gui.pages.jobs.page import JobsPage

    return JobsPage(place)


def _tips(place: Workplace) -> Page:
    from taperlab.gui.pages.tips.page import TipsPage

    return TipsPage(place)


def _water(place: Workplace) -> Page:
    from taperlab.gui.pages.water.page import WaterPage

    return WaterPage(place)


def _air(place: Workplace) -> Page:
    from taperlab.gui.pages.air.page import AirPage

    return AirPage(place)


def _which_head(place: Workplace) -> Page:
    from taperlab.gui.pages.which_head.page import WhichHeadPage

    return WhichHeadPage(place)


PAGES = (
    Entry(
        "shape",
        later("&Shape"),
        later("Design a head, and see it on a rod"),
        DESIGN,
        "scandi.taperlab",
        _shape,
    ),
    Entry(
        "range",
        later("Ra&nge"),
        later("Grade a head over weights and rods"),
        DESIGN,
        "range.taperlab",
        _range,
    ),
    Entry(
        "tolerance",
        later("T&olerances"),
        later("See what a thousandth costs, and what to measure first"),
        DESIGN,
        "long_belly.taperlab",
        _tolerance,
    ),
    Entry(
        "measure",
        later("&Measure"),
        later("Find out what a real line is, and how sure that is"),
        MAKE,
        "measured_head.taperlab",
        _measure,
    ),
    Entry(
        "pieces",
        later("&Pieces"),
        later("See which stock a head is cut from, and cut it at least loss"),
        MAKE,
        "pieces.taperlab",
        _pieces,
    ),
    Entry(
        "cut",
        later("&Cut back"),
        later("Cut a head back to weight, in stages"),
        MAKE,
        "cut_back.taperlab",
        _cut_back,
    ),
    Entry(
        "jobs",
        later("Jo&bs"),
        later("Find what customers asked for, and what became of it"),
        MAKE,
        "jobs.taperlab",
        _jobs,
    ),
    Entry(
        "tips",
        later("T&ips"),
        later("See which tip suits the head, and how deep each fishes"),
        FISH,
        "tips.taperlab",
        _tips,
    ),
    Entry(
        "water",
        later("&Water"),
        later("See how deep a rig fishes, and how sure that is"),
        FISH,
        "rigs.taperlab",
        _water,
    ),
    Entry(
        "air",
        later("&Air"),
        later("See the room a cast wants behind, and whether it turns over"),
        FISH,
        "rigs.taperlab",
        _air,
    ),
    Entry(
        "which",
        later("Which h&ead"),
        later("Find the style of head that suits a rod and its water"),
        FISH,
        "which_head.taperlab",
        _which_head,
    ),
)
