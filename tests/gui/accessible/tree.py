"""What a screen reader finds in a window, as text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QApplication, QWidget

from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.start import make_window
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.catalogue import Entry
from taperlab.shipped import sample

FOLDER = Path(__file__).parent

Role = QAccessible.Role

HOLDERS = {Role.Client, Role.LayeredPane, Role.Pane, Role.Splitter}
"""Without a name these only hold others, which are told in their place."""

BOXES = {Role.Border, Role.Grouping}

UNTOLD = {Role.Grip, Role.ScrollBar, Role.Separator}
"""For the mouse alone: no key stops there."""


@dataclass(frozen=True)
class Node:
    """One thing that is told: its role, name and value, what state it is in, what lies in it."""

    role: QAccessible.Role
    name: str
    value: str
    states: tuple[str, ...]
    is_stop: bool
    children: tuple[Node, ...]

    def lines(self) -> Iterator[str]:
        """It and all that lies in it, indented."""
        value = f" = {self.value}" if self.value and self.value != self.name else ""
        states = f" ({', '.join(self.states)})" if self.states else ""
        yield f"{self.role.name} “{self.name}”{value}{states}"
        for each in self.children:
            yield from (f"  {line}" for line in each.lines())

    def all(self) -> Iterator[Node]:
        """It and all that lies in it."""
        yield self
        for each in self.children:
            yield from each.all()


def tree(widget: QWidget) -> Node:
    """All that is told of a widget and of what is seen in it."""
    told = QAccessible.queryAccessibleInterface(widget)
    return Node(told.role(), _name(told), "", (), False, tuple(_inside(told)))


def page_tree(entry: Entry) -> Node:
    """What is told of a page on its sample."""
    window = make_window(Preferences(theme=Theme.LIGHT, welcome_seen=True), keeps=False)
    try:
        window.resize(1280, 800)
        window.file.put_in_hand(read_bench(sample(entry.sample)), None)
        window.show_page(entry.key)
        window.show()
        _come_to_rest(window)
        return tree(window.pages.current)
    finally:
        window.document.undo_stack.setClean()
        window.close()


def text_of(entry: Entry) -> str:
    """That, as it is kept in a file."""
    return "\n".join(page_tree(entry).lines()) + "\n"


def _come_to_rest(window: Window) -> None:
    for _ in range(4):
        QApplication.processEvents()
        window.jobs.settle()


def _inside(told: QAccessibleInterface) -> Iterator[Node]:
    children = (told.child(at) for at in range(told.childCount()))
    return (node for each in children if each is not None for node in _nodes(each))


def _nodes(told: QAccessibleInterface) -> Iterator[Node]:
    state, role, name = told.state(), told.role(), _name(told)
    if state.invisible or role in UNTOLD:
        return
    frame = isinstance(told.object(), QWidget) and told.object().objectName() == "rule"
    holds = role in HOLDERS and not state.focusable
    if not name and (holds or frame or (role is Role.StaticText and not state.focusable)):
        yield from _inside(told)
        return
    value = _plain(told.text(QAccessible.Text.Value))
    states = tuple(_states(state, role))
    yield Node(role, name, value, states, bool(state.focusable), tuple(_inside(told)))


def _states(state: QAccessible.State, role: QAccessible.Role) -> Iterator[str]:
    if state.disabled:
        yield "disabled"
    if state.checkable:
        yield "checked" if state.checked else "not checked"
    if state.selected and role is not Role.Cell:
        yield "selected"


def _name(told: QAccessibleInterface) -> str:
    return _plain(told.text(QAccessible.Text.Name))


def _plain(text: str) -> str:
    return " ".join(text.split())
