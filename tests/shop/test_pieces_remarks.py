"""What is remarked on pieces: coatings that do not weld, stock that fits badly or is short."""

from __future__ import annotations

from dataclasses import replace

from taperlab import shipped
from taperlab.files import native
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import ONE_EXTRUSION, Joint, JointKind, line_of
from taperlab.model.pieces import Rules
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.physics.profile import Profile
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.remarks import remarks
from taperlab.shop.pieces.study import study_now
from taperlab.units.finding import Level
from taperlab.units.kinds import System
from taperlab.units.sentence import render

FILE = shipped.sample("pieces.taperlab")
BENCH = native.parse_bench(FILE.read_bytes(), "sample")


def told(*stock: Stock) -> list[tuple[Level, str]]:
    found = study_now(Question(((BENCH.lines[0], 1),), stock))
    return [(each.level, str(each.sentence)) for each in remarks(found)]


def test_nothing_but_a_note_is_said_of_stock_that_fits() -> None:
    assert [level for level, _ in told(*BENCH.stock)] == [Level.NOTE]


def test_coatings_of_two_families_are_not_welded_in_silence() -> None:
    other = [replace(each, coating="" if each.is_level else "hard") for each in BENCH.stock]
    assert not any("weld" in said for _, said in told(*other))  # one of them is not told
    other = [replace(each, coating="soft" if each.is_level else "hard") for each in BENCH.stock]
    cautions = [said for level, said in told(*other) if level is Level.CAUTION]
    assert len(cautions) == 2
    assert all("Old salmon line" in each and "loop to loop" in each for each in cautions)


def test_stock_that_welds_goes_before_what_is_a_hair_nearer_the_design() -> None:
    """The taper is of a soft line: so is the belly, while there is enough of that."""
    front = Segment(Part.FRONT_TAPER, 3.0, 0.0012, 0.0020, 870.0)
    belly = Segment(Part.BELLY, 4.0, 0.0020, 0.0020, 870.0)
    line = line_of("a", "Alder", (front, belly))
    spool = Stock.like(replace(belly, length=20.0), "")
    old = replace(Stock.like(front, "Old"), key="old", length=3.2, coating="soft")
    # In part a thing of batches: the soft one is 4 % off, within the tolerance.
    hard = replace(spool, key="hard", name="Hard", coating="hard")
    soft = replace(spool, key="soft", name="Soft", coating="soft", density=1.04 * 870.0)
    rules = Rules(overlap=0.03)

    def cut_from(*stock: Stock) -> tuple[set[str], bool]:
        found = study_now(Question(((line, 1),), (old, *stock), rules))
        names = {each.stock.name for each in found.pieces if each.row == 1}
        return names, any("weld" in str(each.sentence) for each in remarks(found))

    assert cut_from(hard, soft) == ({"Soft"}, False)
    # One that is too short; and one whose coating nobody told, which is not judged.
    assert cut_from(hard, replace(soft, length=1.0)) == ({"Hard"}, True)
    assert cut_from(hard, replace(soft, coating="")) == ({"Soft"}, False)
    # Core in core any two go together.
    spliced = replace(line, joints=(Joint(JointKind.SPLICED_CORE, 0.05),))
    found = study_now(Question(((spliced, 1),), (old, hard, soft), rules))
    assert {each.stock.name for each in found.pieces if each.row == 1} == {"Hard"}


def test_a_head_that_tubes_make_heavier_than_designed_is_said_to_be() -> None:
    """Both welds of the sample keep their tube, 4 gr each; it was designed without any."""
    line = replace(BENCH.lines[0], joints=(ONE_EXTRUSION,) * 2)
    rules = Rules(overlap=1.5 * INCH, tube=4.0 * GRAIN, tubes_stay=True)
    designed = Profile.of(line).total_mass / GRAIN
    for asked, is_said in ((rules, True), (replace(rules, tubes_stay=False), False)):
        found = study_now(Question(((line, 2),), BENCH.stock, asked))
        said = [str(e.sentence) for e in remarks(found) if "was designed" in str(e.sentence)]
        assert len(said) == is_said
        if is_said:
            words = said[0].replace("\N{NO-BREAK SPACE}", " ")
            assert f"comes to {designed + 8.0:.1f} gr, where {designed:.1f} gr was" in words
            assert "loops add 8.0 gr" in words
    # Of two cores that lie beside each other one is more than was drawn: a foot of 1.6 gr/ft each.
    spliced = replace(line, joints=(Joint(JointKind.SPLICED_CORE, FOOT),) * 2)
    found = study_now(Question(((spliced, 1),), BENCH.stock, Rules()))
    (said,) = [str(e.sentence) for e in remarks(found) if "was designed" in str(e.sentence)]
    assert "loops add 3.2 gr" in said.replace("\N{NO-BREAK SPACE}", " ")


def test_stock_that_is_short_stops_the_work() -> None:
    thick = [each for each in BENCH.stock if each.is_level and each.labelled is not None]
    short = [replace(each, length=0.6) for each in thick]
    stops = [said for level, said in told(*short) if level is Level.STOP]
    assert stops
    assert all(f" of {BENCH.lines[0].name}, " in each for each in stops)
    found = study_now(Question(((BENCH.lines[0], 1),), thick[:1]))
    assert found.short
    for each in remarks(found):
        assert "gr/ft" not in render(each.sentence, System.METRIC)


def test_an_end_that_could_be_taken_for_the_other_is_marked_first() -> None:
    head = line_of(
        "a", "Alder", (Segment(Part.BELLY, 3.0, 0.00200, 0.00212, 870.0, stock="blank"),)
    )
    long = Segment(Part.BELLY, 6.0, 0.00194, 0.00218, 870.0)
    found = study_now(Question(((head, 1),), (replace(Stock.like(long, "blank"), key="b"),)))
    (said,) = (str(each.sentence) for each in remarks(found) if "taken for" in str(each.sentence))
    assert said.startswith("Either end of the belly from blank")
    assert "mark its fly end" in said
    # Twice as thick at one end as at the other: nobody takes it for the other.
    head = line_of("a", "Alder", (Segment(Part.BELLY, 3.0, 0.0012, 0.0018, 870.0, stock="blank"),))
    long = Segment(Part.BELLY, 6.0, 0.0009, 0.0021, 870.0)
    found = study_now(Question(((head, 1),), (replace(Stock.like(long, "blank"), key="b"),)))
    assert found.pieces
    assert not any("taken for" in str(each.sentence) for each in remarks(found))


def test_a_joint_step_beyond_what_was_asked_for_is_told() -> None:
    thin = Segment(Part.TIP, 2.0, 0.0010, 0.0010, 870.0, stock="thin")
    thick = Segment(Part.BELLY, 5.0, 0.0020, 0.0020, 870.0, stock="thick")
    stock = tuple(replace(Stock.like(each, each.stock), key=each.stock) for each in (thin, thick))
    head = line_of("a", "Alder", (replace(thin, length=1.0), replace(thick, length=4.0)))

    def steps(largest: float) -> list[str]:
        found = study_now(Question(((head, 1),), stock, Rules(largest_step=largest)))
        assert len(found.pieces) == 2
        return [str(each.sentence) for each in remarks(found) if "step" in str(each.sentence)]

    (said,) = steps(3.0)
    assert "4.00" in said
    assert steps(4.5) == []


def test_each_spool_is_to_be_weighed_once_however_many_heads_it_is_for() -> None:
    spool = replace(BENCH.stock[0], key="s", name="Own spool", length=40.0, mass_error=None)
    per = spool.front_diameter, spool.rear_diameter, spool.density
    short = line_of("a", "Short", (Segment(Part.BELLY, 5.0, *per),))
    long = line_of("b", "Long", (Segment(Part.BELLY, 9.0, *per),))
    found = study_now(Question(((short, 2), (long, 1)), (spool,)))
    (told,) = (str(each.sentence) for each in remarks(found) if each.level is Level.NOTE)
    assert "Own spool" in told
    # Two in a hundred of the longer head, 95 in 100.
    assert f"{1.96 * 0.02 * Profile.of(long).total_mass / GRAIN:.1f}\N{NO-BREAK SPACE}gr" in told


def test_what_does_not_fit_is_told_in_a_sentence() -> None:
    thin = Segment(Part.TIP, 2.0, 0.0010, 0.0010, 870.0)
    thicker = replace(Stock.like(replace(thin, rear_diameter=0.0011), "b"), length=3.0)
    thicker = replace(thicker, front_diameter=0.0011, key="b")
    found = study_now(Question(((line_of("a", "Alder", (thin,)), 1),), (thicker,)))
    said = [str(each.sentence) for each in remarks(found) if each.level is Level.CAUTION]
    # A tenth thicker is a fifth heavier: beyond what is a compromise.
    assert [each.split(":")[0] for each in said] == ["The tip from b does not fit"]
