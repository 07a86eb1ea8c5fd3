"""What drawn things have in common for assistive tools: a widget as a list, each thing it draws a leaf of it."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from functools import cache

from PySide6.QtCore import QObject, QRect
from PySide6.QtGui import QAccessible, QAccessibleEvent, QAccessibleInterface, QWindow
from PySide6.QtWidgets import QAccessibleWidget, QWidget


class SpokenList(QAccessibleWidget):
    """A widget as the list of what it draws. Who makes one keeps it as ``voice``; the toolkit does not."""

    def __init__(self, drawn: QWidget) -> None:
        super().__init__(drawn, QAccessible.Role.List, drawn.accessibleName())
        _install()
        self.drawn = drawn
        self._children: dict[Hashable, SpokenLeaf] = {}

    # -- what a list fills in ----------------------------------------------------------------

    def stops(self) -> Sequence[Hashable]:
        """Return what there is to come to now, in reading order."""
        raise NotImplementedError

    def here(self) -> Hashable | None:
        """Return what the keyboard is at."""
        raise NotImplementedError

    def leaf(self, stop: Hashable) -> SpokenLeaf:
        """Return what speaks for one thing."""
        raise NotImplementedError

    # -- what Qt asks ------------------------------------------------------------------------

    def childCount(self) -> int:
        return len(self.stops())

    def child(self, index: int) -> QAccessibleInterface | None:
        known = self.stops()
        if not 0 <= index < len(known):
            return None
        if known[index] not in self._children:
            self._children[known[index]] = self.leaf(known[index])
        return self._children[known[index]]

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        known = self.stops()
        return known.index(child.stop) if isinstance(child, SpokenLeaf) and child.stop in known else -1

    def focusChild(self) -> QAccessibleInterface | None:
        at, known = self.here(), self.stops()
        return self.child(known.index(at)) if at in known else None


class SpokenLeaf(QAccessibleInterface):
    """One drawn thing, without children."""

    def __init__(self, within: SpokenList, stop: Hashable) -> None:
        super().__init__()
        self.within = within
        self.stop = stop

    # -- what a leaf fills in ----------------------------------------------------------------

    def spoken(self) -> tuple[str, str]:
        """Return its name, and what else there is to say of it."""
        raise NotImplementedError

    def is_selected(self) -> bool:
        """Return whether it is chosen."""
        raise NotImplementedError

    def is_focused(self) -> bool:
        """Return whether the keyboard is at it."""
        return self.within.here() == self.stop and self.within.drawn.hasFocus()

    # -- what Qt asks ------------------------------------------------------------------------

    def isValid(self) -> bool:
        return self.stop in self.within.stops()

    def object(self) -> QObject | None:
        return None

    def window(self) -> QWindow | None:
        return self.within.drawn.window().windowHandle()

    def parent(self) -> QAccessibleInterface:
        return self.within

    def child(self, index: int) -> QAccessibleInterface | None:
        return None

    def childAt(self, x: int, y: int) -> QAccessibleInterface | None:
        return None

    def childCount(self) -> int:
        return 0

    def indexOfChild(self, child: QAccessibleInterface) -> int:
        return -1

    def text(self, kind: QAccessible.Text) -> str:
        name, about = self.spoken()
        return {QAccessible.Text.Name: name, QAccessible.Text.Description: about}.get(kind, "")

    def setText(self, kind: QAccessible.Text, text: str) -> None:
        """Names are changed on the sheet, not through assistive tools."""

    def rect(self) -> QRect:
        raise NotImplementedError

    def role(self) -> QAccessible.Role:
        return QAccessible.Role.ListItem

    def state(self) -> QAccessible.State:
        state = QAccessible.State()
        state.focusable = state.selectable = True
        state.selected, state.focused = self.is_selected(), self.is_focused()
        return state


def tell(drawn: QWidget, words: str, stops: Sequence[Hashable], at: Hashable) -> None:
    """Let assistive tools say what the keyboard has come to, if it is something new."""
    if words == drawn.accessibleDescription():
        return
    drawn.setAccessibleDescription(words)
    if not QAccessible.isActive():
        return
    QAccessible.updateAccessibility(QAccessibleEvent(drawn, QAccessible.Event.DescriptionChanged))
    if at in stops:
        event = QAccessibleEvent(drawn, QAccessible.Event.Focus)
        event.setChild(stops.index(at))
        QAccessible.updateAccessibility(event)


@cache
def _install() -> None:
    QAccessible.installFactory(_made_for)


def _made_for(_key: str, thing: QObject) -> QAccessibleInterface | None:
    return getattr(thing, "voice", None)
