"""The details of a hand-off and of its landing at this gig: one form, since one is nothing without the other."""

from __future__ import annotations

from typing import Any

from app.desk import Desk
from app.panes.forms.chain_rows import ChainRows
from app.panes.forms.thing import ThingForm
from app.panes.forms.words import end_words
from rigcore.book.book import Book
from rigcore.book.edits.chains import land_elsewhere
from rigcore.book.edits.gigs import bind_landing, land_port, unbind_landing
from rigcore.book.edits.hand_offs import change_hand_off, remove_hand_off
from rigcore.book.edits.rebuild import checked
from rigcore.book.edits.stereo import pair, partner_of, unpair
from rigcore.book.gig import Landing
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
        self.text(self.tr("Name"), one.name, lambda text: self._change(name=text.strip()), needed=True)
        wants = [(self.tr("must be there"), "must"), (self.tr("nice to have"), "nice")]
        self.choice(self.tr("Importance"), wants, one.importance, lambda new: self._change(importance=new))
        self.whole(self.tr("Rank"), one.order, lambda new: self._change(order=new), span=(1, 999)).setToolTip(
            self.tr("1 survives longest when the house has too few lines")
        )
        self._pair()
        options: list[tuple[str, Any]] = [(self.tr("nothing"), None)]
        options += [(other.name, other.id) for other in self._others()]
        self.choice(
            self.tr("Falls back to"), options, one.falls_back_to, lambda new: self._change(falls_back_to=new)
        ).setToolTip(self.tr("What takes its place when it is lost or the house has too few lines"))
        self.tick(
            self.tr("Ears only"), one.ears_only, lambda on: self._change(ears_only=on),
            words=self.tr("never to the house"),
        )
        self.note(self.tr("Note"), one.note, lambda text: self._change(note=text.strip()))

    def _others(self) -> list[HandOff]:
        """Return the other hand-offs that run the same way."""
        one = self.hand_off
        return [other for other in self.rig.hand_offs if other.id != one.id and other.direction == one.direction]

    def _pair(self) -> None:
        rig_id, one = self.rig.id, self.hand_off
        other = partner_of(self.rig, one)

        def take(name: str | None, side: str) -> None:
            if name is None:
                self.edit(f"part {one.name}", lambda book: unpair(book, rig_id, one.id))
            else:
                halves = (one.id, name) if side == "L" else (name, one.id)
                self.edit(f"pair {one.name}", lambda book: pair(book, rig_id, halves))

        options: list[tuple[str, Any]] = [(self.tr("by itself"), None)]
        options += [(each.name, each.id) for each in self._others()]
        self.choice(
            self.tr("Pair with"), options, other.id if other else None, lambda name: take(name, one.side or "L")
        )
        if other is not None:
            sides = [(self.tr("left"), "L"), (self.tr("right"), "R")]
            self.choice(self.tr("Side"), sides, one.side, lambda side: take(other.id, side))

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
        ChainRows(self, self.landing).build()
        if not self.landing.chain:
            self.number(
                self.tr("Distance"), self.landing.length_m, lambda new: self._bind(length_m=new),
                unit="m", span=(0.5, 500.0), step=0.5, empty=self.tr("not measured"),
            )
        self.note(self.tr("For the house"), self.landing.note, lambda text: self._bind(note=text.strip()))

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
        gig_id, catalogue, one, old = self.gig.id, self.catalogue, self.hand_off, self.landing
        ref = PortRef(unit=one.unit, port=one.port)

        def land(book: Book) -> Book:
            """Take the likeliest cable where nothing else was chosen; a chain somebody built stays as it is."""
            if old is not None and _is_built(book, gig_id, old):
                return land_elsewhere(book, gig_id, one.id, socket_id, catalogue=catalogue)
            fresh = land_port(book, gig_id, ref, socket_id, catalogue=catalogue)
            landed = fresh.gig(gig_id).landing(one.id)
            if old is None or landed is None:
                return fresh
            alike = [getattr(piece, "cable", "") for piece in old.chain] == [
                getattr(piece, "cable", "") for piece in landed.chain
            ]
            kept = checked(landed, note=old.note, chain=old.chain if alike else landed.chain)
            return bind_landing(fresh, gig_id, kept, catalogue)

        self.edit(f"land {one.name}", land)

    def _unland(self) -> None:
        gig_id, name = self.gig.id, self.hand_off.id
        self.edit(f"unplug {self.hand_off.name} from the house", lambda book: unbind_landing(book, gig_id, name))

    def _give_up(self) -> None:
        rig_id, name = self.rig.id, self.hand_off.id
        self.edit(f"give up {self.hand_off.name}", lambda book: remove_hand_off(book, rig_id, name))


def _is_built(book: Book, gig_id: str, landing: Landing) -> bool:
    """Return whether more than one likely cable lies there, or others join it."""
    joined = any(one.joins is not None and one.joins.hand_off == landing.hand_off for one in book.gig(gig_id).landings)
    return joined or landing.joins is not None or len(landing.chain) > 1
