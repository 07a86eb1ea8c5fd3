"""The window: panes around the sheets, and the methods its actions call. What is planned lives on the desk."""

from __future__ import annotations

from html import escape
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QMainWindow,
    QMenuBar,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.actions import TOOLS, make_actions, make_menus
from app.desk import Desk
from app.dialogs.book_files import BookFiles
from app.dialogs.kept_work import KeptWork, state_folder
from app.panes.details import DetailsPane
from app.panes.dress import Wardrobe
from app.panes.findings import FindingsPane
from app.panes.forms.fields import button_text
from app.panes.inputs import InputsSheet
from app.panes.shelf import Shelf
from app.panes.strip import Strip
from app.panes.top_bar import TopBar
from app.panes.welcome import Welcome
from app.settings import FaceChoice, Settings
from app.theme import Theme
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.rules.rule import Thing

ROOM_FOR_WORKING = 230
SHEETS: tuple[tuple[str, str], ...] = (("patch", "Patch"), ("stage", "Stage"), ("inputs", "Inputs"))


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
        self.wardrobe = wardrobe if wardrobe is not None else Wardrobe(app, self.settings, self)
        self.files = BookFiles(desk, self.settings, self)
        self.kept = KeptWork(desk, state if state is not None else state_folder(), self)
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
        self.sheets = QStackedWidget()
        self._pages: dict[str, QWidget] = _make_sheets(self.desk, self.wardrobe.theme)
        for name, words in SHEETS:
            self.sheets.addWidget(self._pages[name])
            self._bar.add_sheet(self.tr(words))
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
        self.shelf.wanted.connect(self.add_gear)
        self.details.asked.connect(lambda name: self.actions_by_id[name].trigger())
        self.findings.show_things.connect(self.show_things)
        self.findings.opened.connect(self._give_room)
        self._bar.gig_chosen.connect(self._on_gig)
        self._bar.sheet_chosen.connect(self._on_sheet)
        self.wardrobe.changed.connect(self._wear)
        self._fill_recent()
        self.actions_by_id["letter"].setChecked(self.settings.paper == "Letter")
        self.actions_by_id["feet"].setChecked(self.settings.feet)
        self.actions_by_id[f"face-{self.wardrobe.choice}"].setChecked(True)

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

    def _on_sheet(self, index: int) -> None:
        self.sheets.setCurrentIndex(index)
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
            action.setText(verb.format(button_text(_inside(words))).strip())
            action.setIconText(self.tr("Undo") if name == "undo" else self.tr("Redo"))

    def _fill_recent(self) -> None:
        menu = self.menus["recent"]
        menu.clear()
        for path in self.settings.recent:
            action = menu.addAction(button_text(path.name))
            action.setToolTip(escape(str(path)))
            action.triggered.connect(lambda _on=False, path=path: self._leaving(lambda: self.files.open(path)))
        menu.setEnabled(bool(self.settings.recent))

    def _wear(self, theme: object) -> None:
        for page in self._pages.values():
            if hasattr(page, "set_theme"):
                page.set_theme(theme)

    # -- what actions call -------------------------------------------------------------------

    def commit_typing(self) -> None:
        """Let the details hand in what was typed."""
        if self.details.form is not None:
            self.details.form.hand_in()

    def _leaving(self, step: object) -> None:
        self.commit_typing()
        if step() is not False:
            self.welcome.put_away()

    def new_book(self) -> None:
        """Begin with an empty plan."""
        self._leaving(self.files.new)

    def open_book(self) -> None:
        """Open a book the user picks."""
        self._leaving(self.files.open)

    def open_path(self, path: Path) -> bool:
        """Open a book by path, after asking about unsaved work."""
        self.commit_typing()
        return self.files.open(path)

    def open_sample(self) -> None:
        """Open a copy of the shipped book, after asking about unsaved work."""
        self.commit_typing()
        if self.files.may_leave() and self.files.open_sample():
            self.strip.say(self.tr("This is a copy of the sample; save it wherever you like"))

    def save_book(self) -> bool:
        """Save."""
        self.commit_typing()
        return self.files.save()

    def save_book_as(self) -> bool:
        """Save somewhere else."""
        self.commit_typing()
        return self.files.save_as()

    def export_packet(self) -> None:
        """Write the packet."""
        self.commit_typing()
        self.files.export()

    def import_sheets(self) -> None:
        """Make a book from spreadsheets, all or nothing."""
        from app.dialogs.import_wizard import ImportWizard

        self.commit_typing()
        wizard = ImportWizard(self.desk.shipped, self)
        if self._run(wizard) and wizard.book is not None and self.files.may_leave():
            self.files.take_unsaved(wizard.book)
            self.strip.say(self.tr("Imported; look it through and save it"))

    def undo(self) -> None:
        """Take the last step back and say which."""
        self.commit_typing()
        words = self.desk.history.undo_words
        if words:
            self.desk.undo()
            self.strip.say(self.tr("Taken back: {}").format(_inside(words)))

    def redo(self) -> None:
        """Take the step again and say which."""
        words = self.desk.history.redo_words
        if words:
            self.desk.redo()
            self.strip.say(self.tr("Done again: {}").format(_inside(words)))

    def widen_sheet(self, on: bool) -> None:
        """Give the whole window to the sheet, or show the panes again."""
        for pane in (self.shelf, self.details, self.findings):
            pane.setVisible(not on)

    def find_gear(self) -> None:
        """Go to the shelf's search."""
        self.actions_by_id["wide"].setChecked(False)
        self.shelf.focus_search()

    def edit_gig(self) -> None:
        """Open the gig's form."""
        from app.dialogs.gig_form import GigDialog

        self.commit_typing()
        self._run(GigDialog(self.desk, self))

    def new_gig(self) -> None:
        """Bind a rig to a house."""
        from app.dialogs.gig_form import GigDialog

        self.commit_typing()
        self._run(GigDialog(self.desk, self, new=True))

    def edit_house(self) -> None:
        """Open the house's form."""
        from app.dialogs.house_form import HouseForm

        self.commit_typing()
        self._run(HouseForm(self.desk, self))

    def show_sheet(self, name: str) -> None:
        """Bring a sheet to the front."""
        self._bar.tabs.setCurrentIndex([one for one, _ in SHEETS].index(name))

    @property
    def sheet_in_view(self) -> str:
        """The name of the sheet at the front."""
        return SHEETS[self.sheets.currentIndex()][0]

    def show_patch(self) -> None:
        """Show the Patch sheet."""
        self.show_sheet("patch")

    def show_stage(self) -> None:
        """Show the Stage sheet."""
        self.show_sheet("stage")

    def show_inputs(self) -> None:
        """Show the Inputs sheet."""
        self.show_sheet("inputs")

    def go_to_findings(self) -> None:
        """Put the focus on the worst finding."""
        self.actions_by_id["wide"].setChecked(False)
        self.findings.focus_first()

    def go_to_details(self) -> None:
        """Put the focus in the details."""
        form = self.details.form
        if form is not None:
            form.setFocus(Qt.FocusReason.ShortcutFocusReason)
            form.focusNextChild()

    def go_to_sheet(self) -> None:
        """Put the focus on the sheet."""
        self.sheets.currentWidget().setFocus(Qt.FocusReason.ShortcutFocusReason)

    def set_letter(self, on: bool) -> None:
        """Choose the packet's paper."""
        self.settings.paper = "Letter" if on else "A4"

    def set_feet(self, on: bool) -> None:
        """Choose the packet's unit of length."""
        self.settings.feet = on

    def wear_paper(self) -> None:
        """Light."""
        self._choose_face("paper")

    def wear_blackout(self) -> None:
        """Dark."""
        self._choose_face("blackout")

    def wear_system(self) -> None:
        """As the system."""
        self._choose_face("system")

    def _choose_face(self, face: FaceChoice) -> None:
        self.wardrobe.choose(face)
        self.actions_by_id[f"face-{face}"].setChecked(True)

    def show_about(self) -> None:
        """Show what the program is and does not vouch for."""
        from app.dialogs.about import About

        self._run(About(self))

    def _run(self, dialog: QDialog) -> bool:
        accepted = dialog.exec() == QDialog.DialogCode.Accepted
        dialog.deleteLater()
        return accepted

    # -- gear and places ---------------------------------------------------------------------

    def add_gear(self, gear_id: str) -> None:
        """Add a unit of a gear type at a free place of the sheet in view."""
        if self.sheet_in_view == "stage":
            stage = self._pages["stage"]
            stage.drop_gear(gear_id, stage.mapToScene(stage.viewport().rect().center()))
            return
        rig_id, whole = self.desk.rig_id, self.desk.catalogue
        unit = unit_of(self.desk.book, rig_id, gear_id, whole)
        if self.desk.edit(self.tr("Add {}").format(unit.name), lambda book: add_unit(book, rig_id, unit, whole)):
            self.show_things((Thing("unit", unit.id),))

    def show_things(self, things: tuple[Thing, ...]) -> None:
        """Select things and bring them into view."""
        self.desk.select(things)
        if self.sheet_in_view == "inputs" and things:
            self.show_patch()
        page = self.sheets.currentWidget()
        if hasattr(page, "reveal"):
            page.reveal(things)

    # -- strips ------------------------------------------------------------------------------

    def greet(self, *, first: bool) -> None:
        """Offer work left behind, or open the sample on the very first start."""
        self.welcome.greet(self.desk, self.settings, first=first)

    def show_first_steps(self) -> None:
        """Show three sentences of what to try above the sheet."""
        self.welcome.first_steps(self.settings)

    def tell_trouble(self) -> None:
        """Say that something went wrong in the program, and keep the work."""
        kept = self.kept.keep()
        where = self.tr("your work is kept at {}").format(kept) if kept else self.tr("your work is still here")
        self.strip.say(self.tr("Something went wrong inside Loomwright; {}").format(where), "refused")

    # -- the window itself -------------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Welcome one book."""
        if _dropped_book(event) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the book, once the drop is over."""
        path = _dropped_book(event)
        if path is not None:
            event.acceptProposedAction()
            QTimer.singleShot(0, self, lambda: self.open_path(path))

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


def _make_sheets(desk: Desk, theme: Theme) -> dict[str, QWidget]:
    from app.canvas.patch_view import PatchSheet
    from app.canvas.stage_view import StageSheet

    return {"patch": PatchSheet(desk, theme), "stage": StageSheet(desk, theme), "inputs": InputsSheet(desk)}


def _inside(words: str) -> str:
    """Return the words of a step as they stand inside a sentence."""
    return words[:1].lower() + words[1:] if words[1:2].islower() else words


def _dropped_book(event: QDropEvent) -> Path | None:
    urls = event.mimeData().urls() if event.mimeData().hasUrls() else []
    if len(urls) == 1 and urls[0].isLocalFile() and urls[0].toLocalFile().lower().endswith(".loom"):
        return Path(urls[0].toLocalFile())
    return None
