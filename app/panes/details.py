"""The details pane: chooses the form for what is selected and keeps it fresh. The forms are in ``forms/``."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QApplication, QScrollArea, QVBoxLayout, QWidget

from app.desk import Desk
from app.panes.forms.gig_form import GigForm
from app.panes.forms.thing import ThingForm
from app.panes.ladder import LadderBox
from app.viewport import own_viewport
from rigcore.analysis import Analysis
from rigcore.rules.rule import Thing


class ManyForm(ThingForm):
    """Several things at once: only what they are."""

    def __init__(self, desk: Desk, things: tuple[Thing, ...]) -> None:
        super().__init__(desk)
        self.title(self.tr("{} things selected").format(len(things)))
        for thing in things[:20]:
            self.say(_name_of(self, thing))
        if len(things) > 20:
            self.say(self.tr("and {} more").format(len(things) - 20), "soft")
        self.say(self.tr("Delete takes them away, Ctrl+Z brings them back."), "soft")
        self.findings_about(*things)
        self.finish()


class DetailsPane(QWidget):
    """The pane on the right. ``asked(id)`` names an action of the window."""

    asked = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("role", "pane")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(self.tr("Details"))
        self._desk = desk
        self._shown: tuple[Thing, ...] | None = None
        self._told: Analysis | None = None
        self._scroll = QScrollArea()
        own_viewport(self._scroll)
        self._scroll.setWidgetResizable(True)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._scroll)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(0)
        self._soon.timeout.connect(self.refresh)
        desk.selected.connect(self._soon.start)
        desk.analysed.connect(self._soon.start)
        self._soon.start()

    @property
    def form(self) -> ThingForm | None:
        """The form in view."""
        form = self._scroll.widget()
        return form if isinstance(form, ThingForm) else None

    def refresh(self) -> None:
        """Build the form of the selection anew, unless it tells the same; focus and place stay where they were."""
        things, analysis = self._desk.selection, self._desk.latest()
        same = things == self._shown
        if same and analysis is self._told:
            return
        place = self._scroll.verticalScrollBar().value() if same else 0
        focus = QApplication.focusWidget()
        name = focus.objectName() if same and focus is not None and self.isAncestorOf(focus) else ""
        line = self._line_in_view() if same else ""
        old = self._scroll.takeWidget()
        form = self._form_of(things)
        ladder = form.findChild(LadderBox)
        if ladder is not None and line:
            ladder.choose(line)
        form.asked.connect(self.asked)
        self._scroll.setWidget(form)
        self._scroll.viewport().setAutoFillBackground(False)
        form.setAutoFillBackground(False)
        self._shown, self._told = things, analysis
        if old is not None:
            old.hide()
            old.deleteLater()
        form.layout().activate()
        field = form.findChild(QWidget, name) if name else None
        if field is not None:
            field.setFocus(Qt.FocusReason.OtherFocusReason)
        self._scroll.verticalScrollBar().setValue(place)

    def reveal(self, name: str) -> None:
        """Bring a field of the form into view, if it has one of that name."""
        field = self.form.findChild(QWidget, name) if self.form is not None else None
        if field is not None:
            self._scroll.ensureWidgetVisible(field, 0, 12)

    def _line_in_view(self) -> str:
        """Return the title of the ladder in view, if any."""
        ladder = self.form.findChild(LadderBox) if self.form is not None else None
        return ladder.shown.title if ladder is not None else ""

    def _form_of(self, things: tuple[Thing, ...]) -> ThingForm:
        if len(things) > 1:
            return ManyForm(self._desk, things)
        if things:
            form = _form_for(self._desk, things[0])
            if form is not None:
                return form
        return GigForm(self._desk)


def _form_for(desk: Desk, thing: Thing) -> ThingForm | None:
    """Return the form of one thing, None where the book no longer has it; a form is fetched when first wanted."""
    rig, gig = desk.book.rig(desk.rig_id), desk.book.gig(desk.gig_id)
    house = desk.book.house(gig.house)
    if thing.kind == "unit":
        from app.panes.forms.unit_form import UnitForm

        unit = rig.unit(thing.id)
        return UnitForm(desk, unit, thing.port) if unit else None
    if thing.kind == "house unit":
        from app.panes.forms.unit_form import HouseUnitForm

        unit = house.unit(thing.id)
        return HouseUnitForm(desk, unit) if unit else None
    if thing.kind == "link":
        from app.panes.forms.link_form import LinkForm

        link = rig.link(thing.id)
        return LinkForm(desk, link) if link else None
    if thing.kind in ("landing", "hand-off"):
        from app.panes.forms.hand_off_form import HandOffForm

        hand_off = rig.hand_off(thing.id)
        return HandOffForm(desk, hand_off) if hand_off else None
    if thing.kind == "socket":
        from app.panes.forms.socket_form import SocketForm

        socket = house.socket(thing.id)
        return SocketForm(desk, socket) if socket else None
    return None


def _name_of(form: ThingForm, thing: Thing) -> str:
    found = {
        "unit": form.rig.unit, "hand-off": form.rig.hand_off, "landing": form.rig.hand_off,
        "house unit": form.house.unit, "socket": form.house.socket, "link": form.rig.link,
    }.get(thing.kind, lambda _id: None)(thing.id)
    name = getattr(found, "name", "") or getattr(found, "label", "")
    return name or form.tr("a {}").format(thing.kind if thing.kind != "link" else "cable")
