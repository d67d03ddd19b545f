"""Whatever was done to a bench, its file can be read again."""

from hypothesis import given
from hypothesis import strategies as st

from taperlab.edits.edited import Refused
from taperlab.files import native
from tests.strategies import benches, done_to


@given(st.data(), benches(least_lines=1, least_rows=1))
def test_a_bench_after_any_edits_is_saved_and_read_alike(data: st.DataObject, bench) -> None:
    for _ in range(data.draw(st.integers(1, 3))):
        edit, arguments, options = data.draw(done_to(bench))
        try:
            bench = edit(bench, *arguments, **options).bench
        except Refused:
            continue
    assert native.loads(native.dumps(bench), "x") == bench
