"""No module needs one that needs it: a circle means that neither can be read first."""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter

import grimp


def test_there_is_no_circle_of_imports() -> None:
    """Imports inside functions and those for types alone count like any other."""
    graph = grimp.build_graph("taperlab", cache_dir=None)
    needs = {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as circle:
        raise AssertionError(" → ".join(reversed(circle.args[1]))) from None
