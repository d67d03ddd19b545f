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
from taperlab.physics.frustum import Taper

UNIT = re.compile(r"\[[^\]]+\]")


def functions() -> Iterator[FunctionType]:
    for module_info in pkgutil.iter_modules(taperlab.physics.__path__, "taperlab.physics."):
        module = importlib.import_module(module_info.name)
        for name, member in vars(module).items():
            if name.startswith("_") or getattr(member, "__module__", "") != module.__name__:
                continue
            if inspect.isfunction(member):
                yield member
            elif inspect.isclass(member):
                for method_name, method in vars(member).items():
                    if inspect.isfunction(method) and not method_name.startswith("_"):
                        yield method


@pytest.mark.parametrize(
    "function", list(functions()), ids=lambda each: f"{each.__module__}.{each.__qualname__}"
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


def test_what_a_taper_is_made_of_is_described_with_its_unit() -> None:
    described = (inspect.getdoc(Taper) or "").split("Parameters\n----------\n")[1].splitlines()
    assert [line.partition(" : ")[0] for line in described] == list(
        inspect.signature(Taper).parameters
    )
    assert all(UNIT.search(line) for line in described)
