"""The sheets of the window as one table, and the stack that makes each when it is first looked at.

A sheet is a widget built on the desk. It may have ``set_theme(theme)``, ``reveal(things)`` to bring a place into
view, ``zoom_to_fit()``, and ``paper_changed()`` if it shows paper; what it lacks is not asked of it.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from app.desk import Desk
from app.settings import Settings
from app.theme import Theme


class Sheet(Struct, frozen=True):
    """One sheet: id, the word on its tab with the key to press, what it shows, and its maker."""

    id: str
    words: str
    tip: str
    make: Callable[[Desk, Theme, Settings], QWidget]

    @property
    def tab(self) -> str:
        """The word on the tab."""
        return self.words.replace("&", "")


def _patch(desk: Desk, theme: Theme, _settings: Settings) -> QWidget:
    from app.canvas.patch_view import PatchSheet

    return PatchSheet(desk, theme)


def _stage(desk: Desk, theme: Theme, settings: Settings) -> QWidget:
    from app.canvas.stage_view import StageSheet

    return StageSheet(desk, theme, settings=settings)


def _inputs(desk: Desk, _theme: Theme, _settings: Settings) -> QWidget:
    from app.tables.inputs import InputsSheet

    return InputsSheet(desk)


def _levels(desk: Desk, _theme: Theme, _settings: Settings) -> QWidget:
    from app.tables.levels import LevelsSheet

    return LevelsSheet(desk)


def _power(desk: Desk, _theme: Theme, _settings: Settings) -> QWidget:
    from app.tables.power import PowerSheet

    return PowerSheet(desk)


def _fit(desk: Desk, theme: Theme, _settings: Settings) -> QWidget:
    from app.fit_sheet.sheet import FitSheet

    return FitSheet(desk, theme)


def _carry(desk: Desk, _theme: Theme, _settings: Settings) -> QWidget:
    from app.tables.carry import CarrySheet

    return CarrySheet(desk)


def _packet(desk: Desk, _theme: Theme, settings: Settings) -> QWidget:
    from app.panes.packet_preview import PacketSheet

    return PacketSheet(desk, settings)


SHEETS: tuple[Sheet, ...] = (
    Sheet("patch", "&Patch", "What is connected to what", _patch),
    Sheet("stage", "&Stage", "Where everything stands, to scale", _stage),
    Sheet("inputs", "&Inputs", "The input list as it will be printed", _inputs),
    Sheet("levels", "&Levels", "What arrives where, and what to dial", _levels),
    Sheet("power", "Po&wer", "What each plug draws and hangs on", _power),
    Sheet("fit", "&Fit", "Where each hand-off lands, and by what", _fit),
    Sheet("carry", "&Carry", "What to pack, and what is short", _carry),
    Sheet("packet-sheet", "Pac&ket", "The pages as they will be printed", _packet),
)


class SheetStack(QStackedWidget):
    """The sheets behind one another. ``made(id, sheet)`` when one is made."""

    made = Signal(str, QWidget)

    def __init__(self, desk: Desk, theme: Theme, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._theme = theme
        self._settings = settings
        self._made: dict[str, QWidget] = {}

    @property
    def in_view(self) -> str:
        """The id of the sheet at the front."""
        return next((name for name, page in self._made.items() if page is self.currentWidget()), SHEETS[0].id)

    def page(self, name: str) -> QWidget:
        """Return a sheet, made now if nobody has looked at it yet."""
        if name not in self._made:
            sheet = next(one for one in SHEETS if one.id == name)
            self._made[name] = sheet.make(self._desk, self._theme, self._settings)
            self.addWidget(self._made[name])
            self.made.emit(name, self._made[name])
        return self._made[name]

    def show_sheet(self, name: str) -> None:
        """Bring a sheet to the front."""
        self.setCurrentWidget(self.page(name))

    def paper_changed(self) -> None:
        """Tell the sheets that show paper that it is another, or its unit of length."""
        for page in self._made.values():
            if hasattr(page, "paper_changed"):
                page.paper_changed()

    def set_theme(self, theme: Theme) -> None:
        """Dress every sheet."""
        self._theme = theme
        for page in self._made.values():
            if hasattr(page, "set_theme"):
                page.set_theme(theme)
