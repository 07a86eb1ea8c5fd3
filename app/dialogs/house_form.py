"""The house as a form: what it has, and what it has said or is only assumed to have. Kept as one step."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, get_args

from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from app.desk import Desk
from app.dialogs.gear_rows import scrolled
from app.dialogs.house_facts import FactRow, fact_grid, fact_rows
from app.dialogs.house_pages import SocketsPage, boxes_page, drops_page, risers_page
from app.dialogs.stock_rows import StockPanel
from app.panes.forms.editors import send_to
from app.panes.forms.fields import Form, plain
from rigcore.book.edits.house_parts import begin_as, house_from_draft, keep_house, landings_on, lost_sentence
from rigcore.book.house import House, HouseKind, fact_words
from rigcore.book.house_kinds import house_kinds
from rigcore.lists.stock_needs import stock_needs

KINDS: tuple[HouseKind, ...] = get_args(House.model_fields["kind"].annotation)
LEAST = (660, 430)
SIZE = (980, 660)


class _Leaf(QWidget):
    """A page made anew each time it comes into view, since other pages change what it shows."""

    def __init__(self, make: Callable[[], QWidget]) -> None:
        super().__init__()
        self._make = make
        self.page: QWidget | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    def fill(self) -> None:
        """Make the page."""
        if self.page is not None:
            self._column.removeWidget(self.page)
            self.page.hide()
            self.page.deleteLater()
        self.page = self._make()
        self._column.addWidget(self.page)


class HouseForm(QDialog):
    """Edits the house of the gig in view."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(self.tr("The house"))
        self._desk = desk
        self._house = desk.book.house(desk.book.gig(desk.gig_id).house)
        self._patch = desk.analysis().patch
        self.draft: dict[str, Any] = self._house.model_dump(mode="json")
        self.facts: list[FactRow] = []
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self.check)
        self.tabs = QTabWidget()
        self.tabs.setUsesScrollButtons(True)
        self._wrong = plain("", "strong")
        self._wrong.hide()
        self.unplug = QCheckBox(self.tr("Unplug what lands there"))
        self.unplug.hide()
        self.unplug.toggled.connect(self._soon.start)
        self.buttons = QDialogButtonBox()
        roles = QDialogButtonBox.ButtonRole
        self.yes = self.buttons.addButton(self.tr("Keep"), roles.AcceptRole)
        self.no = self.buttons.addButton(self.tr("Cancel"), roles.RejectRole)
        self.yes.setDefault(True)
        self.buttons.accepted.connect(self._keep)
        self.buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(14, 14, 14, 14)
        column.setSpacing(8)
        column.addWidget(self.tabs, 1)
        column.addWidget(self._wrong)
        column.addWidget(self.unplug)
        column.addWidget(self.buttons)
        self.setMinimumSize(*LEAST)
        self.resize(QSize(*SIZE).boundedTo(self.screen().availableSize()))
        self._began = ""
        self._build()
        self.tabs.currentChanged.connect(self._turned)
        name = self.form.findChild(QLineEdit)
        assert name is not None
        name.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def wrong(self) -> str:
        """What the dialog says is wrong."""
        return self._wrong.text()

    def page(self, name: str) -> QWidget:
        """Bring a page into view and return it: ``risers``, ``power``, ``boxes``, ``sockets`` or ``stock``."""
        leaf = self._leaves[name]
        if self.tabs.currentWidget() is leaf:
            leaf.fill()
        self.tabs.setCurrentWidget(leaf)
        assert leaf.page is not None
        return leaf.page

    # -- pages -------------------------------------------------------------------------------

    def _build(self) -> None:
        """Build all pages from the draft."""
        place = max(self.tabs.currentIndex(), 0)
        self.tabs.blockSignals(True)
        while self.tabs.count():
            old = self.tabs.widget(0)
            self.tabs.removeTab(0)
            old.deleteLater()
        self.form = self._first_page()
        self.tabs.addTab(scrolled(self.form), self.tr("The house"))
        catalogue, draft, done = self._desk.catalogue, self.draft, self._soon.start
        self._leaves = {
            "risers": _Leaf(lambda: risers_page(draft, done)),
            "power": _Leaf(lambda: drops_page(draft, catalogue, done)),
            "boxes": _Leaf(lambda: boxes_page(draft, catalogue, done)),
            "sockets": _Leaf(lambda: SocketsPage(draft, catalogue, done, self._say)),
            "stock": _Leaf(self._stock_page),
        }
        titles = {"risers": self.tr("Risers"), "power": self.tr("Power"), "boxes": self.tr("Boxes"),
                  "sockets": self.tr("Sockets"), "stock": self.tr("Stock")}
        for name, leaf in self._leaves.items():
            self.tabs.addTab(leaf, titles[name])
        self.tabs.insertTab(1, scrolled(self._facts_page()), self.tr("What it said"))
        self.tabs.setCurrentIndex(place)
        self.tabs.blockSignals(False)
        self._turned(place)

    def _turned(self, place: int) -> None:
        leaf = self.tabs.widget(place)
        if isinstance(leaf, _Leaf):
            leaf.fill()

    def _takes(self, key: str, into: dict[str, Any] | None = None) -> Callable[[Any], None]:
        def take(value: Any) -> None:
            (self.draft if into is None else into)[key] = value.strip() if isinstance(value, str) else value
            self._soon.start()

        return take

    def _first_page(self) -> Form:
        form, now, stage = Form(label_px=104), self.draft, self.draft["stage"]
        form.title(self._house.name, self.tr("What is not known is assumed, and the packet says so."))
        form.text(self.tr("Name"), now["name"], self._takes("name"), most=120, needed=True)
        form.text(self.tr("Place"), now["place"], self._takes("place"))
        form.choice(self.tr("Kind"), [(self.tr(kind), kind) for kind in KINDS], now["kind"], self._takes("kind"))
        form.row(self.tr("Begin as"), self._begins())
        if self._began:
            form.say(self._began, "soft")
        for label, key in ((self.tr("Stage width"), "width_m"), (self.tr("Stage depth"), "depth_m")):
            form.number(label, stage[key], self._takes(key, stage), unit="m", span=(1.0, 60.0), step=0.5)
        form.number(
            self.tr("Stage height"), stage["height_m"], self._takes("height_m", stage),
            unit="m", span=(0.0, 10.0), step=0.1,
        )
        form.number(
            self.tr("Mains"), now["mains_v"], self._takes("mains_v"), unit="V", span=(90.0, 260.0), step=1.0, places=0,
        )
        form.text(self.tr("Contact"), now["contact"], self._takes("contact"))
        form.text(self.tr("Crew"), now["crew"], self._takes("crew"), hint=self.tr("who helps on stage and mixes"))
        minutes = self._takes("changeover_min")
        form.number(
            self.tr("Changeover"), float(now["changeover_min"]) if now["changeover_min"] else None,
            lambda new: minutes(None if new is None else int(new)),
            unit="min", span=(1.0, 1440.0), step=5.0, places=0, empty=self.tr("not said"),
        )
        notes = form.note(self.tr("Notes"), now["notes"], self._takes("notes"))
        notes.setFixedHeight(2 * notes.height())
        form.finish()
        return form

    def _begins(self) -> QWidget:
        """Return a button for each kind of house; it fills only what is empty."""
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        for kind, usual in house_kinds().items():
            button = QPushButton(self.tr(kind))
            button.setObjectName(f"begin {kind}")
            button.setAutoDefault(False)
            button.setAccessibleName(self.tr("Begin as {}").format(self.tr(kind)))
            button.setToolTip(self.tr("{}; fills only what is empty").format(usual.about))
            button.clicked.connect(lambda _on=False, kind=kind: self._begin(kind))
            row.addWidget(button)
        row.addStretch(1)
        return holder

    def _begin(self, kind: HouseKind) -> None:
        self._hand_in()
        house = self._drafted()
        if house is None:
            return
        landed = landings_on(self._desk.book, house.id, [one.id for one in self._house.sockets])
        began = begin_as(house, kind, self._desk.catalogue, landed=landed)
        filled = [words for words, old, new in (
            (self.tr("stage size"), (house.stage.width_m, house.stage.depth_m),
             (began.stage.width_m, began.stage.depth_m)),
            (self.tr("power drops"), house.stage.power, began.stage.power),
            (self.tr("boxes"), house.units, began.units),
            (self.tr("sockets"), house.sockets, began.sockets),
            (self.tr("stock"), house.stock, began.stock),
        ) if old != new]  # fmt: skip
        asks = ", ".join(fact_words(key) for key in house_kinds()[kind].ask_first if house.fact(key) is None)
        words = self.tr("Filled: {}. ").format(", ".join(filled)) if filled else self.tr("Nothing was empty. ")
        self._began = words + (self.tr("Ask first about: {}.").format(asks) if asks else "")
        self.draft = began.model_dump(mode="json")
        self._build()
        self.check()

    def _facts_page(self) -> Form:
        house, _ = house_from_draft(self.draft)
        self.facts = fact_rows(house or self._house, self._soon.start)
        form = Form()
        form.say(self.tr("Who said it, and when, is kept with each answer; the rest is assumed for the worst."), "soft")
        form.add(fact_grid(self.facts))
        form.finish()
        return form

    def _stock_page(self) -> StockPanel:
        return StockPanel(
            self.draft["stock"], self._desk.catalogue, self._soon.start,
            lambda stock: stock_needs(self._patch, stock, "house"),
        )

    # -- ends --------------------------------------------------------------------------------

    def _say(self, words: str) -> None:
        self._wrong.setText(words)
        self._wrong.setVisible(bool(words))

    def _drafted(self) -> House | None:
        """Return the house as drafted, or None after saying what does not hold."""
        wrong = next((row.wrong for row in self.facts if row.wrong), "")
        for row in self.facts:
            row.mark()
        if not self.draft["name"].strip():
            wrong = wrong or self.tr("A house needs a name.")
        self.draft["facts"] = [fact for row in self.facts if (fact := row.draft()) is not None]
        house, told = (None, wrong) if wrong else house_from_draft(self.draft)
        self._say(told)
        return house

    def check(self) -> None:
        """Say in one sentence what does not hold, or which hand-offs would lose their socket."""
        house = self._drafted()
        if house is not None:
            lost = lost_sentence(self._desk.book, house)
            self.unplug.setVisible(bool(lost))
            self._say("" if self.unplug.isChecked() else lost)

    def _go_to_wrong(self) -> None:
        """Bring the first marked field into view and put the cursor into it."""
        for place in range(self.tabs.count()):
            page = self.tabs.widget(place)
            for field in page.findChildren(QLineEdit):
                if field.property("wrong") and field.isVisibleTo(page):
                    self.tabs.setCurrentIndex(place)
                    send_to(field)
                    return

    def _hand_in(self) -> None:
        for form in self.findChildren(Form):
            form.hand_in()

    def _keep(self) -> None:
        self._hand_in()
        house = self._drafted()
        if house is None:
            self._go_to_wrong()
            return
        if house == self._desk.book.house(house.id):
            self.accept()
            return
        shipped, unplug = self._desk.shipped, self.unplug.isChecked()
        with self._desk.refusals() as refused:
            kept = self._desk.edit(
                self.tr("Change the house"), lambda book: keep_house(book, house, shipped, unplug=unplug)
            )
        if kept:
            self.accept()
        else:
            self.check()
            self._say(refused[0])
