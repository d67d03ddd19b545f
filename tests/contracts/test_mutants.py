"""The changes that the mutation run makes by name are of code that still stands."""

from tests.mutation.run import NAMED, ROOT


def test_each_named_change_finds_its_text_once() -> None:
    for name, file, old, new in NAMED:
        text = (ROOT / "taperlab" / file).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{name}: {file}"
        assert old != new, name
