"""The details of a hand-off and of its landing at this gig: one form, since one is nothing without the other."""

from __future__ import annotations

from typing import Any

from app.desk import Desk
from app.panes.forms.thing import ThingForm
from app.panes.forms.words import cable_words, chain_words, end_words
from rigcore.book.edits.gigs import bind_landing, land_port, unbind_landing
from rigcore.book.edits.hand_offs import change_hand_off, remove_hand_off
from rigcore.book.edits.rebuild import checked
from rigcore.book.gig import CablePiece, Landing
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff
from rigcore.rules.rule import Thing


class HandOffForm(ThingForm):
    """One hand-off with its landing."""

    def __init__(self, desk: Desk, hand_off: HandOff) -> None:
        super().__init__(desk)
        self.hand_off = hand_off
        self.landing = self.gig.landing(hand_off.id)
        way = self.tr("Goes to the house") if hand_off.direction == "to house" else self.tr("Comes from the house")
        self.title(hand_off.name, way)
        self.fact(self.tr("At"), end_words(self.catalogue, self.rig, PortRef(unit=hand_off.unit, port=hand_off.port)))
        self._rig_side()
        self.ladder_of(Thing("landing", hand_off.id))
        self._house_side()
        self.findings_about(Thing("landing", hand_off.id), Thing("hand-off", hand_off.id))
        self.heading(self.tr("Away with it"))
        if self.landing is not None:
            self.button(self.tr("Unplug from the house"), self._unland)
        self.button(self.tr("Give the hand-off up"), self._give_up)
        self.finish()

    def _change(self, **fields: object) -> None:
        rig_id, name = self.rig.id, self.hand_off.id
        self.edit(
            f"change {self.hand_off.name}", lambda book: change_hand_off(book, rig_id, name, **fields)
        )

    def _rig_side(self) -> None:
        one = self.hand_off
        self.text(self.tr("Name"), one.name, lambda text: self._change(name=text.strip()))
        wants = [(self.tr("must be there"), "must"), (self.tr("nice to have"), "nice")]
        self.choice(self.tr("Importance"), wants, one.importance, lambda new: self._change(importance=new))
        self.whole(self.tr("Rank"), one.order, lambda new: self._change(order=new), span=(1, 999)).setToolTip(
            self.tr("1 survives longest when the house has too few lines")
        )
        self.tick(
            self.tr("Ears only"), one.ears_only, lambda on: self._change(ears_only=on),
            words=self.tr("never to the house"),
        )
        self.note(self.tr("Note"), one.note, lambda text: self._change(note=text.strip()))

    def _house_side(self) -> None:
        self.heading(self.tr("Landing at {}").format(self.house.name))
        wanted = "in" if self.hand_off.direction == "to house" else "out"
        taken = {one.socket: one.hand_off for one in self.gig.landings}
        options: list[tuple[str, Any]] = [(self.tr("nowhere yet"), None)]
        for socket in self.house.sockets:
            if socket.direction != wanted:
                continue
            other = self.rig.hand_off(taken.get(socket.id, ""))
            words = socket.label if socket.label == str(socket.number) else f"{socket.number} · {socket.label}"
            if other is not None and other.id != self.hand_off.id:
                words += self.tr(" (has {})").format(other.name)
            options.append((words, socket.id))
        self.choice(self.tr("Socket"), options, self.landing.socket if self.landing else None, self._land)
        if self.landing is None:
            return
        lines = chain_words(self.catalogue, self.landing)
        for number, words in enumerate(lines, start=1):
            self.fact(self.tr("Chain {}").format(number), words)
        if not lines:
            self.fact(self.tr("Chain"), self.tr("only intended: nothing lies between yet"))
        self._lengths()
        self.note(self.tr("For the house"), self.landing.note, lambda text: self._bind(note=text.strip()))

    def _lengths(self) -> None:
        landing = self.landing
        assert landing is not None
        cables = [(place, piece) for place, piece in enumerate(landing.chain) if isinstance(piece, CablePiece)]
        if not landing.chain:
            self.number(
                self.tr("Distance"), landing.length_m, lambda new: self._bind(length_m=new),
                unit="m", span=(0.5, 500.0), step=0.5, empty=self.tr("not measured"),
            )
        for count, (place, piece) in enumerate(cables, start=1):
            label = self.tr("Length") if len(cables) == 1 else self.tr("Length {}").format(count)
            box = self.number(
                label, piece.length_m, lambda new, place=place: self._stretch(place, new),
                unit="m", span=(0.1, 500.0), step=0.5,
            )
            box.setToolTip(cable_words(self.catalogue, piece.cable, None))

    def _stretch(self, place: int, length_m: float) -> None:
        assert self.landing is not None
        chain = list(self.landing.chain)
        chain[place] = checked(chain[place], length_m=length_m)
        self._bind(chain=tuple(chain))

    def _bind(self, **fields: object) -> None:
        assert self.landing is not None
        gig_id, catalogue, landing = self.gig.id, self.catalogue, self.landing
        self.edit(
            f"change landing of {self.hand_off.name}",
            lambda book: bind_landing(book, gig_id, checked(landing, **fields), catalogue),
        )

    def _land(self, socket_id: str | None) -> None:
        if socket_id is None:
            if self.landing is not None:
                self._unland()
            return
        if self.landing is not None and len(self.landing.chain) > 1:
            self._bind(socket=socket_id)
            return
        gig_id, catalogue, one = self.gig.id, self.catalogue, self.hand_off
        ref = PortRef(unit=one.unit, port=one.port)
        note = self.landing.note if self.landing else ""

        def land(book: Any) -> Any:
            book = land_port(book, gig_id, ref, socket_id, catalogue=catalogue)
            landed: Landing = book.gig(gig_id).landing(one.id)
            return bind_landing(book, gig_id, checked(landed, note=note), catalogue) if note else book

        self.edit(f"land {one.name}", land)

    def _unland(self) -> None:
        gig_id, name = self.gig.id, self.hand_off.id
        self.edit(f"unplug {self.hand_off.name} from the house", lambda book: unbind_landing(book, gig_id, name))

    def _give_up(self) -> None:
        rig_id, name = self.rig.id, self.hand_off.id
        self.edit(f"give up {self.hand_off.name}", lambda book: remove_hand_off(book, rig_id, name))
