"""``taperlab measure``: its promised keys, its sums, its files and its refusals."""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from taperlab.cli import Screen, run
from taperlab.files.opening import read_any
from taperlab.files.stations import read_stations
from taperlab.physics.profile import Profile

GRAIN, FOOT, INCH = 64.79891e-6, 0.3048, 0.0254
Capture = pytest.CaptureFixture[str]


def nothing(*_: object) -> Any:
    raise AssertionError("nothing here needs a screen")


SCREEN = Screen(nothing, nothing, nothing, nothing)

# A taper from 0.040 in to 0.100 in over 20 ft, then level to 32 ft, of 0.85 g/cm^3 all along.
LENGTH, TAPER, THIN, THICK, DENSITY = 32.0, 20.0, 0.040, 0.100, 850.0


def diameter(feet: float) -> float:
    return THIN + (THICK - THIN) * min(feet, TAPER) / TAPER


def running(feet: float) -> float:
    """Grains ahead of a place, by the volume of a frustum and a cylinder."""
    taper, level = min(feet, TAPER) * FOOT, max(0.0, feet - TAPER) * FOOT
    d1, d2 = THIN * INCH, diameter(feet) * INCH
    cone = math.pi / 12.0 * (d1**2 + d1 * d2 + d2**2) * taper
    return (cone + math.pi / 4.0 * d2**2 * level) * DENSITY / GRAIN


def table(path: Path, places: list[float], *, heading: str = "distance [ft],diameter [in]") -> Path:
    rows = [f"{place:g},{round(diameter(place) / 0.0005) * 0.0005:.4f}" for place in places]
    path.write_text("\n".join([heading, *rows]) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def stations(tmp_path: Path) -> Path:
    return table(tmp_path / "head.csv", [float(each) for each in range(0, 33, 2)])


def usual() -> tuple[str, ...]:
    return "--weight", f"{running(LENGTH):.1f} gr", "--length", "32 ft"


def told(capsys: Capture, *arguments: str) -> dict[str, Any]:
    assert run(["measure", *arguments, "--json"], SCREEN) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    found: dict[str, Any] = json.loads(captured.out)
    return found


def refused(capsys: Capture, *arguments: str, status: int = 2) -> str:
    assert run(["measure", *arguments], SCREEN) == status
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.startswith("taperlab: ")
    assert captured.err.count("\n") == 1
    return captured.err


def test_the_promised_keys(capsys: Capture, stations: Path) -> None:
    found = told(capsys, str(stations), *usual(), "--at", "10 ft")
    assert found["schema"] == 1
    assert set(found) >= {"total", "segments", "breakpoints", "at", "left_out", "remarks"}
    assert set(found["total"]) >= {"weight_gr", "weight_pm_gr", "length_ft"}
    for each in found["segments"]:
        assert set(each) >= {
            "part",
            "length_ft",
            "front_diameter_in",
            "rear_diameter_in",
            "density_g_cm3",
            "density_pm_g_cm3",
            "weight_gr",
        }
    assert all(set(each) >= {"position_ft", "pm_ft"} for each in found["breakpoints"])
    (read,) = found["at"]
    assert set(read) >= {
        "position_ft",
        "diameter_in",
        "diameter_pm_in",
        "gr_per_ft",
        "gr_per_ft_pm",
        "running_gr",
        "running_pm_gr",
    }
    assert all(isinstance(each, str) for each in found["remarks"])


def test_the_line_is_what_was_measured(capsys: Capture, stations: Path) -> None:
    found = told(capsys, str(stations), *usual(), "--at", "7 ft", "--at", "25 ft")
    assert found["total"]["weight_gr"] == pytest.approx(running(LENGTH), abs=0.5)
    assert found["total"]["length_ft"] == 32.0
    lengths = [each["length_ft"] for each in found["segments"]]
    assert sum(lengths) == pytest.approx(32.0)
    (corner,) = found["breakpoints"]
    assert abs(corner["position_ft"] - TAPER) <= corner["pm_ft"]
    for each, place in zip(found["at"], (7.0, 25.0), strict=True):
        assert each["position_ft"] == pytest.approx(place)
        assert abs(each["diameter_in"] - diameter(place)) <= each["diameter_pm_in"]
        assert abs(each["running_gr"] - running(place)) <= each["running_pm_gr"]
        per_foot = math.pi / 4 * (diameter(place) * INCH) ** 2 * DENSITY * FOOT / GRAIN
        assert abs(each["gr_per_ft"] - per_foot) <= each["gr_per_ft_pm"]
        assert each["gr_per_ft_pm"] < 0.1 * per_foot
        assert each["measured"] is True


def test_a_weighed_section_sharpens_what_is_known(capsys: Capture, stations: Path) -> None:
    alone = told(capsys, str(stations), *usual(), "--at", "10 ft")
    weighed = ("--weighed", "0", "12 ft", f"{running(12.0):.1f} gr")
    both = told(capsys, str(stations), *usual(), *weighed, "--at", "10 ft")
    assert both["at"][0]["running_pm_gr"] < alone["at"][0]["running_pm_gr"]


def test_a_person_who_knows_the_extrusion_is_taken_at_their_word(
    capsys: Capture, stations: Path
) -> None:
    alone = told(capsys, str(stations), *usual(), "--at", "10 ft")
    even = told(capsys, str(stations), *usual(), "--material", "even", "--at", "10 ft")
    assert even["at"][0]["gr_per_ft_pm"] < 0.7 * alone["at"][0]["gr_per_ft_pm"]


def test_beyond_the_last_station_nothing_is_measured(capsys: Capture, tmp_path: Path) -> None:
    short = table(tmp_path / "short.csv", [float(each) for each in range(0, 27, 2)])
    found = told(capsys, str(short), *usual(), "--at", "26 ft", "--at", "31 ft")
    near, far = found["at"]
    assert near["measured"] is True
    assert far["measured"] is False
    assert far["diameter_pm_in"] > 3.0 * near["diameter_pm_in"]


def test_a_slip_is_left_out_and_named(capsys: Capture, tmp_path: Path, stations: Path) -> None:
    rows = stations.read_text(encoding="utf-8").splitlines()
    at = next(i for i, row in enumerate(rows) if row.startswith("10,"))
    rows[at] = "10,0.0170"
    slipped = tmp_path / "slipped.csv"
    slipped.write_text("\n".join(rows) + "\n", encoding="utf-8")
    found = told(capsys, str(slipped), *usual(), "--at", "10 ft")
    assert found["left_out"] == [{"distance_ft": 10.0, "diameter_in": 0.017}]
    (read,) = found["at"]
    assert abs(read["diameter_in"] - diameter(10.0)) <= read["diameter_pm_in"]


def test_repeats_stand_in_further_columns_or_rows(tmp_path: Path) -> None:
    path = tmp_path / "repeats.csv"
    path.write_text(
        "distance [ft];diameter [mm];diameter [mm]\n0;1,00;\n2;1,10;1,12\n2;1,11;\n",
        encoding="utf-8",
    )
    found = [(each.distance, each.readings) for each in read_stations(path)]
    assert found == [
        (0.0, (pytest.approx(0.001),)),
        (pytest.approx(2 * FOOT), (pytest.approx(0.0011), pytest.approx(0.00112))),
        (pytest.approx(2 * FOOT), (pytest.approx(0.00111),)),
    ]


@pytest.mark.parametrize("name", ["line.taperlab", "line.csv"])
def test_the_line_is_written(capsys: Capture, stations: Path, tmp_path: Path, name: str) -> None:
    out = tmp_path / name
    found = told(capsys, str(stations), *usual(), "--out", str(out))
    line = read_any(out).current_line
    assert line is not None
    mass = Profile.of(line).total_mass / GRAIN
    assert mass == pytest.approx(found["total"]["weight_gr"], rel=1e-6)


def test_the_text_says_weight_and_what_to_measure_next(capsys: Capture, stations: Path) -> None:
    assert run(["measure", str(stations), *usual(), "--at", "10 ft"], SCREEN) == 0
    text = capsys.readouterr().out
    assert f"{running(LENGTH):.1f} gr" in text
    assert "10 ft" in text


def test_a_diameter_that_runs_to_nothing_has_no_answer(capsys: Capture, tmp_path: Path) -> None:
    few = tmp_path / "few.csv"
    few.write_text("distance [ft],diameter [in]\n2,0.08\n4,0.07\n", encoding="utf-8")
    assert "nearer to the ends" in refused(capsys, str(few), *usual(), status=3)
    assert run(["measure", str(few), *usual(), "--json"], SCREEN) == 3
    found = json.loads(capsys.readouterr().out)
    assert found["total"] == {"weight_gr": None, "weight_pm_gr": None, "length_ft": 32.0}
    assert found["segments"] == []


BAD = {
    "distance [ft],thickness [in]\n0,0.04\n": "row 1, column “thickness [in]”",
    "distance [ft],diameter\n0,0.04\n": "found no unit",
    "distance [ft],diameter [ft³]\n0,0.04\n": "row 1",
    "distance [ft],distance [ft]\n0,0.04\n": "one column of distances",
    "distance [ft],diameter [in]\n": "holds no station",
    "distance [ft],diameter [in]\n0,wide\n": "row 2, column “diameter [in]”",
    "distance [ft],diameter [in]\n0,-0.04\n": "row 2",
    "distance [ft],diameter [in]\n,0.04\n": "row 2, column “distance [ft]”",
    "distance [ft],diameter [in]\n4,\n": "row 2, column “diameter [in]”",
    "distance [ft],diameter [in]\n0,0.04,0.05\n": "row 2",
}


@pytest.mark.parametrize(("text", "words"), BAD.items(), ids=range(len(BAD)))
def test_a_bad_table_gets_one_line(capsys: Capture, tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    said = refused(capsys, str(path), *usual())
    assert words in said
    assert "bad.csv" in said


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--weight", "500 gr"), "--length"),
        (("--length", "32 ft"), "--weight"),
        (("--length", "wide", "--weight", "500 gr"), "--length"),
        (("--length", "32 ft", "--weight", "-5"), "--weight"),
        ((*usual(), "--at", "40 ft"), "--at"),
        ((*usual(), "--weighed", "0", "40 ft", "100 gr"), "--weighed"),
        ((*usual(), "--weighed", "12 ft", "4 ft", "100 gr"), "farther"),
        ((*usual(), "--tape-step", "0"), "zero"),
        ((*usual(), "--out", "line.txt"), "line.txt"),
    ],
)
def test_bad_options_get_one_line(
    capsys: Capture, stations: Path, options: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, str(stations), *options)
