"""The details of one socket of the house: number, name, block, and what lands there."""

from __future__ import annotations

from app.desk import Desk
from app.panes.forms.thing import ThingForm
from app.panes.forms.words import chain_words
from rigcore.book.book import Book
from rigcore.book.edits.houses import change_house
from rigcore.book.edits.rebuild import checked, replaced
from rigcore.book.house import Socket
from rigcore.rules.rule import Thing


class SocketForm(ThingForm):
    """One socket of the house."""

    def __init__(self, desk: Desk, socket: Socket) -> None:
        super().__init__(desk)
        self.socket = socket
        unit = self.house.unit(socket.unit)
        way = self.tr("takes a signal in") if socket.direction == "in" else self.tr("gives a signal out")
        self.title(self.tr("House {}").format(socket.label), f"{self.house.name}, {way}")
        self.fact(self.tr("On"), unit.name if unit else socket.unit)
        self.whole(self.tr("Number"), socket.number, lambda new: self._change(number=new), span=(0, 9999))
        self.text(self.tr("Name"), socket.label, lambda text: self._change(label=text.strip()), needed=True)
        self.text(self.tr("Block"), socket.block, lambda text: self._change(block=text.strip()))
        self.heading(self.tr("What lands here"))
        landing = next((one for one in self.gig.landings if one.socket == socket.id), None)
        if landing is None:
            self.say(self.tr("Free. Drag a cable from a port of the rig to it."), "soft")
        else:
            hand_off = self.rig.hand_off(landing.hand_off)
            if hand_off is not None:
                self.fact(self.tr("Hand-off"), hand_off.name)
                for number, words in enumerate(chain_words(self.catalogue, landing), start=1):
                    self.fact(self.tr("Chain {}").format(number), words)
                self.button(
                    self.tr("Open this landing"),
                    lambda: self.desk.select((Thing("landing", landing.hand_off),)),
                )
        self.ladder_of(Thing("socket", socket.id))
        self.findings_about(Thing("socket", socket.id))
        self.button(self.tr("House…"), lambda: self.asked.emit("house"))
        self.finish()

    def _change(self, **fields: object) -> None:
        house_id, socket_id = self.house.id, self.socket.id

        def change(book: Book) -> Book:
            house = book.house(house_id)
            now = house.socket(socket_id)
            if now is None:
                return book
            return change_house(book, house_id, sockets=replaced(house.sockets, checked(now, **fields)))

        self.edit(f"change house {self.socket.label}", change)
