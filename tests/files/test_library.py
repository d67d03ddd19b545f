"""What is kept for every bench: by name, under a lock, and never written over when damaged."""

from dataclasses import replace
from pathlib import Path

import pytest

from taperlab.files.library import Library, change_library, library_file, load_library
from taperlab.files.problem import FileProblem
from taperlab.model.line import Joint, JointKind, Loop, LoopKind, Style
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part
from taperlab.model.stock import Stock

ROD = Rod("rod-3", "Alder, 13 ft", 3.96, windows=(Window(Style.SCANDI, 0.027, 0.03),))
STOCK = Stock(
    key="stock-1",
    name="Belly, ½",
    part=Part.BELLY,
    length=3.0,
    front_diameter=0.002,
    rear_diameter=0.002,
    density=900.0,
)
BRAIDED = Loop(LoopKind.BRAIDED, mass=1e-4)
WELD = Joint(JointKind.LAPPED_WELD, overlap=0.02)


def test_what_is_kept_comes_back_in_order() -> None:
    assert load_library() == Library()
    for thing in (ROD, STOCK, BRAIDED, WELD, replace(ROD, name="Birch")):
        change_library(lambda library, thing=thing: library.keeping(thing))
    kept = load_library()
    assert [rod.name for rod in kept.rods] == ["Alder, 13 ft", "Birch"]
    assert replace(kept.rods[0], key="rod-3") == ROD
    assert replace(kept.stock[0], key="stock-1") == STOCK
    assert kept.loops == (BRAIDED,)
    assert kept.joints == (WELD,)


def test_one_of_the_same_name_makes_room_and_goes() -> None:
    longer = replace(ROD, length=4.27)
    change_library(lambda library: library.keeping(ROD))
    change_library(lambda library: library.keeping(longer))
    (kept,) = load_library().rods
    assert kept.length == 4.27
    change_library(lambda library: library.keeping(BRAIDED).keeping(BRAIDED))
    assert load_library().loops == (BRAIDED,)
    change_library(lambda library: library.without(longer).without(BRAIDED))
    assert load_library() == Library()


@pytest.mark.parametrize("content", ["{", "[]", '{"rods": [{"name": "x"}]}', '{"loops": 5}'])
def test_a_damaged_library_is_told_of_and_not_written_over(content: str) -> None:
    change_library(lambda library: library.keeping(ROD))
    library_file().write_text(content, encoding="utf-8")
    with pytest.raises(FileProblem, match=r"library\.json"):
        load_library()
    with pytest.raises(FileProblem):
        change_library(lambda library: library.keeping(ROD))
    assert library_file().read_text(encoding="utf-8") == content


def test_what_another_program_keeps_there_stays(private_folders: Path) -> None:
    change_library(lambda library: library.keeping(ROD))
    text = library_file().read_text(encoding="utf-8")
    library_file().write_text(text.replace("{", '{"later": [1],', 1), encoding="utf-8")
    change_library(lambda library: library.keeping(WELD))
    assert load_library().extra == {"later": [1]}
