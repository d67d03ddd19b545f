"""Each fact is worded once, in either system."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.model.water import ZERO_CELSIUS, Water, WaterKind
from taperlab.physics.trim import join
from taperlab.shop import wording
from taperlab.shop.analyse import LineAnalysis, analyse_line
from taperlab.shop.on_rod import fit_to_rod
from taperlab.units.finding import Finding, Level
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, SinkRate, render
from taperlab.units.words import one_after_another

US, METRIC = System.US, System.METRIC


def belly(feet: float, grains_per_foot: float, diameter: float = 0.08, part: Part = Part.BELLY):
    area = math.pi / 4.0 * (diameter * INCH) ** 2
    density = grains_per_foot * GRAIN / FOOT / area
    return Segment(part, feet * FOOT, diameter * INCH, diameter * INCH, density)


def analysed(*segments: Segment, style: Style = Style.SCANDI) -> LineAnalysis:
    return analyse_line(line_of("k", "n", segments, style), Water())


@pytest.mark.parametrize(
    ("grains", "us", "metric"),
    [
        (512.0, "12 gr too heavy for the grain window", "0.78 g too heavy for the grain window"),
        (
            488.0,
            "inside the grain window, 12 gr from its edge",
            "inside the grain window, 0.78 g from its edge",
        ),
        (408.4, "12 gr too light for the grain window", "0.75 g too light for the grain window"),
    ],
)
def test_the_place_in_a_window(grains: float, us: str, metric: str) -> None:
    window = Window(Style.SCANDI, 420 * GRAIN, 500 * GRAIN)
    rod = Rod("rod", "Weir", 13 * FOOT, windows=(window,))
    fit = fit_to_rod(analysed(belly(32, grains / 32)), rod)
    said = wording.place_on_rod(fit)
    assert (render(said, US), render(said, METRIC)) == (us, metric)
    other = fit_to_rod(analysed(belly(32, 10), style=Style.SKAGIT), rod)
    assert wording.place_on_rod(other) == wording.NO_WINDOW
    assert "choose a rod" in str(wording.place_on_rod(None))


def test_whole_grains_and_the_weight_of_the_other_system() -> None:
    mass = 480.4 * GRAIN
    assert wording.WholeWeight(mass).text(US) == "480 gr"
    assert wording.WholeWeight(mass).text(METRIC) == "31.13 g"
    assert wording.OtherWeight(mass).text(US) == "31.13 g"
    assert wording.OtherWeight(mass).text(METRIC) == "480.4 gr"
    assert render(wording.both_weights(mass), US) == "480.4 gr (31.13 g)"
    assert render(wording.both_weights(mass), METRIC) == "31.13 g (480.4 gr)"


def test_a_piece_sinks_rises_or_hovers() -> None:
    assert render(wording.sinks_or_rises(3.0 * INCH), US) == "sinks 3.0 in/s"
    assert render(wording.sinks_or_rises(-3.0 * INCH), US) == "rises 3.0 in/s"
    assert str(wording.sinks_or_rises(5e-7)) == "hovers"
    assert str(wording.sinks_or_rises(-5e-7)) == "hovers"


def test_a_floating_head_tells_its_buoyancy_and_a_sinking_one_its_class() -> None:
    floating = analysed(belly(32, 9.0)).head
    assert floating is not None
    assert str(wording.head_sink(floating)) == "floats"
    # Nine grains a foot in a line that displaces water of this weight.
    water = 999.70 * math.pi / 4.0 * (0.08 * INCH) ** 2 * FOOT / GRAIN
    expected = f"spare buoyancy {(water / 9.0 - 1.0) * 100.0:.0f} %"
    assert str(wording.head_sink_class(floating)) == expected
    level = analysed(belly(10, 13.0, 0.045, Part.SINK_TIP)).head
    assert level is not None
    assert str(wording.head_sink(level)).endswith("in/s")
    assert "along" not in str(wording.head_sink_class(level))
    assert "along" not in str(wording.head_sink_rates(level))
    assert "as one body (sinks)" in str(wording.head_sink_rates(level))
    stepped = analysed(belly(10, 13.0, 0.045, Part.SINK_TIP), belly(10, 13.0, 0.07)).head
    assert stepped is not None
    assert str(wording.head_sink_class(stepped)).endswith("along it")
    assert str(wording.head_sink_rates(stepped)).endswith("along the head")
    mixed = analysed(belly(5, 9.0), belly(10, 13.0, 0.045, Part.SINK_TIP)).head
    assert mixed is not None
    assert "part of it floats: \u2212" in str(wording.head_sink_class(mixed))


def test_as_dense_as_the_water_hovers() -> None:
    head = analysed(belly(32, 15.0)).head
    assert head is not None
    hovering = replace(head, spare_buoyancy=0.0)
    assert str(wording.head_sink(hovering)) == "hovers"
    assert str(wording.head_floats(hovering)) == "hovers"
    assert str(wording.head_sink_class(hovering)) == "as dense as the water"


@pytest.mark.parametrize(
    ("segments", "single", "two"),
    [
        ((belly(32, 5.3),), ("size 6", "line 6"), ("no size", "outside the table")),
        ((belly(23, 20.0),), ("no size", "shorter than"), ("no class", "under 30 ft")),
        ((belly(65, 3.0),), ("size", "line"), ("no size", "outside the table")),
        (
            (belly(34, 11.0, part=Part.TIP),),
            ("no size", "less than the 30 ft it weighs behind the level tip"),
            ("H", "of its target"),
        ),
        (
            (belly(65, 11.0, part=Part.RUNNING_LINE),),
            ("no size", "no head"),
            ("no class", "no head"),
        ),
        ((belly(40, 11.0),), ("size", "line"), ("H", "of its target")),
        ((belly(40, 40.0),), ("no size", "outside the table"), ("no size", "outside the table")),
        ((), ("no size", "no head"), ("no class", "no head")),
    ],
)
def test_sizes_and_why_there_is_none(
    segments: tuple[Segment, ...], single: tuple[str, str], two: tuple[str, str]
) -> None:
    analysis = analysed(*segments)
    for said, expected in ((wording.single_hand, single), (wording.two_handed, two)):
        size, standing = said(analysis)
        assert str(size).startswith(expected[0])
        assert expected[1] in str(standing)


def test_water() -> None:
    fresh = Water(WaterKind.FRESH, ZERO_CELSIUS + 10.0)
    assert render(wording.water_words(fresh), US) == "fresh, 50.0 °F"
    assert render(wording.water_words(replace(fresh, kind=WaterKind.SEA)), METRIC) == (
        "sea, 10.0 °C, 35.0 g/kg of salt (practical salinity 34.84)"
    )


@pytest.mark.parametrize("floats", [True, False])
def test_a_floating_head_with_a_sinking_tip_tells_both_rates(floats: bool) -> None:
    sinking = belly(10 if not floats else 4, 13.0, 0.045, Part.SINK_TIP)
    floating = belly(5 if not floats else 25, 9.0)
    head, tip = analysed(sinking, floating).head, analysed(sinking).head
    assert head is not None
    assert tip is not None
    assert head.floats is floats
    assert head.tip_sink == pytest.approx(tip.sink)
    way = "rises" if floats else "sinks"
    rate = render(Sentence("{rate}", rate=SinkRate(tip.sink)), US)
    whole = render(Sentence("{rate}", rate=SinkRate(abs(head.sink))), US)
    assert render(wording.head_sink_class(head), US) == (
        f"tip sinks {rate}, head as one body {way} {whole}"
    )
    assert render(wording.head_sink_rates(head), US).endswith(f"its tip alone sinks {rate}")


def test_what_the_two_handed_standard_weighs_is_told() -> None:
    running = belly(20, 2.0, 0.035, Part.RUNNING_LINE)

    def told(feet: float, *behind: Segment) -> str:
        return str(wording.weighed_by_standard(analysed(belly(feet, 9.0), *behind)))

    assert told(52, running) == (
        "Class S (short belly): the first 55 ft from the fly end weighed, 3 ft of it behind the "
        "head."
    )
    assert told(90, running) == "Class L (long belly): the first 80 ft from the fly end weighed."
    # Without a running line there is no more to weigh than the head.
    assert told(52) == "Class S (short belly): the first 52 ft from the fly end weighed."
    assert told(23, running) == ""


BODY = Line("b", "Body", Style.SKAGIT, (belly(23, 20.0),))
ROD_13 = Rod("r", "Rod", 13.0 * FOOT)


def test_a_body_alone_is_not_judged_where_practice_counts_a_tip_with_it() -> None:
    """23 ft on 13 ft is 1.77 and would be called tight quarters; cast with 10 ft it is 2.54."""
    fit = fit_to_rod(analyse_line(BODY, Water()), ROD_13)
    assert fit is not None
    assert fit.ratio == pytest.approx(23.0 / 13.0)
    alone = "body alone; practice counts body and tip"
    assert str(wording.ratio_words(fit)) == f"{alone}: loop a tip to it"
    tip = Line("t", "Ten foot", Style.TIP, (belly(10, 12.0, 0.045, Part.SINK_TIP),))
    beside = fit_to_rod(analyse_line(BODY, Water()), ROD_13, lines=(BODY, tip))
    assert beside is not None
    assert str(wording.ratio_words(beside)) == f"{alone}: 2.54 with “Ten foot”"
    assert [str(each) for each in wording.ratio_with_tips(beside)] == [
        "With “Ten foot”: 2.54, Skagit, between tight quarters and all-round."
    ]


def test_a_body_with_its_tip_is_judged_and_says_what_is_counted() -> None:
    tip = Line("t", "Ten foot", Style.TIP, (belly(10, 12.0, 0.045, Part.SINK_TIP),))
    rig = replace(join(tip, BODY), style=Style.SKAGIT)
    fit = fit_to_rod(analyse_line(rig, Water()), ROD_13, lines=(tip,))
    assert fit is not None
    assert fit.ratio == pytest.approx(33.0 / 13.0)
    assert str(wording.ratio_words(fit)) == (
        "Skagit, between tight quarters and all-round (body and tip)"
    )
    scandi = fit_to_rod(analyse_line(replace(BODY, style=Style.SCANDI), Water()), ROD_13)
    assert scandi is not None
    assert str(wording.ratio_words(scandi)).endswith("(head, without leader)")


def test_joints_and_loops() -> None:
    folded = Loop(LoopKind.FOLDED, 2.5 * INCH, 0.4 * GRAIN)
    assert str(wording.loop_words(folded)) == (
        "folded and welded loop, 2 1/2 in folded back, adds 0.4 gr"
    )
    assert str(wording.loop_words(Loop(LoopKind.BRAIDED))) == "braided loop"
    weld = Joint(JointKind.LAPPED_WELD, overlap=1.0 * INCH, mass=0.5 * GRAIN)
    assert str(wording.joint_words(weld)) == "lapped weld, overlap 1 in, adds 0.5 gr"
    assert str(wording.joint_words(Joint())) == "one extrusion"
    looped = Joint(JointKind.LOOP_TO_LOOP, loop_ahead=folded)
    assert str(wording.joint_words(looped)) == (
        "loop to loop; ahead: folded and welded loop, 2 1/2 in folded back, adds 0.4 gr; "
        "behind: no loop"
    )


def test_water_is_told_with_density_and_viscosity() -> None:
    """At 20 °C: 998.2 kg/m³ and 1.0016 mPa·s (IAPWS, Release R12-08, 2008)."""
    said = render(wording.water_figures(Water(temperature=ZERO_CELSIUS + 20.0)), METRIC)
    viscosity = float(said.partition("viscosity ")[2].partition(" mPa·s")[0])
    assert viscosity == pytest.approx(1.0016, abs=0.002)
    assert said.startswith("Density 0.998 g/cm³")


def test_stock_is_told_by_both_its_ends_and_a_piece_by_its_weight() -> None:
    level = belly(30, 12.0, part=Part.SINK_TIP)
    kept = Stock.like(level, "Heavy tip")
    assert str(wording.stock_words(kept)) == "sink tip, 0.080 in, 12.00 gr/ft; 30 ft on the spool."
    assert str(wording.piece_words(kept, 5.0 * FOOT)) == "This length weighs 60.0 gr."
    # Of twice the diameter: four times as heavy per foot.
    thicker = Stock.like(replace(level, rear_diameter=0.16 * INCH), "Taper")
    told = str(wording.stock_words(thicker))
    assert "0.080 in to 0.160 in, 12.00 gr/ft to 48.00 gr/ft" in told


def test_a_remark_says_how_much_it_matters() -> None:
    for level, said in ((Level.NOTE, "note"), (Level.CAUTION, "caution"), (Level.STOP, "stop")):
        assert str(wording.with_level(Finding(level, Sentence("x")))) == f"{said}: x"


def test_an_empty_line_has_words() -> None:
    empty = analyse_line(Line("k", "n"), Water())
    assert wording.place_on_rod(fit_to_rod(empty, Rod("r", "R", 4.0)))


def test_texts_stand_one_after_another_with_one_stop_between() -> None:
    said = ["446 gr on the scale", "Weigh it again.", "Is it the right line?", "Then"]
    assert one_after_another(said) == (
        "446 gr on the scale. Weigh it again. Is it the right line? Then"
    )
    assert one_after_another([]) == ""
