"""The dialogs the window can be photographed with, each in the states it can be in. Nothing here takes a picture."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtWidgets import QApplication, QDialog, QListWidget

from app.picture_states import crowd, open_sample

if TYPE_CHECKING:
    from app.window import MainWindow

REPLY = "48 V: per channel\nDI boxes: 3\nMixer: 24 channels\nSound limiter: no"
NO_DATE = "14 of August"
BAD_UNITS = "name,gear,count\nPiano,stage piano,one\nOrgan,no such thing,1\n,88-key stage piano,1\n"
BAD_PATCH = "from,to,cable\nPiano L,House 1,6.35 mm TS lead\nPiano,Nowhere,\n"

Make = Callable[["MainWindow"], QDialog]


class Shown(Struct, frozen=True):
    """A dialog as it is to be seen: its name, its maker, and the book it is opened on."""

    name: str
    make: Make
    enter: Callable[[MainWindow], object] = open_sample


def _simple(module: str, name: str, **options: bool) -> Make:
    """Return a maker of a dialog on the desk."""
    return lambda window: getattr(import_module(f"app.dialogs.{module}"), name)(window.desk, window, **options)


def _empty(window: MainWindow) -> None:
    window.desk.new()


def _gear(window: MainWindow, *, new: bool = False) -> QDialog:
    from app.dialogs.gear_editor import GearEditor

    gear = None if new else window.desk.catalogue.gear_type("di-active")
    return GearEditor(window.desk, window.wardrobe.theme, gear, window)


def _reply(window: MainWindow, text: str = "") -> QDialog:
    from app.dialogs.reply_form import ReplyForm

    form = ReplyForm(window.desk, window)
    form.text.setPlainText(text)
    form.look()
    return form


def _lifelines(window: MainWindow) -> QDialog:
    from app.dialogs.lifelines import LifelinesDialog

    dialog = LifelinesDialog(window.desk, window)
    while dialog.rows is None:
        QApplication.processEvents()
    return dialog


def _search(window: MainWindow, query: str = "") -> QDialog:
    from app.dialogs.command_search import CommandSearch

    dialog = CommandSearch(window.actions_by_id.values(), window)
    dialog.query.setText(query)
    return dialog


def _guide(window: MainWindow, chapter: int = 0) -> QDialog:
    from app.dialogs.guide import Guide

    guide = Guide(window.wardrobe, window)
    guide.findChild(QListWidget).setCurrentRow(chapter)
    return guide


def _import(window: MainWindow) -> QDialog:
    from app.dialogs.import_wizard import ImportWizard

    return ImportWizard(window.desk.shipped, window)


def _bad_import(window: MainWindow) -> QDialog:
    """Fill the import with a plan that does not hold, and try."""
    from app.dialogs.import_wizard import ImportWizard

    folder = Path(window.kept.folder)
    folder.mkdir(parents=True, exist_ok=True)
    wizard = ImportWizard(window.desk.shipped, window)
    for part, text in (("units", BAD_UNITS), ("patch", BAD_PATCH)):
        path = folder / f"{part}.csv"
        path.write_text(text, encoding="utf-8")
        wizard.files[part].edit.setText(str(path))
    wizard.show()
    wizard.yes.click()
    return wizard


def _bad_gig(window: MainWindow) -> QDialog:
    from app.dialogs.gig_form import GigDialog

    dialog = GigDialog(window.desk, window)
    dialog.date.setText(NO_DATE)
    dialog.show()
    dialog.yes.click()
    return dialog


def _about(window: MainWindow) -> QDialog:
    from app.dialogs.about import About

    return About(window)


def _unsaved(window: MainWindow) -> QDialog:
    from app.dialogs.questions import unsaved_box

    return unsaved_box(window, "Summer tour.loom")


_HOUSE, _STOCK = _simple("house_form", "HouseForm"), _simple("stock_form", "StockForm")
_GIG, _NEW_GIG = _simple("gig_form", "GigDialog"), _simple("gig_form", "GigDialog", new=True)
_SEND, _PLANS = _simple("send_form", "SendForm"), _simple("plans", "PlansDialog")
_COMPARE = _simple("compare_form", "CompareForm")

DIALOGS: tuple[Shown, ...] = (
    Shown("house", _HOUSE),
    Shown("house-empty", _HOUSE, _empty),
    Shown("stock", _STOCK),
    Shown("stock-empty", _STOCK, _empty),
    Shown("stock-crowded", _STOCK, crowd),
    Shown("gig", _GIG),
    Shown("gig-wrong", _bad_gig),
    Shown("new-gig", _NEW_GIG),
    Shown("new-gig-empty", _NEW_GIG, _empty),
    Shown("gear", _gear),
    Shown("new-gear", partial(_gear, new=True)),
    Shown("send", _SEND),
    Shown("send-empty", _SEND, _empty),
    Shown("reply", partial(_reply, text=REPLY)),
    Shown("reply-empty", _reply, _empty),
    Shown("reply-wrong", partial(_reply, text="Hello,\nwe shall see on the day.")),
    Shown("compare", _COMPARE, partial(open_sample, sample="tour")),
    Shown("compare-alone", _COMPARE),
    Shown("plans", _PLANS, partial(open_sample, sample="tour")),
    Shown("plans-empty", _PLANS, _empty),
    Shown("lifelines", _lifelines),
    Shown("lifelines-empty", _lifelines, _empty),
    Shown("lifelines-crowded", _lifelines, crowd),
    Shown("search", _search),
    Shown("search-none", partial(_search, query="sing along")),
    *(Shown(f"guide-{chapter + 1}", partial(_guide, chapter=chapter)) for chapter in range(7)),
    Shown("import", _import),
    Shown("import-wrong", _bad_import),
    Shown("unsaved", _unsaved),
    Shown("about", _about),
)
"""Every dialog in every state it can be in. Dialogs with tabs are shown tab by tab."""
