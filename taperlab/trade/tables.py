"""Reading the tables that come with the program."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from typing import Any

from taperlab.shipped import resource


@lru_cache(maxsize=32)
def read_table(*parts: str) -> dict[str, Any]:
    """A shipped TOML file below resources/, for example ``read_table("tables", "x.toml")``.

    Read once; callers must not change what they are given.
    """
    return tomllib.loads(resource(*parts).read_text(encoding="utf-8"))
