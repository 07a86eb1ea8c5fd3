"""The chain between a hand-off and its socket as rows, in the direction of the signal; each change is one edit."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QHBoxLayout, QToolButton, QWidget

from app.panes.forms.fields import plain
from app.panes.forms.port_rows import setting_rows
from app.panes.forms.words import end_words
from rigcore.book.book import Book
from rigcore.book.edits.chains import box_piece, boxes_for, likeliest_cable, move_piece, put_piece, take_piece_out
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import CablePiece, GearPiece, Landing, Piece
from rigcore.book.ids import PortRef
from rigcore.book.rig import PortSetting
from rigcore.catalogue.gear import GearType, Port

if TYPE_CHECKING:
    from app.panes.forms.hand_off_form import HandOffForm


class ChainRows:
    """Rows of a hand-off form for what lies between it and its socket."""

    def __init__(self, form: HandOffForm, landing: Landing) -> None:
        self._form, self._landing = form, landing
        hand_off = form.hand_off
        unit = form.rig.unit(hand_off.unit)
        port = form.catalogue.port(unit.gear, hand_off.port) if unit is not None else None
        self._medium = port.carrier.medium if port is not None else "audio"

    def build(self) -> None:
        """Add the rows."""
        form, landing = self._form, self._landing
        ends = [self._rig_end(), self._house_end()]
        if form.hand_off.direction == "from house":
            ends.reverse()
        form.fact(form.tr("Signal from"), ends[0])
        for at, piece in enumerate(landing.chain):
            self._head(at, piece)
            if isinstance(piece, CablePiece):
                self._cable(at, piece)
            else:
                self._box(at, piece)
        if not landing.chain:
            form.say(form.tr("Only intended: nothing lies between yet."), "soft")
        form.fact(form.tr("Signal to"), ends[1])
        form.button(form.tr("Add a cable"), self._add_cable)
        self._boxes()

    # -- words -------------------------------------------------------------------------------

    def _rig_end(self) -> str:
        one = self._form.hand_off
        return end_words(self._form.catalogue, self._form.rig, PortRef(unit=one.unit, port=one.port))

    def _house_end(self) -> str:
        form, join = self._form, self._landing.joins
        socket = form.house.socket(self._landing.socket)
        words = form.tr("house {}").format(socket.label if socket else self._landing.socket)
        host = form.gig.landing(join.hand_off) if join is not None else None
        if join is None or host is None:
            return words
        piece = host.chain[join.piece - 1]
        assert isinstance(piece, GearPiece)  # the gig has checked it
        gear = form.catalogue.gear_type(piece.gear)
        other = form.rig.hand_off(join.hand_off)
        return form.tr("{} of {}, {}; by it to {}").format(
            gear.name, other.name if other else join.hand_off, form.catalogue.port(gear.id, join.port).name, words,
        )

    # -- one piece ---------------------------------------------------------------------------

    def _head(self, at: int, piece: Piece) -> None:
        """Add the line above a piece: its number, and what moves it or takes it out."""
        form, last = self._form, len(self._landing.chain) - 1
        line = QWidget()
        row = QHBoxLayout(line)
        row.setContentsMargins(0, 4, 0, 0)
        row.setSpacing(4)
        kind = form.tr("Cable") if isinstance(piece, CablePiece) else form.tr("Box")
        row.addWidget(plain(f"{at + 1} · {kind}", "heading"), 1)
        for sign, words, on, press in (
            ("↑", form.tr("Move piece {} towards the source"), at > 0, lambda: self._move(at, at - 1)),
            ("↓", form.tr("Move piece {} away from the source"), at < last, lambda: self._move(at, at + 1)),
            ("×", form.tr("Take piece {} out"), True, lambda: self._out(at)),
        ):
            button = QToolButton()
            button.setProperty("role", "small")
            button.setText(sign)
            name = words.format(at + 1)
            button.setObjectName(name)
            button.setAccessibleName(name)
            button.setToolTip(name)
            button.setEnabled(on)
            button.clicked.connect(lambda _on=False, press=press: press())
            row.addWidget(button)
        form.add(line)

    def _cable(self, at: int, piece: CablePiece) -> None:
        form = self._form
        order = form.catalogue.cable_order
        kinds = [(one.name, one.id) for one in order if one.carries(self._medium)]
        kinds += [(one.name, one.id) for one in order if not one.carries(self._medium)]
        form.choice(form.tr("Kind"), kinds, piece.cable, lambda one: self._put(at, checked(piece, cable=one)))
        form.number(
            form.tr("Length"), piece.length_m, lambda new: self._put(at, checked(piece, length_m=new)),
            unit="m", span=(0.1, 500.0), step=0.5,
        )
        self._owner(at, piece)

    def _box(self, at: int, piece: GearPiece) -> None:
        form = self._form
        gear = form.catalogue.gear_type(piece.gear)
        form.choice(form.tr("Box"), self._kinds(gear), gear.id, lambda one: self._exchange(at, one))
        self._owner(at, piece)
        ins = [(port.name, port.id) for port in gear.ports if port.direction != "out"]
        outs = [(port.name, port.id) for port in gear.ports if port.direction != "in"]
        form.choice(form.tr("Enters at"), ins, piece.enter, lambda one: self._put(at, checked(piece, enter=one)))
        first, *rest = piece.leave
        form.choice(
            form.tr("Leaves at"), outs, first, lambda one: self._put(at, checked(piece, leave=(one, *rest)))
        )
        if len(outs) > 1:
            others = [(form.tr("nowhere else"), None), *(out for out in outs if out[1] != first)]
            form.choice(
                form.tr("And at"), others, rest[0] if rest else None,
                lambda one: self._put(at, checked(piece, leave=(first, one) if one else (first,))),
            )
        for port_id in (piece.enter, *piece.leave):
            port = gear.port(port_id)
            if port is not None:
                self._settings(at, piece, gear=gear, port=port)
        joined = [form.rig.hand_off(one.hand_off) for one in form.gig.landings
                  if one.joins is not None and (one.joins.hand_off, one.joins.piece) == (form.hand_off.id, at + 1)]
        if joined:
            form.fact(form.tr("Joined by"), ", ".join(one.name for one in joined if one is not None))

    def _settings(self, at: int, piece: GearPiece, *, gear: GearType, port: Port) -> None:
        """Add what can be set at one port of a box of the chain."""
        now = next((one for one in piece.settings if one.port == port.id), PortSetting(port=port.id))

        def put(**fields: Any) -> None:
            new = checked(now, **fields)
            kept = tuple(one for one in piece.settings if one.port != port.id)
            settings = kept if new == PortSetting(port=port.id) else (*kept, new)
            self._put(at, checked(piece, settings=settings))

        setting_rows(self._form, gear, port, now, put=put)

    def _owner(self, at: int, piece: Piece) -> None:
        form = self._form
        form.choice(
            form.tr("Supplied"), form.owners(), piece.owner, lambda owner: self._put(at, checked(piece, owner=owner))
        )

    def _kinds(self, now: GearType | None = None) -> list[tuple[str, Any]]:
        """Return the boxes that may lie here, those somebody owns first."""
        form = self._form
        boxes = boxes_for(form.catalogue, self._medium)
        ours, theirs = ({one.type for one in stock} for stock in (form.desk.book.stock, form.house.stock))
        ranked = sorted(boxes, key=lambda gear: 0 if gear.id in ours else 1 if gear.id in theirs else 2)
        marks = [(ours, form.tr("{} (in the stock)")), (theirs, form.tr("{} (the house has it)"))]
        kinds = [
            (next((words for ids, words in marks if gear.id in ids), "{}").format(gear.name), gear.id)
            for gear in ranked
        ]
        if now is not None and now.id not in {one for _, one in kinds}:
            kinds.insert(0, (now.name, now.id))
        return kinds

    # -- edits -------------------------------------------------------------------------------

    def _edit(self, words: str, change: Callable[..., Book], *arguments: object) -> None:
        form = self._form
        gig_id, name, catalogue = form.gig.id, form.hand_off.id, form.desk.shipped
        form.edit(
            words.format(form.hand_off.name),
            lambda book: change(book, gig_id, name, *arguments, catalogue=catalogue),
        )

    def _put(self, at: int, piece: Piece) -> None:
        self._edit(self._form.tr("Change the chain of {}"), put_piece, (at, piece))

    def _out(self, at: int) -> None:
        self._edit(self._form.tr("Take a piece out of the chain of {}"), take_piece_out, at)

    def _move(self, start: int, end: int) -> None:
        self._edit(self._form.tr("Move a piece in the chain of {}"), move_piece, (start, end))

    def _exchange(self, at: int, gear_id: str) -> None:
        gear = self._form.catalogue.gear_type(gear_id)
        self._put(at, box_piece(gear, self._medium, self._landing.chain[at]))

    def _add_cable(self) -> None:
        form, at = self._form, len(self._landing.chain)
        piece = likeliest_cable(form.desk.book, form.gig.id, form.hand_off.id, at, catalogue=form.desk.shipped)
        self._edit(form.tr("Add a cable to the chain of {}"), put_piece, (at, piece))

    def _boxes(self) -> None:
        form, at = self._form, len(self._landing.chain)

        def add(gear_id: str | None) -> None:
            if gear_id is not None:
                piece = box_piece(form.catalogue.gear_type(gear_id), self._medium)
                self._edit(form.tr("Add a box to the chain of {}"), put_piece, (at, piece))

        form.choice(form.tr("Add a box"), [(form.tr("choose which"), None), *self._kinds()], None, add)
