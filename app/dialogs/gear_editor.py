"""The gear editor: a gear type, its ports and the ways between them, checked while one types, its card beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path as File
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFileDialog, QHBoxLayout, QTabWidget, QVBoxLayout, QWidget

from app.desk import Desk
from app.dialogs.gear_preview import GearPreview
from app.dialogs.gear_rows import RowsEditor, scrolled
from app.panes.forms.fields import Form, plain
from app.panes.forms.record_form import add_fields
from app.theme import Theme
from rigcore.book.book import Book
from rigcore.book.edits.gear import exchange_gear, put_gear, remove_gear
from rigcore.book.file import replace_file
from rigcore.book.ids import new_id
from rigcore.catalogue.carriers import KIND_OF
from rigcore.catalogue.gear import GearType, Path, Port
from rigcore.catalogue.gear_file import to_toml
from rigcore.catalogue.loader import gear_from_draft, own_gear, presets
from rigcore.errors import CatalogueDamaged

SIZE = (1080, 660)
SIZES = ("width_m", "depth_m", "height_m", "mass_kg", "rack_u")
FEW_PROBLEMS = 3


def draft_of(gear: GearType | None) -> dict[str, Any]:
    """Return a gear type as the table it is edited as; a new one has a box of common size."""
    if gear is not None:
        return gear.model_dump(mode="json", exclude_defaults=True)
    return {"name": "", "category": "other", "width_m": 0.2, "depth_m": 0.15, "height_m": 0.06, "mass_kg": 0.5}


class GearEditor(QDialog):
    """Edits a gear type of the book's own, or a copy of a shipped one under its own name.

    ``unit_id`` is the unit that shall be of the type once it is kept.
    """

    def __init__(
        self, desk: Desk, theme: Theme, gear: GearType | None = None, parent: QWidget | None = None,
        *, unit_id: str = "",
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("Gear type"))
        self._desk = desk
        self._unit_id = unit_id
        self._is_own = gear is not None and any(one.id == gear.id for one in desk.book.gear)
        self._gear_id = gear.id if gear is not None else ""
        self.draft = draft_of(gear)
        self.gear: GearType | None = None
        self._problems = plain("", "strong")
        self.preview = GearPreview(desk.shipped, theme)
        self.tabs = QTabWidget()
        self.buttons = QDialogButtonBox()
        roles = QDialogButtonBox.ButtonRole
        self.keep = self.buttons.addButton(self.tr("Keep it"), roles.AcceptRole)
        self.buttons.addButton(self.tr("Cancel"), roles.RejectRole)
        for words, do in ((self.tr("From a file…"), self._read), (self.tr("To a file…"), self._write)):
            button = self.buttons.addButton(words, roles.ActionRole)
            button.setAutoDefault(False)
            button.clicked.connect(do)
        self.remove = self.buttons.addButton(self.tr("Remove this type"), roles.ActionRole)
        self.remove.setAutoDefault(False)
        self.remove.setVisible(self._is_own)
        self.remove.clicked.connect(self._remove)
        self.buttons.accepted.connect(self._keep)
        self.buttons.rejected.connect(self.reject)
        side = QVBoxLayout()
        side.addWidget(plain(self.tr("How its card will look"), "heading"))
        side.addWidget(self.preview, 1)
        middle = QHBoxLayout()
        middle.setSpacing(14)
        middle.addWidget(self.tabs, 3)
        middle.addLayout(side, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 14, 14, 14)
        column.setSpacing(10)
        column.addLayout(middle, 1)
        column.addWidget(self._problems)
        column.addWidget(self.buttons)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self.check)
        self.resize(*SIZE)
        self._build()

    @property
    def problems(self) -> str:
        """What the editor says does not hold yet."""
        return self._problems.text()

    def check(self) -> None:
        """Check the draft, show what does not hold, and draw the card of what does."""
        name = str(self.draft.get("name", ""))
        taken = {one for one in self._desk.catalogue.gear if not (self._is_own and one == self._gear_id)}
        gear_id = self._gear_id if self._is_own else new_id(name or "gear", taken)
        self.gear, problems = gear_from_draft({**self.draft, "id": gear_id}, self._desk.catalogue)
        shown = list(problems[:FEW_PROBLEMS])
        if not name:
            shown = [self.tr("Give it a name first."), *(one for one in shown if not one.startswith("name:"))]
        if len(problems) > FEW_PROBLEMS:
            shown.append(self.tr("and {} more").format(len(problems) - FEW_PROBLEMS))
        self._problems.setText("\n".join(shown))
        self._problems.setVisible(bool(shown))
        self.keep.setEnabled(self.gear is not None)
        if self.gear is not None:
            self.preview.show_gear(self.gear)

    # -- parts -------------------------------------------------------------------------------

    def _build(self) -> None:
        """Build the tabs from the draft."""
        place = max(self.tabs.currentIndex(), 0)
        while self.tabs.count():
            page = self.tabs.widget(0)
            self.tabs.removeTab(0)
            page.deleteLater()
        form = Form()
        add_fields(form, GearType, self.draft, self._timer.start, names=("name", "category", "family", "about"))
        form.heading(self.tr("Size"))
        add_fields(form, GearType, self.draft, self._timer.start, names=SIZES)
        form.heading(self.tr("More"))
        add_fields(form, GearType, self.draft, self._timer.start, names=("glyph", "pattern", "phantom_switch"))
        form.finish()
        self.tabs.addTab(scrolled(form), self.tr("The thing"))
        self.tabs.addTab(self._ports(), self.tr("Ports"))
        self.tabs.addTab(self._paths(), self.tr("Ways through it"))
        self.tabs.setCurrentIndex(place)
        self.check()

    def _ports(self) -> QWidget:
        rows = self.draft.setdefault("ports", [])

        def new() -> dict[str, Any]:
            taken = {row.get("id") for row in rows}
            name, way = (self.tr("In"), "in") if rows else (self.tr("Out"), "out")
            carrier = dict(presets()[f"line-{way}-balanced"])
            return {
                "id": new_id(name, taken), "name": name, "direction": way, "connector": "trs6.f", "carrier": carrier,
            }

        def words(row: dict[str, Any]) -> str:
            return f"{row.get('name', '')} · {row.get('direction', '')}"

        return RowsEditor(rows, new=new, words=words, fill=self._port_form, done=self._timer.start)

    def _port_form(self, form: Form, row: dict[str, Any], again: Any) -> None:
        """Fill the form of one port; another kind of carrier builds it ``again``."""
        changed = self._timer.start
        add_fields(form, Port, row, changed, names=("name", "id", "direction"))
        connectors = sorted((one.name, one.id) for one in self._desk.catalogue.connectors.values())
        form.choice(
            self.tr("Connector"), connectors, row.get("connector"), lambda one: _put(row, "connector", one, changed)
        )
        add_fields(form, Port, row, changed, names=("pair", "side", "role"))
        form.heading(self.tr("What travels here"))
        names = sorted((name.replace("-", " "), name) for name in presets())
        now = next((name for name, preset in presets().items() if preset == row.get("carrier")), None)

        def take(name: str) -> None:
            row["carrier"] = dict(presets()[name])
            again()

        form.choice(self.tr("Begin with"), names, now, take)
        kind = KIND_OF.get(row.get("carrier", {}).get("medium", ""))
        if kind is not None:
            add_fields(form, kind, row["carrier"], changed, but=("medium",))

    def _paths(self) -> QWidget:
        rows = self.draft.setdefault("paths", [])

        def new() -> dict[str, Any]:
            ports = [port.get("id") for port in self.draft.get("ports", [])]
            return {"source": ports[0] if ports else "", "target": ports[-1] if ports else "", "kind": "active"}

        def fill(form: Form, row: dict[str, Any], _again: Any) -> None:
            ports = [(f"{port.get('name', '')} ({port.get('id', '')})", port.get("id")) for port in self.draft["ports"]]
            for key, label in (("source", self.tr("From")), ("target", self.tr("To"))):
                form.choice(label, ports, row.get(key), lambda value, key=key: _put(row, key, value, self._timer.start))
            add_fields(form, Path, row, self._timer.start, but=("source", "target"))

        def words(row: dict[str, Any]) -> str:
            names = {port.get("id"): port.get("name") for port in self.draft["ports"]}
            ends = (row.get("source", ""), row.get("target", ""))
            return " → ".join(names.get(end) or end for end in ends)

        return RowsEditor(rows, new=new, words=words, fill=fill, done=self._timer.start)

    # -- ends --------------------------------------------------------------------------------

    def _keep(self) -> None:
        self.check()
        if self.gear is None:
            return
        gear = self.gear
        self._edit(self.tr("Keep gear type {}").format(gear.name), lambda book: self._changed(book, gear))

    def _remove(self) -> None:
        """Take the type out of the book; refused while something is of it."""
        gear_id, shipped = self._gear_id, self._desk.shipped
        words = self.tr("Remove gear type {}").format(self.draft.get("name", ""))
        self._edit(words, lambda book: remove_gear(book, gear_id, shipped))

    def _edit(self, words: str, change: Callable[[Book], Book]) -> None:
        """Do one step and close, or say why not."""
        with self._desk.refusals() as refused:
            done = self._desk.edit(words, change)
        if done:
            self.accept()
        else:
            self._problems.setText(refused[0] if refused else "")
            self._problems.show()

    def _changed(self, book: Book, gear: GearType) -> Book:
        """Return the book with the type in it, and on the unit it was opened for."""
        shipped = self._desk.shipped
        book = put_gear(book, gear, shipped)
        if not self._unit_id:
            return book
        return exchange_gear(book, self._desk.rig_id, self._unit_id, gear.id, catalogue=shipped)

    def _read(self) -> None:
        name, _ = QFileDialog.getOpenFileName(self, self.tr("Gear type from a file"), "", self.tr("TOML (*.toml)"))
        if name:
            self.take_file(File(name))

    def take_file(self, path: File) -> None:
        """Take the first gear type of a TOML file as the draft; says what does not hold."""
        try:
            types = own_gear(path, self._desk.catalogue)
        except CatalogueDamaged as damaged:
            self._problems.setText("\n".join(damaged.problems[:FEW_PROBLEMS]))
            self._problems.show()
            return
        if not types:
            self._problems.setText(self.tr("{} holds no gear type").format(path.name))
            self._problems.show()
            return
        self.draft = draft_of(types[0])
        self._build()

    def _write(self) -> None:
        kinds = self.tr("TOML (*.toml)")
        name, _ = QFileDialog.getSaveFileName(self, self.tr("Gear type to a file"), "gear.toml", kinds)
        if name:
            self.write_file(File(name))

    def write_file(self, path: File) -> None:
        """Write the gear type as a TOML file the import takes."""
        self.check()
        if self.gear is None:
            return
        try:
            replace_file(path, to_toml([self.gear]).encode())
        except OSError as error:
            words = self.tr("{} could not be written: {}; choose another place")
            self._problems.setText(words.format(path, error.strerror or error))
            self._problems.show()


def _put(row: dict[str, Any], key: str, value: Any, done: Any) -> None:
    row[key] = value
    done()
