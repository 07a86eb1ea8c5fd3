"""The editor of a stock: what is owned, what the gig in view needs beside it, and the catalogue to add from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from PySide6.QtCore import QCoreApplication, QLocale, QModelIndex, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.gear_rows import Row, Telling, elide
from app.panes.forms.editors import LineEdit
from app.panes.forms.fields import Form, plain
from rigcore.book.edits.links import usual_length
from rigcore.book.edits.stock import stock_from_draft
from rigcore.book.stock import StockItem
from rigcore.catalogue.catalogue import Catalogue
from rigcore.lists.stock_needs import Need
from rigcore.patch.spares import Thing
from rigcore.rules.words import tied

WHAT = Qt.ItemDataRole.UserRole
NEEDED, SHORT, NOTE = 2, 3, 4
WIDEST_NOTE = 130
ASIDE = 18
"""What a cell has beside its text."""
Needs = Callable[[Iterable[StockItem]], tuple[Need, ...]]


def _tr(text: str) -> str:
    return QCoreApplication.translate("stock", text)


def has_words(text: str, query: str) -> bool:
    """Return whether every word of a query stands in a text.

    >>> has_words("XLR cable, 5 m", "5 xlr"), has_words("XLR cable", "di")
    (True, False)
    """
    hay = text.casefold()
    return all(word in hay for word in query.casefold().split())


class _Wrapping(Telling):
    """Cells whose text goes into several lines where its column is narrow."""

    def __init__(self, tree: QTreeWidget) -> None:
        super().__init__(tree)
        self._tree = tree

    def displayText(self, value: object, _locale: QLocale) -> str:
        """Return the text with no number apart from its unit."""
        return tied(str(value))

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        """Ask for as many lines as the text takes in its column."""
        size, font = super().sizeHint(option, index), option.fontMetrics
        room = QRect(0, 0, max(self._tree.columnWidth(index.column()) - ASIDE, 20), 10_000)
        text = font.boundingRect(room, Qt.TextFlag.TextWordWrap, tied(str(index.data() or "")))
        return QSize(size.width(), max(size.height(), text.height() + 10))


class FromCatalogue(QWidget):
    """Cables and gear of the catalogue to pick from, with a search; ``picked(kind, id)``."""

    picked = Signal(str, str)

    def __init__(self, catalogue: Catalogue) -> None:
        super().__init__()
        rows = [(cable.name, "cable", cable.id) for cable in catalogue.cable_order]
        rows += sorted((gear.name, "gear", gear.id) for gear in catalogue.gear.values())
        self._rows = rows
        self.search = LineEdit()
        self.search.setPlaceholderText(_tr("Search cables, boxes, gear"))
        self.search.setAccessibleName(_tr("Search the catalogue"))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._show)
        self.list = QListWidget()
        self.list.setAccessibleName(_tr("Catalogue"))
        self.list.setMinimumHeight(40)
        elide(self.list)
        self.list.itemDoubleClicked.connect(lambda _item: self.pick())
        self.add = QPushButton(_tr("Add it"))
        self.add.setAutoDefault(False)
        self.add.clicked.connect(lambda: self.pick())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(plain(_tr("Add from the catalogue"), "heading"))
        column.addWidget(self.search)
        column.addWidget(self.list, 1)
        column.addWidget(self.add)
        self._show("")

    def pick(self) -> None:
        """Pick the chosen row, the first one where none is."""
        item = self.list.currentItem() or self.list.item(0)
        if item is not None:
            self.picked.emit(*item.data(WHAT))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in the search picks; it does not close the dialog."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.pick()
        elif event.key() == Qt.Key.Key_Down and self.search.hasFocus():
            self.list.setFocus(Qt.FocusReason.TabFocusReason)
        else:
            super().keyPressEvent(event)

    def _show(self, query: str) -> None:
        self.list.clear()
        self.list.ensurePolished()  # rows keep the height they are first measured with
        for name, kind, one in self._rows:
            if has_words(name, query):
                item = QListWidgetItem(name, self.list)
                item.setData(WHAT, (kind, one))
        self.list.setCurrentRow(0)
        self.add.setEnabled(self.list.count() > 0)


class StockPanel(QWidget):
    """Rows of a stock with a form for the chosen one. They live in the list it was given; ``done`` follows changes.

    ``needs`` counts what the gig in view needs of a stock.
    """

    def __init__(self, rows: list[Row], catalogue: Catalogue, done: Callable[[], object], needs: Needs) -> None:
        super().__init__()
        self.rows, self._catalogue, self._done, self._needs = rows, catalogue, done, needs
        self.find = LineEdit()
        self.find.setPlaceholderText(_tr("Show only…"))
        self.find.setAccessibleName(_tr("Show only rows with these words"))
        self.find.setClearButtonEnabled(True)
        self.find.textChanged.connect(lambda _text: self.refill())
        self.list = self._tree()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._fit_notes)
        self.list.header().sectionResized.connect(self._resized)
        self.catalogue = FromCatalogue(catalogue)
        self.catalogue.picked.connect(self.add)
        left = QVBoxLayout()
        left.addWidget(self.find)
        left.addWidget(self.list, 1)
        self._right = QVBoxLayout()
        self._right.addWidget(self.catalogue, 1)
        row = QHBoxLayout(self)
        row.addLayout(left, 3)
        row.addLayout(self._right, 2)
        self._page: QWidget | None = None
        self.refill()

    def _tree(self) -> QTreeWidget:
        tree = QTreeWidget()
        tree.setProperty("role", "list")
        tree.setAccessibleName(_tr("Stock"))
        tree.setRootIsDecorated(False)
        tree.setWordWrap(True)
        tree.setHeaderLabels([_tr("What"), _tr("Owned"), _tr("Needed"), _tr("Short"), _tr("Note")])
        head = tree.header()
        head.setStretchLastSection(False)
        head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(NOTE, QHeaderView.ResizeMode.Interactive)
        tree.headerItem().setToolTip(NEEDED, _tr("What the gig in view needs"))
        tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        tree.setItemDelegate(_Wrapping(tree))
        tree.setTextElideMode(Qt.TextElideMode.ElideNone)
        tree.currentItemChanged.connect(lambda _now, _old: self._show())
        return tree

    # -- what is in view ---------------------------------------------------------------------

    def missing(self) -> list[Need]:
        """Return what the gig needs and is short of, as the rows stand."""
        return [need for need in self._counted() if need.short]

    def _counted(self) -> tuple[Need, ...]:
        good = [items[0] for row in self.rows if (items := stock_from_draft([row])[0])]
        return self._needs(good)

    def name_of(self, thing: Thing) -> str:
        """Return a thing as spoken: the type, of a cable its length too."""
        if thing.kind == "gear":
            gear = self._catalogue.gear.get(thing.type)
            return gear.name if gear else thing.type
        cable = self._catalogue.cables.get(thing.type)
        name = cable.name if cable else thing.type
        return f"{name}, {thing.length_m:g} m" if thing.length_m else name

    def refill(self, chosen: object = None) -> None:
        """Show the rows that match what is searched; what the gig needs and nobody owns stands among them."""
        chosen = chosen if chosen is not None else self._chosen()
        needs = {need.thing: need for need in self._counted()}
        lines: list[tuple[str, str, object, Row | None, Need | None]] = []
        for place, row in enumerate(self.rows):
            thing = thing_of(row)
            lines.append((thing.kind, self.name_of(thing), place, row, needs.pop(thing, None)))
        lines += [(need.thing.kind, self.name_of(need.thing), need.thing, None, need) for need in needs.values()]
        self.list.blockSignals(True)
        self.list.clear()
        self.list.ensurePolished()
        for _kind, name, what, row, need in sorted(lines, key=lambda line: line[:2]):
            note = row.get("note", "") if row is not None else ""
            if not has_words(f"{name} {note}", self.find.text()):
                continue
            item = QTreeWidgetItem(self.list, [name, *_numbers(row, need), note])
            item.setData(0, WHAT, what)
            for column in (1, NEEDED, SHORT):
                item.setTextAlignment(column, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            if what == chosen:
                self.list.setCurrentItem(item)
        if self.list.currentItem() is None:
            self.list.setCurrentItem(self.list.topLevelItem(0))
        self.list.blockSignals(False)
        self._fit_notes()
        self._show()

    def _resized(self, section: int, _old: int, _new: int) -> None:
        """Lay the rows out anew, their texts wrap; the column of the names takes what the dialog grows by."""
        self.list.scheduleDelayedItemsLayout()
        if section == 0:
            self._soon.start()  # the header is still at work

    def _fit_notes(self) -> None:
        """Give the notes what the names leave of the room, or their share where both are long: they wrap then."""
        items, metrics, head = self._items(), self.list.fontMetrics(), self.list.header()
        names, notes = (
            max((metrics.horizontalAdvance(item.text(at)) for item in items), default=0) + ASIDE for at in (0, NOTE)
        )
        room = self.list.width() - sum(head.sectionSize(at) for at in (1, NEEDED, SHORT)) - ASIDE
        wide = max(head.sectionSizeHint(NOTE), min(notes, max(room - names, WIDEST_NOTE)))
        if wide != head.sectionSize(NOTE):
            head.resizeSection(NOTE, wide)

    def _items(self) -> list[QTreeWidgetItem]:
        return [self.list.topLevelItem(at) for at in range(self.list.topLevelItemCount())]

    def _chosen(self) -> object:
        item = self.list.currentItem()
        return item.data(0, WHAT) if item is not None else None

    def choose(self, what: object) -> None:
        """Choose a row by its place in the list of rows, or what is needed by its kind."""
        for item in self._items():
            if item.data(0, WHAT) == what:
                self.list.setCurrentItem(item)

    # -- the chosen row ----------------------------------------------------------------------

    def _show(self) -> None:
        if self._page is not None:
            self._right.removeWidget(self._page)
            self._page.hide()
            self._page.deleteLater()
        form = Form(label_px=70)
        what = self._chosen()
        if isinstance(what, int):
            self._fill(form, self.rows[what])
        elif isinstance(what, Thing):
            need = next(one for one in self._counted() if one.thing == what)
            form.say(self.name_of(what), "strong")
            form.say(_tr("The gig in view needs {}; none of this length is owned.").format(need.needed)
                     if what.kind == "cable" else _tr("The gig in view needs {}; none is owned.").format(need.needed))
            form.button(_tr("Count {} as owned").format(need.needed), lambda: self._own([need], need.needed))
        else:
            form.say(_tr("Nothing here yet: add cables, adapters and boxes from the catalogue below."), "soft")
        form.setAutoFillBackground(False)
        form.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self._page = form
        self._right.insertWidget(0, form)

    def _fill(self, form: Form, row: Row) -> None:
        thing = thing_of(row)
        form.say(self.name_of(thing), "strong")
        form.whole(_tr("Owned"), int(row.get("count", 1)), lambda new: self._put(row, "count", new), span=(0, 10000))
        cable = self._catalogue.cables.get(thing.type)
        if thing.kind == "cable":
            box = form.number(
                _tr("Length"), row.get("length_m"), lambda new: self._put(row, "length_m", new),
                unit="m", span=(0.1, 500.0), step=0.5, empty=_tr("not measured"),
            )
            usual = ", ".join(f"{one:g}" for one in cable.stock_lengths_m) if cable else ""
            box.setToolTip(_tr("Sold in {} m").format(usual) if usual else "")
        form.text(_tr("Note"), row.get("note", ""), lambda text: self._put(row, "note", text.strip()), most=300)
        form.button(_tr("Take it out"), lambda: self.take_out(row))

    def _put(self, row: Row, key: str, value: Any) -> None:
        if value is None or value == "":
            row.pop(key, None)
        else:
            row[key] = value
        self._refresh_texts()
        self._done()

    def _refresh_texts(self) -> None:
        """Write the numbers anew and leave the form, in which somebody types, alone."""
        needs = {need.thing: need for need in self._counted()}
        for item in self._items():
            what = item.data(0, WHAT)
            row = self.rows[what] if isinstance(what, int) else None
            thing = thing_of(row) if row is not None else what
            texts = [self.name_of(thing), *_numbers(row, needs.get(thing)), row.get("note", "") if row else ""]
            for column, text in enumerate(texts):
                item.setText(column, text)

    # -- rows come and go --------------------------------------------------------------------

    def add(self, kind: str, one: str) -> None:
        """Add one of a thing: a row of its own, or one more where it is counted already."""
        row: Row = {"kind": kind, "type": one}
        if kind == "cable":
            row["length_m"] = usual_length(self._catalogue.cable_type(one).stock_lengths_m)
        self._more(row, 1)

    def _more(self, row: Row, count: int) -> None:
        thing = thing_of(row)
        place = next((at for at, old in enumerate(self.rows) if thing_of(old) == thing), None)
        if place is None:
            self.rows.append({**row, "count": count})
            place = len(self.rows) - 1
        else:
            self.rows[place]["count"] = min(int(self.rows[place].get("count", 1)) + count, 10000)
        if not has_words(self.name_of(thing), self.find.text()):
            self.find.clear()
        self.refill(place)
        self._done()

    def take_out(self, row: Row) -> None:
        """Take a row out."""
        self.rows.remove(row)
        self.refill()
        self._done()

    def own_missing(self) -> None:
        """Own what the gig in view needs and is short of."""
        self._own(self.missing())

    def _own(self, needs: Iterable[Need], count: int = 0) -> None:
        for need in needs:
            length = {"length_m": need.thing.length_m} if need.thing.length_m else {}
            self._more({"kind": need.thing.kind, "type": need.thing.type, **length}, count or need.short)


def thing_of(row: Row) -> Thing:
    """Return the kind of thing a row counts."""
    return Thing(row.get("kind", "gear"), row.get("type", ""), row.get("length_m") or 0.0)


def _numbers(row: Row | None, need: Need | None) -> list[str]:
    """Return owned, needed and short as shown: what is nothing is left empty."""
    owned = str(row.get("count", 1)) if row is not None else "0"
    return [owned, str(need.needed) if need else "", str(need.short) if need and need.short else ""]
