"""A table is judged alike wherever it comes from: pasted, or read from a file."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits.edited import Ends, Refused, Solve
from taperlab.files.delimited import segment_of
from taperlab.files.problem import TableProblem
from taperlab.files.table import lay_out
from taperlab.gui.pages.shape.clipboard import paste_block, read_block
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.segment import Segment
from taperlab.units.kinds import System

Judged = tuple[Segment, ...] | str
"""The segments that a table makes, or why it makes none."""


def from_file(text: str) -> Judged:
    try:
        layout = lay_out(text)
        layout.check()
        return tuple(map(segment_of, tuple(layout.read_rows())))
    except TableProblem as problem:
        return str(problem.sentence)


def pasted(text: str, system: System) -> Judged:
    try:
        rows = read_block(text, 0, system)
        bench = Bench((line_of("a", "Alder", ()),))
        return paste_block(bench, "a", 0, rows, Solve.DENSITY, Ends.STEPPED).bench.lines[0].segments
    except Refused as problem:
        said = str(problem.sentence)
        assert said.startswith("Nothing was pasted: ")
        return said.removeprefix("Nothing was pasted: ")


SHAPE = ("part", "length [ft]", "front diameter [in]", "rear diameter [in]")
OTHERS = ("density [g/cm^3]", "weight [gr]", "grains per foot [gr/ft]", "note")

GOOD = {
    "part": ["belly", "Front Taper", "run", "cheater"],
    "length [ft]": ["10", "10.00", "13'6\"", "3 m", "1 mm"],
    "front diameter [in]": ["0.060", "0.06", ".0601", "1.5 mm"],
    "rear diameter [in]": ["0.060", "0.09", "85 thou"],
    # 10 ft of 0.06 in at 0.85 g/cm³ weighs 73 gr.
    "density [g/cm^3]": ["0.85", "0.9", "850 kg/m3", "0.06", ""],
    "weight [gr]": ["73", "73.1", "74.9", "0.2", "1,050.5", ""],
    "grains per foot [gr/ft]": ["7.3", "7.31", "7", ""],
    "note": ["soft", "two, and more", "“x”", ""],
}
BAD = ["", "0", "-1", "seven", "8,5", "0,085", "1,234", "9999", "1e-9", "nan", "5 gr", "fr", '"']


@st.composite
def tables(draw: st.DrawFn) -> str:
    # A file tells at least how heavy its rows are; what is pasted need not.
    weight = draw(st.sampled_from(OTHERS[:3]))
    told = {weight, *draw(st.lists(st.sampled_from(OTHERS)))}
    headings = draw(st.permutations([*SHAPE, *sorted(told)]))
    separator = draw(st.sampled_from("\t;"))
    comma = draw(st.booleans())
    rows = []
    for _ in range(draw(st.integers(1, 3))):
        cells = [draw(st.sampled_from(GOOD[heading])) for heading in headings]
        if draw(st.integers(0, 3)) == 0:
            cells[draw(st.integers(0, len(cells) - 1))] = draw(st.sampled_from(BAD))
        if draw(st.integers(0, 9)) == 0:
            cells.append(draw(st.sampled_from(["", "more"])))
        rows.append([cell.replace(".", ",") if comma else cell for cell in cells])
    return "\n".join(separator.join(row) for row in [headings, *rows])


@settings(max_examples=400, deadline=None)
@given(tables(), st.sampled_from(System))
def test_a_table_is_judged_alike_pasted_and_read_from_a_file(text: str, system: System) -> None:
    assert pasted(text, system) == from_file(text)


HEADING = "\t".join((*SHAPE, *OTHERS))


@pytest.mark.parametrize(
    ("row", "judged"),
    [
        ("belly\t10.0\t.060\t.060\t0.85\t73\t\t", "taken"),
        ("belly\t10.0\t.060\t.060\t0.85\t80\t\t", "disagrees with “0.85”"),
        ("belly\t10.0\t.060\t.060\t0.85\t\t9\t", "disagrees with “0.85”"),
        ("belly\t10.0\t.060\t.060\t\t73\t7.9\t", "disagrees with “73”"),
        ("belly\t10.0\t.060\t.060\t\t\t7.3\t", "taken"),
        ("belly\t10.0\t.060\t0,060\t0.85\t\t\t", "expected a number with a decimal point"),
        ("belly\t10.0\t.060\t.060\t0.85\t\t\tx\ty", "column 9: found “y”"),
        ("belly\t\t.060\t.060\t0.85\t\t\t", "found nothing, expected a length"),
        ("\t10.0\t.060\t.060\t0.85\t\t\t", "found nothing, expected one of tip"),
        ("belly\t10.0\t.060\t.060\t\t\t\t", "expected a density, or else a weight"),
        ("belly\t10.0\t.060\t.060\t\t4800\t\t", "which with the length and diameters makes"),
    ],
)
def test_what_two_given_numbers_or_a_missing_one_make_of_a_table(row: str, judged: str) -> None:
    text = f"{HEADING}\n{row}\n"
    found = from_file(text)
    assert pasted(text, System.METRIC) == found
    if judged == "taken":
        assert isinstance(found, tuple)
        assert found[0].density == pytest.approx(850, rel=0.01)
    else:
        assert judged in str(found)


ROUGH = (
    "part\tlength [ft]\tfront diameter [in]\trear diameter [in]\tdensity [g/cm^3]\tweight [gr]\n"
)


@pytest.mark.parametrize(("weight", "agrees"), [("75", True), ("80", False), ("100", False)])
def test_rounding_parts_two_weights_by_five_percent_at_most(weight: str, agrees: bool) -> None:
    # One digit of diameter leaves 17 % of play at 0.06 in; 10 ft at 0.85 g/cm³ weigh 73 gr.
    text = f"{ROUGH}belly\t10.0\t0.06\t0.06\t0.85\t{weight}\n"
    for found in (from_file(text), pasted(text, System.US)):
        assert isinstance(found, tuple) is agrees


def test_less_than_a_scale_can_tell_is_no_disagreement() -> None:
    # 1 in at 0.85 g/cm³ weighs 0.61 gr, which a scale may show as 0.7.
    row = "belly\t1.0 in\t0.0600\t0.0600\t0.850\t"
    for found in (from_file(ROUGH + row + "0.7\n"), pasted(ROUGH + row + "0.7\n", System.US)):
        assert isinstance(found, tuple)
    for found in (from_file(ROUGH + row + "0.8\n"), pasted(ROUGH + row + "0.8\n", System.US)):
        assert "disagrees" in str(found)
