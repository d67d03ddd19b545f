"""Lines as CSV and TSV: every dialect that the page of promises names, and clear refusals."""

import itertools
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.files.delimited import line_rows, read_with, write_line
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.table import lay_out
from taperlab.model.line import line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.profile import Profile
from taperlab.units.columns import Column
from taperlab.units.kinds import System
from taperlab.units.vocabulary import unit_named
from tests.tables import parse_table, read_line

HEADING = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],note"
# 10 ft from 0.037 to 0.060 in at 0.85 g/cm3 weighs 48.548 gr (the exact frustum; a mean diameter
# would give 47.655).
ROW = "front taper,10,0.037,0.060,0.85,"
GRAIN, FOOT = 64.79891e-6, 0.3048


def refusal(text: str) -> str:
    with pytest.raises(FileProblem) as caught:
        parse_table(text, "line.csv", "line")
    assert "\n" not in str(caught.value.sentence)
    return str(caught.value.sentence)


def test_the_plain_form() -> None:
    line = parse_table(f"{HEADING}\n{ROW}first\nbelly,8,0.060,0.060,0.85,\n", "line.csv", "Alder")
    assert line.name == "Alder"
    first, second = line.segments
    assert (first.part, second.part) == (Part.FRONT_TAPER, Part.BELLY)
    assert (first.note, second.note) == ("first", "")
    assert first.length == 10 * FOOT
    assert first.rear_diameter == pytest.approx(0.060 * 0.0254, rel=1e-15)
    assert first.density == pytest.approx(850, rel=1e-15)
    assert float(Profile.of(line).segment_masses[0]) / GRAIN == pytest.approx(48.548, abs=0.001)


SPACES = {"tight": "", "wide": " "}


@pytest.mark.parametrize(
    ("separator", "decimal", "space", "bom", "ending"),
    [
        (separator, decimal, space, bom, ending)
        for separator, decimal, space, bom, ending in itertools.product(
            ",;\t", ".,", SPACES.values(), ("", "\ufeff"), ("\n", "\r\n", "\r")
        )
        if not separator == decimal == ","
    ],
)
def test_every_dialect_reads_the_same(
    tmp_path: Path, separator: str, decimal: str, space: str, bom: str, ending: str
) -> None:
    plain = [
        HEADING,
        ROW + "low water",
        "Belly ,8.5,.06,0.06,0.85,",
        "RUNNING  LINE,100,.03,.03,0.9",
    ]
    marked = [
        "# from the shelf, 5 in",
        "",
        plain[0],
        '# half "quoted',
        *plain[1:3],
        "   ",
        "  # indented",
        plain[3],
    ]

    def in_dialect(line: str) -> str:
        if line.lstrip().startswith("#"):
            return line
        return (separator + space).join(cell.replace(".", decimal) for cell in line.split(","))

    text = ending.join(map(in_dialect, marked))
    path = tmp_path / "dialect.csv"
    path.write_bytes((bom + text).encode())
    line = read_line(path)
    assert line.name == "dialect"
    expected = parse_table("\n".join(plain), "x", "dialect")
    assert line == expected
    assert [segment.part for segment in line.segments] == ["front taper", "belly", "running line"]


def test_columns_in_any_order_units_that_fit_and_typed_cells() -> None:
    text = """density [kg/m3];Front Diameter [mm];rear diameter [thou];PART;length [m]
850;0.9398;60;front taper;3,048
0.85 g/cc;.037 in;0.06";tip;10 ft 0 in
"""
    with pytest.raises(FileProblem, match=r"row 2, column “length \[m\]”: found “3,048”"):
        parse_table(text, "x", "x")
    line = parse_table(text.replace("3,048", "3.048"), "x", "x")
    for segment in line.segments:
        assert segment.length == pytest.approx(10 * FOOT)
        assert segment.front_diameter == pytest.approx(0.0009398)
        assert segment.rear_diameter == pytest.approx(0.001524)
        assert segment.density == pytest.approx(850)


@pytest.mark.parametrize(
    ("heading", "cell"),
    [("weight [gr]", "48.548"), ("weight [g]", "3.14586"), ("grains per foot [gr/ft]", "4.8548")],
)
def test_a_weight_in_place_of_the_density(heading: str, cell: str) -> None:
    base = "part,length [ft],front diameter [in],rear diameter [in]"
    line = parse_table(f"{base},{heading}\nfront taper,10,0.037,0.060,{cell}\n", "x", "x")
    assert line.segments[0].density == pytest.approx(850, rel=2e-5)
    both = f"{base},density [g/cm^3],{heading}\nfront taper,10,0.037,0.060,,{cell}\n"
    assert parse_table(both, "x", "x").segments[0].density == pytest.approx(850, rel=2e-5)


@pytest.mark.parametrize(
    ("weight", "agrees"),
    [("48.5", True), ("48", True), ("49.5", True), ("51", False), ("47.0", False), ("96", False)],
)
def test_two_weights_may_differ_by_rounding_only(weight: str, agrees: bool) -> None:
    # Half a thousandth of an inch at 0.037 and 0.060 in is 2.04 %, half of 0.01 at 0.85 is
    # 0.59 %: 1.28 gr of 48.5 between them. The length is told to a hundredth of a foot.
    text = (
        "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],weight [gr]\n"
        f"front taper,10.00,0.037,0.060,0.85,{weight}\n"
    )
    if agrees:
        assert parse_table(text, "x", "x").segments[0].density == pytest.approx(850)
    else:
        assert "column “weight [gr]”" in refusal(text)
        assert "disagrees with “0.85”" in refusal(text)


@pytest.mark.parametrize(("weight", "agrees"), [("48.5", True), ("50", True), ("51", False)])
def test_a_length_without_decimals_is_meant(weight: str, agrees: bool) -> None:
    # 0.85 makes 48.548 gr; diameters and density leave 2.63 % of play, the weight's own digit 1 %.
    base = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3],weight [gr]\n"
    text = f"{base}front taper,10,0.037,0.060,0.85,{weight}\n"
    if agrees:
        assert parse_table(text, "x", "x").segments[0].density == pytest.approx(850)
    else:
        assert "disagrees" in refusal(text)


def test_weight_and_grains_per_foot_need_no_diameter_to_disagree() -> None:
    base = (
        "part,length [ft],front diameter [in],rear diameter [in],weight [gr],"
        "grains per foot [gr/ft]\nsink tip,10.0,0.041,0.041,"
    )
    assert parse_table(base + "140.0,14.00", "x", "x").segments[0].length == 10 * FOOT
    assert "disagrees" in refusal(base + "140.0,14.30")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line.csv is empty; expected a heading row such as part, length [ft], front"),
        ("# only a remark\n", "line.csv is empty; expected a heading row"),
        (f"{HEADING}\nbelly,abc,.06,.06,.85,\n", "line.csv, row 2, column “length [ft]”: “abc”"),
        (f"{HEADING}\nbelly,abc,.06,.06,.85,\n", "a length such as 13 ft 6 in"),
        (f"{HEADING}\n\n#\nbelly,,.06,.06,.85,\n", "row 4, column “length [ft]”: found nothing"),
        (f"{HEADING}\nbelly,8\n", "row 2, column “front diameter [in]”: found nothing"),
        (f"{HEADING}\nbelly,8,.06,.06,,\n", "row 2, column “density [g/cm^3]”: found nothing"),
        (
            f"{HEADING}\ntail,8,.06,.06,.85,\n",
            "“tail” is no part of a line: type one of tip, front taper",
        ),
        (f"{HEADING}\n,8,.06,.06,.85,\n", "column “part”: found nothing, expected one of tip"),
        (f"{HEADING}\nbelly,-8,.06,.06,.85,\n", "“-8” is below zero"),
        (f"{HEADING}\nbelly,0,.06,.06,.85,\n", "“0” is zero"),
        (f"{HEADING}\nbelly,nan,.06,.06,.85,\n", "“nan” is not a number"),
        (f"{HEADING}\nbelly,8 gr,.06,.06,.85,\n", "is a weight where a length is expected"),
        (f"{HEADING}\nbelly,8,6,.06,.85,\n", "“6” is thicker than any fly line"),
        (f'{HEADING}\nbelly,"8,5",.06,.06,.85,\n', "found “8,5”, expected a number with a decimal"),
        (
            "part,length [m],front diameter [mm],rear diameter [mm],density [kg/m^3]\n"
            'belly,"8,5",2,2,870\n',
            "(a decimal comma needs semicolons or tabs between cells)",
        ),
        (f"{HEADING}\nbelly,8,.06,.06,.85,cut, then dyed\n", "row 2, column 7: found “then dyed”"),
        (
            f'{HEADING}\nbelly,8,.06,.06,.85,"cut\n',
            "row 2: found quotation marks that do not match",
        ),
        (HEADING.replace("density [g/cm^3],", ""), "found no column for the weight"),
        (HEADING.replace("part,", ""), "found no column “part”"),
        (HEADING.replace("length [ft],", ""), "found no column “length [ft]”"),
        (HEADING + ",part", "found two columns for “part”"),
        (HEADING.replace("[ft]", ""), "row 1, column “length”: found no unit; expected one in"),
        (HEADING.replace("[ft]", "[gr]"), "“gr” is a unit of a weight, not of a length"),
        (HEADING.replace("[ft]", "[cubit]"), "“cubit” is not a unit that is known"),
        (HEADING + ",colour", "column “colour”: found this name; expected one of part, length"),
        (
            "part,length [ft],front diameter [in],rear diameter [in],weight [gr]\n"
            "belly,8,.06,.06,4800\n",
            "column “weight [gr]”: found “4800”, which with the length and diameters makes",
        ),
    ],
)
def test_a_refusal_names_file_row_column_found_and_expected(text: str, words: str) -> None:
    assert words in refusal(text)


def test_rows_are_counted_as_an_editor_counts() -> None:
    text = (
        f'# one\n\n{HEADING}\nbelly,8,.06,.06,.85,"two\nlines, # not a remark"\n# x\ntip,x,1,1,1\n'
    )
    assert "row 7, column “length [ft]”" in refusal(text)


def test_a_heading_alone_is_a_line_without_segments() -> None:
    assert parse_table(HEADING, "x", "x").segments == ()


def test_what_is_not_text(tmp_path: Path) -> None:
    path = tmp_path / "line.csv"
    for content, words in (
        (HEADING.encode("utf-16"), "UTF-16"),
        (HEADING.encode() + b"\nbelly \xc2\xbd\xe9", "row 2, character 8: found the byte E9, "),
        (b"\xef\xbb\xbfpart\n\xff", "row 2, character 1: found the byte FF, "),
        (b"a\0b", "is not text"),
    ):
        path.write_bytes(content)
        with pytest.raises(FileProblem, match=words):
            read_line(path)


def test_what_a_preview_asks_and_is_told() -> None:
    text = (
        "Part;Length;front diameter [in];rear dia;density [g/cc];colour\nbelly;8,5;,06;60;,85;red\n"
    )
    layout = lay_out(text)
    assert (layout.marks.separator, layout.marks.decimal, len(layout.rows)) == (";", ",", 1)
    assert layout.rows[0].cells == ("belly", "8,5", ",06", "60", ",85", "red")
    assert [bool(heading.question) for heading in layout.headings] == [
        False, True, False, True, False, True,
    ]  # fmt: skip
    assert layout.headings[1].column is Column.LENGTH
    with pytest.raises(TableProblem) as caught:
        layout.check()
    assert "row 1, column “Length”: found no unit" in str(caught.value.sentence)
    with pytest.raises(FileProblem, match=r"x\.csv, row 1, .*no unit"):
        read_with(layout, "x.csv", "x")
    decided = (
        layout.decide(1, Column.LENGTH, unit_named("m"))
        .decide(3, Column.REAR_DIAMETER, unit_named("thou"))
        .decide(5, None)
    )
    decided.check()
    (segment,) = read_with(decided, "x.csv", "x").segments
    assert (segment.length, segment.note) == (8.5, "")
    assert segment.rear_diameter == pytest.approx(0.06 * 0.0254)
    with pytest.raises(ValueError, match="needs a unit"):
        layout.decide(1, Column.LENGTH)


@st.composite
def segments(draw: st.DrawFn) -> Segment:
    return Segment(
        part=draw(st.sampled_from(Part)),
        length=draw(st.floats(0.01, 60.0)),
        front_diameter=draw(st.floats(0.0001, 0.01)),
        rear_diameter=draw(st.floats(0.0001, 0.01)),
        density=draw(st.floats(200.0, 19000.0)),
        note=draw(
            st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=9)
        ).strip(),
    )


@given(st.lists(segments(), max_size=4), st.sampled_from(System), st.sampled_from(["csv", "tsv"]))
def test_what_is_written_reads_back(
    tmp_path_factory: pytest.TempPathFactory, made: list[Segment], system: System, suffix: str
) -> None:
    path = tmp_path_factory.getbasetemp() / f"line.{suffix}"
    line = line_of("line-1", "line", tuple(made))
    write_line(line, path, system)
    back = read_line(path)
    assert len(back.segments) == len(made)
    for one, other in zip(made, back.segments, strict=True):
        assert (one.part, one.note) == (other.part, other.note)
        for name in ("length", "front_diameter", "rear_diameter", "density"):
            assert getattr(other, name) == pytest.approx(getattr(one, name), rel=1e-9)


def test_what_is_written_has_no_more_digits_than_it_needs() -> None:
    line = line_of("a", "a", (Segment(Part.TIP, 10 * FOOT, 0.037 * 0.0254, 0.0015240, 850.0),))
    assert line_rows(line) == [HEADING.split(","), ["tip", "10", "0.037", "0.06", "0.85", ""]]
    assert line_rows(line, System.METRIC)[1] == ["tip", "3.048", "0.9398", "1.524", "0.85", ""]


def test_a_core_is_written_as_the_mean_density() -> None:
    cored = Segment(Part.BELLY, 3.0, 0.001, 0.002, 800.0, Core(0.0008, 1150.0))
    line = line_of("a", "a", (cored,))
    (back,) = parse_table("\n".join(",".join(row) for row in line_rows(line)), "x", "x").segments
    assert back.core is None
    assert Profile.of(line_of("a", "a", (back,))).total_mass == pytest.approx(
        Profile.of(line).total_mass, rel=1e-9
    )


WHOLE = f'{HEADING}\n{ROW}"a, b"\nbelly,8.5,.06,0.06,0.85,\n'


@given(st.integers(0, len(WHOLE)), st.integers(0, 30), st.text(max_size=6))
def test_no_mangled_table_raises_anything_else(start: int, length: int, junk: str) -> None:
    try:
        line = parse_table(WHOLE[:start] + junk + WHOLE[start + length :], "line.csv", "x")
    except FileProblem:
        return
    assert len(line.segments) <= len(junk) + 3
