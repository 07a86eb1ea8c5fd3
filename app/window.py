"""The window: panes around the sheets, and the methods its actions call. What is planned lives on the desk."""

from __future__ import annotations

from html import escape
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QMainWindow,
    QMenuBar,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from app.actions import TOOLS, make_actions, make_menus
from app.commands.books import BookCommands
from app.commands.gear import GearCommands
from app.commands.gigs import GigCommands
from app.commands.outward import OutwardCommands
from app.commands.sheet import SheetCommands
from app.commands.steps import StepCommands, inside
from app.commands.view import ViewCommands
from app.desk import Desk
from app.dialogs.book_files import BookFiles
from app.dialogs.disk_watch import DiskWatch
from app.dialogs.dropped import book_among, sheets_among
from app.dialogs.kept_work import KeptWork, state_folder
from app.panes.details import DetailsPane
from app.panes.dress import Wardrobe
from app.panes.findings import FindingsPane
from app.panes.forms.fields import button_text
from app.panes.shelf import Shelf
from app.panes.strip import Strip
from app.panes.top_bar import TopBar
from app.panes.welcome import Welcome
from app.settings import Settings
from app.sheets import SHEETS, SheetStack
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.rules.rule import Thing

ROOM_FOR_WORKING = 230


class MainWindow(QMainWindow):
    """The program's one window, around one desk."""

    def __init__(
        self, desk: Desk, settings: Settings | None = None, wardrobe: Wardrobe | None = None,
        *, state: Path | None = None,
    ) -> None:
        super().__init__()
        self.desk = desk
        self.settings = settings if settings is not None else Settings()
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        if wardrobe is None:
            wardrobe = Wardrobe(app, self.settings, self)
            wardrobe.wear()
        self.wardrobe = wardrobe
        self.files = BookFiles(desk, self.settings, self)
        self.kept = KeptWork(desk, state if state is not None else state_folder(), self)
        self.watch = DiskWatch(desk, self)
        self.books = BookCommands(self)
        self.outward = OutwardCommands(self)
        self.steps = StepCommands(self)
        self.gigs = GigCommands(self)
        self.gear = GearCommands(self)
        self.sheet = SheetCommands(self)
        self.view = ViewCommands(self)
        self.actions_by_id = make_actions(self)
        self._is_laid_out = False
        self._to_fit = {"patch", "stage"}
        self.setAcceptDrops(True)
        self.setMinimumSize(900, 560)
        self.resize(1366, 768)
        self._build()
        self._listen()
        self._restore()
        self._retitle()
        self._bar.show_gigs(desk)

    # -- parts -------------------------------------------------------------------------------

    def _build(self) -> None:
        menus = QMenuBar()
        self.menus = make_menus(menus, self.actions_by_id)
        self._bar = TopBar(menus, [self.actions_by_id[name] for name in TOOLS])
        self.shelf = Shelf(self.desk.catalogue)
        self.details = DetailsPane(self.desk)
        self.findings = FindingsPane(self.desk)
        self.strip = Strip()
        self.sheets = SheetStack(self.desk, self.wardrobe.theme, self.settings)
        self.sheets.made.connect(self._hear)
        self.sheets.show_sheet(SHEETS[0].id)
        for sheet in SHEETS:
            self._bar.add_sheet(self.tr(sheet.tab))
        middle = QWidget()
        self._middle = QVBoxLayout(middle)
        self._middle.setContentsMargins(0, 0, 0, 0)
        self._middle.setSpacing(0)
        self.welcome = Welcome(self._middle, self.files, self.kept, self)
        self._centre = QSplitter(Qt.Orientation.Vertical)
        self._centre.addWidget(self.sheets)
        self._centre.addWidget(self.findings)
        self._middle.addWidget(self._centre, 1)
        self._across = QSplitter(Qt.Orientation.Horizontal)
        for widget in (self.shelf, middle, self.details):
            self._across.addWidget(widget)
        self._shape_splitters()
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._bar)
        column.addWidget(self._across, 1)
        column.addWidget(self.strip)
        self.setCentralWidget(page)
        for action in self.actions_by_id.values():
            self.addAction(action)

    def _shape_splitters(self) -> None:
        for splitter in (self._centre, self._across):
            splitter.setChildrenCollapsible(False)
            splitter.setHandleWidth(1)
        self.shelf.setMinimumWidth(170)
        self.details.setMinimumWidth(240)
        self.findings.setMinimumHeight(96)
        self.sheets.setMinimumSize(360, 220)
        self._across.setStretchFactor(1, 1)
        self._centre.setStretchFactor(0, 1)
        self._across.setSizes([208, 848, 310])
        self._centre.setSizes([516, 166])

    def _listen(self) -> None:
        desk = self.desk
        desk.changed.connect(self._on_changed)
        desk.titled.connect(self._retitle)
        desk.refused.connect(lambda sentence: self.strip.say(sentence, "refused"))
        self.files.said.connect(self.strip.say)
        self.files.busy.connect(self._on_busy)
        self.files.recent_changed.connect(self._fill_recent)
        self.watch.changed.connect(lambda: self.welcome.tell_changed(desk))
        self.shelf.wanted.connect(self.add_gear)
        self.details.asked.connect(lambda name: self.actions_by_id[name].trigger())
        self.findings.show_things.connect(self.show_things)
        self.findings.opened.connect(self._give_room)
        self._bar.gig_chosen.connect(self._on_gig)
        self._bar.sheet_chosen.connect(self._on_sheet)
        self.wardrobe.changed.connect(self.sheets.set_theme)
        self._fill_recent()
        self.menus["steps"].aboutToShow.connect(self.steps.fill_steps)
        self.actions_by_id["letter"].setChecked(self.settings.paper == "Letter")
        self.actions_by_id["feet"].setChecked(self.settings.feet)
        self.actions_by_id[f"face-{self.wardrobe.choice}"].setChecked(True)
        self.actions_by_id["over-none"].setChecked(True)

    def showEvent(self, event: QShowEvent) -> None:
        """Lay the panes out as they were left, once the window has its size."""
        super().showEvent(event)
        if self._is_laid_out:
            return
        self._is_laid_out = True
        for part, widget in (("across", self._across), ("centre", self._centre)):
            state = self.settings.layout(part)
            if state is not None:
                widget.restoreState(state)
        QTimer.singleShot(0, self, self._fit)

    def _restore(self) -> None:
        shape = self.settings.layout("window")
        if shape is not None:
            self.restoreGeometry(shape)

    # -- what the desk tells -----------------------------------------------------------------

    def _on_changed(self, old: object, new: object) -> None:
        self._bar.show_gigs(self.desk)
        if not self.desk.history.past and not self.desk.history.future:
            self._to_fit = {"patch", "stage"}
            QTimer.singleShot(0, self, self._fit)
        if getattr(old, "gear", None) != getattr(new, "gear", None):
            self.shelf.stock(self.desk.catalogue)

    def _hear(self, _name: str, sheet: QWidget) -> None:
        """Let a sheet ask for actions of the window, and tell of what it goes back from by itself."""
        if hasattr(sheet, "asked"):
            sheet.asked.connect(lambda name: self.actions_by_id[name].trigger())
        if hasattr(sheet, "printed"):
            sheet.printed.connect(self._on_printed)
        if hasattr(sheet, "overlaid"):
            sheet.overlaid.connect(lambda kind: self.actions_by_id[f"over-{kind}"].setChecked(True))

    def _on_printed(self, on: bool) -> None:
        self.actions_by_id["print-view"].setChecked(on)
        self.strip.say(self.tr("The page as it will be printed; Esc goes back to the plan") if on else "", "")

    def _on_sheet(self, index: int) -> None:
        self.sheets.show_sheet(SHEETS[index].id)
        QTimer.singleShot(0, self, self._fit)

    def _fit(self) -> None:
        """Show the whole sheet in view once after another book came onto the desk."""
        if self.sheet_in_view in self._to_fit and self.isVisible():
            self._to_fit.discard(self.sheet_in_view)
            self.sheets.currentWidget().zoom_to_fit()

    def _give_room(self) -> None:
        """Make the findings tall enough to read an opened one."""
        least, whole = ROOM_FOR_WORKING, self._centre.height()
        if self.findings.height() < least:
            self._centre.setSizes([whole - least, least])

    def _on_busy(self, on: bool) -> None:
        self.strip.busy(on)
        self.actions_by_id["packet"].setEnabled(not on)

    def _on_gig(self, gig_id: str) -> None:
        self.commit_typing()
        self.desk.select(())
        self.desk.show_gig(gig_id)
        self._to_fit = {"patch", "stage"}
        self._fit()

    def _retitle(self) -> None:
        path = self.desk.path
        name = path.name if path else self.desk.book.title or self.tr("new book")
        self.setWindowTitle(f"{name}[*] – Loomwright")
        self.setWindowModified(not self.desk.is_saved)
        self.strip.aside(self.tr("not saved") if not self.desk.is_saved else "")
        for name, words in (("undo", self.desk.history.undo_words), ("redo", self.desk.history.redo_words)):
            action = self.actions_by_id[name]
            action.setEnabled(bool(words))
            verb = self.tr("&Undo {}") if name == "undo" else self.tr("&Redo {}")
            action.setText(verb.format(button_text(inside(words))).strip())
            action.setIconText(self.tr("Undo") if name == "undo" else self.tr("Redo"))

    def _fill_recent(self) -> None:
        menu = self.menus["recent"]
        menu.clear()
        for path in self.settings.recent:
            action = menu.addAction(button_text(path.name))
            action.setToolTip(escape(str(path)))
            action.triggered.connect(lambda _on=False, path=path: self.books.open_path(path))
        menu.setEnabled(bool(self.settings.recent))

    # -- what commands ask -------------------------------------------------------------------

    def commit_typing(self) -> None:
        """Let the details hand in what was typed."""
        if self.details.form is not None:
            self.details.form.hand_in()

    def show_sheet(self, name: str) -> None:
        """Bring a sheet to the front."""
        self._bar.tabs.setCurrentIndex([one.id for one in SHEETS].index(name))

    @property
    def sheet_in_view(self) -> str:
        """The name of the sheet at the front."""
        return self.sheets.in_view

    # -- gear and places ---------------------------------------------------------------------

    def add_gear(self, gear_id: str) -> None:
        """Add a unit of a gear type at a free place of the sheet in view."""
        if self.sheet_in_view == "stage":
            stage = self.sheets.page("stage")
            stage.drop_gear(gear_id, stage.mapToScene(stage.viewport().rect().center()))
            return
        rig_id, whole = self.desk.rig_id, self.desk.catalogue
        unit = unit_of(self.desk.book, rig_id, gear_id, whole)
        if self.desk.edit(self.tr("Add {}").format(unit.name), lambda book: add_unit(book, rig_id, unit, whole)):
            self.show_things((Thing("unit", unit.id),))

    def show_things(self, things: tuple[Thing, ...]) -> None:
        """Select things and bring them into view."""
        self.desk.select(things)
        if things and not hasattr(self.sheets.currentWidget(), "reveal"):
            self.show_sheet("patch")
        page = self.sheets.currentWidget()
        if hasattr(page, "reveal"):
            page.reveal(things)

    # -- strips ------------------------------------------------------------------------------

    def greet(self, *, first: bool) -> None:
        """Offer work left behind, or open the sample on the very first start."""
        self.welcome.greet(self.desk, self.settings, first=first)

    def tell_trouble(self) -> None:
        """Say that something went wrong in the program, and keep the work."""
        kept = self.kept.keep()
        where = self.tr("your work is kept at {}").format(kept) if kept else self.tr("your work is still here")
        self.strip.say(self.tr("Something went wrong inside Loomwright; {}").format(where), "refused")

    # -- the window itself -------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Welcome a book, or the spreadsheets of one."""
        if book_among(_dropped(event)) is not None or sheets_among(_dropped(event)):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the book, or the import with the spreadsheets filled in, once the drop is over."""
        book, sheets = book_among(_dropped(event)), sheets_among(_dropped(event))
        if book is not None:
            QTimer.singleShot(0, self, lambda: self.books.open_path(book))
        elif sheets:
            QTimer.singleShot(0, self, lambda: self.books.import_sheets(sheets))
        else:
            return
        event.acceptProposedAction()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave only if nothing is lost."""
        self.commit_typing()
        if not self.files.may_leave():
            event.ignore()
            return
        self.files.finish()
        self.kept.drop()
        self.settings.keep_layout("window", self.saveGeometry())
        self.settings.keep_layout("across", self._across.saveState())
        self.settings.keep_layout("centre", self._centre.saveState())
        event.accept()

    def changeEvent(self, event: QEvent) -> None:
        """Keep the strip's height with the type."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "strip"):
            self.strip.setFixedHeight(self.fontMetrics().height() + 12)


def _dropped(event: QDropEvent) -> list[Path]:
    urls = event.mimeData().urls() if event.mimeData().hasUrls() else []
    return [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
