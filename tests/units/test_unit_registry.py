from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pint
import pytest

import taperlab.units
from taperlab.units import registry
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.show import from_unit, to_unit
from taperlab.units.vocabulary import SYMBOLS, find_unit, unit_named
from tests.kinds import KINDS


def test_pint_waits_for_a_unit_that_is_not_shown() -> None:
    code = (
        "import sys\n"
        "from taperlab.units.kinds import WEIGHT, System\n"
        "from taperlab.units.parse import parse\n"
        "from taperlab.units.show import show\n"
        "from tests.kinds import KINDS\n"
        "for kind in KINDS.values():\n"
        "    for system in System:\n"
        "        for unit in (True, False):\n"
        "            parse(show(kind.example, kind, system, unit=unit), kind, system)\n"
        "assert 'pint' not in sys.modules\n"
        "parse('1 oz', WEIGHT, System.US)\n"
        "assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_factors_written_down_are_those_of_pint() -> None:
    shown = {
        (unit_named(kind.shown(system).unit).expression, kind.dimension.si)
        for kind in KINDS.values()
        for system in System
    }
    assert len(shown) > 10
    for expression, si in shown:
        assert registry.from_pint(expression, si) == registry.conversion(expression, si), expression


def test_only_the_registry_module_mentions_pint_in_an_import() -> None:
    room = Path(taperlab.units.__file__).parent
    importing = {
        path.name
        for path in room.glob("*.py")
        if any(
            line.strip().startswith(("import pint", "from pint"))
            for line in path.read_text(encoding="utf-8").splitlines()
        )
    }
    assert importing == {"registry.py"}


def test_there_is_one_registry() -> None:
    assert registry.registry() is registry.registry()


def test_factors_are_exact_fractions() -> None:
    grain = registry.conversion("grain", "kilogram")
    assert grain == registry.Conversion(Fraction(6479891, 10**11), Fraction(0))
    assert type(grain.factor) is Fraction


def test_a_factor_between_unlike_things_is_an_error() -> None:
    with pytest.raises(pint.DimensionalityError):
        registry.conversion("grain", "meter")


def test_every_unit_of_the_vocabulary_measures_what_it_says() -> None:
    for symbol in SYMBOLS:
        unit = unit_named(symbol)
        assert unit.symbol == symbol
        assert registry.conversion(unit.expression, unit.dimension.si).factor > 0


@pytest.mark.parametrize(
    ("words", "symbol"),
    [
        ("gr", "gr"),
        ("GR", "gr"),  # pint takes GR for a gas constant
        ("g", "g"),
        ("mil", "thou"),  # pint takes mil for an angle
        ("c", "°C"),  # pint takes c for the speed of light
        ("C", "°C"),  # and C for the coulomb
        ("F", "°F"),  # and F for the farad
        ("grains per foot", "gr/ft"),
        ("gr / ft", "gr/ft"),
        ("g/cm^3", "g/cm³"),
        ("G/CM3", "g/cm³"),
        ("ips", "in/s"),
        ("in/sec", "in/s"),
        ("deg C", "°C"),
    ],
)
def test_words_name_the_unit_a_line_builder_means(words: str, symbol: str) -> None:
    assert unit_named(words).symbol == symbol


@pytest.mark.parametrize(
    "words", ["T", "#", "gm", "gr/gr/ft", "gr/°C", "m m", "g r", "stone", "MPa·s", "_", "ft/gr"]
)
def test_other_words_name_nothing(words: str) -> None:
    assert find_unit(words) is None
    with pytest.raises(KeyError):
        unit_named(words)


def test_every_unit_that_a_kind_names_is_known_and_fits() -> None:
    for name, kind in KINDS.items():
        named = {*kind.units, *(kind.shown(system).unit for system in System)}
        for symbol in named:
            assert unit_named(symbol).dimension is kind.dimension, (name, symbol)


@pytest.mark.parametrize("grains", [0.1, 1.0, 1 / 3, 54.0, 210.0, 480.7, 1050.0, 9000.0])
def test_grains_to_grams_and_back(grains: float) -> None:
    grams = to_unit(from_unit(grains, "gr", WEIGHT), "g", WEIGHT)
    again = to_unit(from_unit(grams, "g", WEIGHT), "gr", WEIGHT)
    assert again == pytest.approx(grains, rel=1e-12)
