"""Docstrings that name units are true to the signature."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from types import FunctionType

import pytest

import taperlab.physics

UNIT = re.compile(r"\[[^\]]+\]")


def functions() -> Iterator[FunctionType]:
    for module_info in pkgutil.iter_modules(taperlab.physics.__path__, "taperlab.physics."):
        module = importlib.import_module(module_info.name)
        for name, member in vars(module).items():
            if (
                inspect.isfunction(member)
                and member.__module__ == module.__name__
                and not name.startswith("_")
            ):
                yield member


@pytest.mark.parametrize(
    "function", list(functions()), ids=lambda each: f"{each.__module__}.{each.__name__}"
)
def test_every_parameter_of_a_formula_is_described_with_its_unit(function: FunctionType) -> None:
    text = inspect.getdoc(function) or ""
    if "Parameters\n----------" not in text:
        # Short helpers may say it in prose, but must then name a unit or a type all the same.
        annotations = inspect.signature(function)
        numbers = [p for p in annotations.parameters.values() if "Array" in str(p.annotation)]
        assert not numbers or UNIT.search(text), "takes arrays but names no unit"
        return
    section = text.split("Parameters\n----------\n")[1].split("\n\n")[0]
    entries = re.split(r"\n(?=\S)", section)
    described = {}
    for entry in entries:
        names, _, meaning = entry.partition(" : ")
        for name in names.split(","):
            described[name.strip()] = meaning
    expected = list(inspect.signature(function).parameters)
    assert list(described) == expected
    for name, meaning in described.items():
        annotation = str(inspect.signature(function).parameters[name].annotation)
        if "Array" in annotation or annotation == "float":
            assert UNIT.search(meaning), f"{name} has no unit"
