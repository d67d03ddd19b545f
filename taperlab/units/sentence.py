"""A sentence as a value: a template with typed quantities in it.

Whoever has something to say writes the template once, where it arises; it is rendered at the edge
(window, paper, command line) in the person's units and language::

    Sentence("Row {row} would be {length} long.", row=2, length=Length(1.2))

Names that people gave, such as a rod's, go in as text and come out as they are. The names in
braces may come in another order in another language. Templates are what gettext extracts, so they
are always literals.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from pathlib import Path

from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.language import later, tr, trn
from taperlab.units.show import NO_BREAK, show, show_eighths, show_mark
from taperlab.units.words import word


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value [SI] of one kind inside a sentence.

    signed: it is a difference, so its sign is always written. unit: whether its unit is written.
    """

    kind: Kind
    value: float
    signed: bool = False
    unit: bool = True

    def text(self, system: System) -> str:
        """The value in the units of a system."""
        return show(self.value, self.kind, system, unit=self.unit, signed=self.signed)


Length = partial(Quantity, kinds.LENGTH)
Distance = partial(Quantity, kinds.DISTANCE)
RodLength = partial(Quantity, kinds.ROD_LENGTH)
ShortLength = partial(Quantity, kinds.SHORT_LENGTH)
Diameter = partial(Quantity, kinds.DIAMETER)
FineLength = partial(Quantity, kinds.FINE_LENGTH)
Weight = partial(Quantity, kinds.WEIGHT)
SmallWeight = partial(Quantity, kinds.SMALL_WEIGHT)
Density = partial(Quantity, kinds.DENSITY)
WeightPerLength = partial(Quantity, kinds.WEIGHT_PER_LENGTH)
SinkRate = partial(Quantity, kinds.SINK_RATE)
Temperature = partial(Quantity, kinds.TEMPERATURE)
Salinity = partial(Quantity, kinds.SALINITY)
Share = partial(Quantity, kinds.SHARE)
Ratio = partial(Quantity, kinds.RATIO)
Current = partial(Quantity, kinds.CURRENT)
Depth = partial(Quantity, kinds.DEPTH)
Duration = partial(Quantity, kinds.DURATION)
LineSpeed = partial(Quantity, kinds.LINE_SPEED)


@dataclass(frozen=True, slots=True)
class OnTape:
    """A length [m] as a tape shows it: ``27 ft 3 5/8 in``; millimetres up to a metre, metres on.

    signed: it is a difference, and its sign is always written.
    """

    value: float
    signed: bool = False

    def text(self, system: System) -> str:
        """The length to the nearest 1/8 in, millimetre, or in metres."""
        if system is System.METRIC and abs(self.value) >= 1.0:
            return show(self.value, kinds.LENGTH, system, signed=self.signed)
        text = show_eighths(self.value, system)
        above = self.signed and self.value > 0.0 and text != show_eighths(0.0, system)
        return f"+{text}" if above else text


@dataclass(frozen=True, slots=True)
class Mark:
    """A length [m] to be marked off with a tape of such steps [m], in what that tape shows."""

    value: float
    step: float

    def text(self, system: System) -> str:
        """The length in the tape's own units, whatever the rest is shown in."""
        return show_mark(self.value, self.step)


@dataclass(frozen=True, slots=True)
class Number:
    """A number without a unit, to so many decimals."""

    value: float
    decimals: int = 0

    def text(self, system: System) -> str:
        """The number."""
        return f"{self.value:.{self.decimals}f}"


@dataclass(frozen=True, slots=True)
class Several:
    """Things one after the other: ``a, b and c``, or ``a, b or c``."""

    things: tuple[Value, ...]
    last: str = later("{others} and {last}")

    def text(self, system: System) -> str:
        """The things, commas between."""
        said = [_said(thing, system) for thing in self.things]
        if len(said) < 2:
            return "".join(said)
        return tr(self.last).format(others=", ".join(said[:-1]), last=said[-1])


def listed(*things: Value) -> Several:
    """Things one after the other, with commas alone: ``a, b, c``."""
    return Several(things, later("{others}, {last}"))


@dataclass(frozen=True, slots=True)
class Apart:
    """``said`` where two quantities read apart in a system, else ``alike``."""

    low: Quantity | OnTape
    high: Quantity | OnTape
    said: Sentence
    alike: Sentence

    def text(self, system: System) -> str:
        """Whichever of the two it is."""
        same = self.low.text(system) == self.high.text(system)
        return render(self.alike if same else self.said, system)


@dataclass(frozen=True, slots=True)
class Unbroken:
    """What stays on one line where a text is broken into lines."""

    value: Value

    def text(self, system: System) -> str:
        """The value, with spaces that hold."""
        return _said(self.value, system).replace(" ", NO_BREAK)


def any_of(things: Iterable[Value]) -> Several:
    """Things of which one is meant: ``a, b or c``."""
    return Several(tuple(things), later("{others} or {last}"))


@dataclass(frozen=True, slots=True, init=False)
class Sentence:
    """A template, and what stands in it. ``many`` and ``count``: the form for several things."""

    template: str
    values: tuple[tuple[str, Value], ...] = ()
    many: str = ""
    count: int = 1

    def __init__(self, template: str, /, **values: Value) -> None:
        object.__setattr__(self, "template", template)
        object.__setattr__(self, "values", tuple(values.items()))
        object.__setattr__(self, "many", "")
        object.__setattr__(self, "count", 1)

    def __str__(self) -> str:
        """In feet, inches and grains, for logs and messages to programmers."""
        return render(self, System.US)

    def __bool__(self) -> bool:
        """Whether anything is said."""
        return bool(self.template)


Value = (
    Sentence
    | Quantity
    | OnTape
    | Mark
    | Number
    | Several
    | Apart
    | Unbroken
    | StrEnum
    | Path
    | str
    | int
)
"""What may stand in a sentence: never a bare float, whose unit nobody would know."""


class Told(Exception):  # noqa: N818 - what a person is told, not a fault of the program
    """What stops something. ``sentence`` says what, where and why, ready to be shown.

    Raised with that sentence, or with its template, a literal here too, and its values.
    """

    def __init__(self, said: Sentence | str, /, **values: Value) -> None:
        self.sentence = Sentence(said, **values) if isinstance(said, str) else said
        super().__init__(self.sentence)


def in_a_row(values: Iterable[Value]) -> Sentence:
    """What there is of these, one after the other with dots between; nothing of none."""
    said = [each for each in values if each]
    if not said:
        return NOTHING
    whole = Sentence("{first}", first=said[0])
    for each in said[1:]:
        whole = Sentence("{first} · {next}", first=whole, next=each)
    return whole


def one_after_another(sentences: Iterable[Sentence]) -> Sentence:
    """What there is of these sentences, one behind the other; nothing of none."""
    said = [each for each in sentences if each]
    if not said:
        return NOTHING
    whole = said[0]
    for each in said[1:]:
        whole = Sentence("{said} {more}", said=whole, more=each)
    return whole


def counted(one: str, many: str, count: int, /, **values: Value) -> Sentence:
    """A sentence about ``count`` things, which stands in it as ``{count}``."""
    sentence = Sentence(one, count=count, **values)
    object.__setattr__(sentence, "many", many)
    object.__setattr__(sentence, "count", count)
    return sentence


def of_table(text: str) -> Sentence:
    """A text of a table, ours or shipped, looked up as it stands there; it has no braces."""
    return Sentence(text)


NOTHING = of_table("")
"""Nothing to say."""


def verbatim(text: str) -> Sentence:
    """A text that is not ours to translate, such as what the system says of a file."""
    return Sentence("{text}", text=text) if text else NOTHING


def render(sentence: Sentence, system: System) -> str:
    """The sentence in the units of a system and the language that is read."""
    if sentence.many:
        template = trn(sentence.template, sentence.many, sentence.count)
    elif sentence.template == "{text}":
        template = sentence.template
    else:
        template = tr(sentence.template)
    if not sentence.values:
        return template.replace("{{", "{").replace("}}", "}")
    return template.format_map({name: _said(value, system) for name, value in sentence.values})


def _said(value: Value, system: System) -> str:
    if isinstance(value, Sentence):
        return render(value, system)
    if isinstance(value, Quantity | OnTape | Mark | Number | Several | Apart | Unbroken):
        return value.text(system)
    if isinstance(value, StrEnum):
        return word(value)
    return str(value)
