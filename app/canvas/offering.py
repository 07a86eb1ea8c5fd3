"""Offering chains of adapters for a cable that does not go in: when to ask, the lines of the list, the edits."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from contextlib import suppress

from PySide6.QtCore import QCoreApplication, QObject, Qt, Signal

from app.canvas.gestures.draw_cable import End
from app.canvas.gestures.gesture import Edit
from app.canvas.layout import Point
from rigcore.book.book import Book
from rigcore.book.edits.chain_in import land_by_chain, plug_by_chain
from rigcore.book.edits.units import move_cards
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.patch.build import Patch
from rigcore.solve.offers import Offer, is_from, offers


def line_of(offer: Offer) -> str:
    """Return an offer as one line: the pieces, what must be bought, what is wrong with it all the same."""
    translate = QCoreApplication.translate
    buy = translate("PatchSheet", "to buy: {}").format(", ".join(offer.to_buy))
    if not offer.to_buy:
        buy = translate("PatchSheet", "all at hand")
    elif len(offer.to_buy) == len(offer.pieces) > 1:
        buy = translate("PatchSheet", "all to buy")
    return " · ".join((offer.words, buy, *offer.why))


def as_it_is(ends: tuple[End, End], patch: Patch) -> str:
    """Return the line of plugging a cable in without an adapter: it says between what the list is for."""
    one, other = (_spoken(end, patch) for end in ends)
    return QCoreApplication.translate("PatchSheet", "Plug {} into {} as it is").format(one, other)


def _spoken(end: End, patch: Patch) -> str:
    if isinstance(end, str):
        return next((socket.name for socket in patch.house.sockets if socket.id == end), end)
    unit = patch.units[end.unit]
    return f"{unit.name} {patch.catalogue.port(unit.gear, end.port).name}"


def offer_edit(
    offer: Offer, ends: tuple[End, End], patch: Patch, catalogue: Catalogue, *, unplaced: Mapping[str, Point]
) -> Edit | None:
    """Return the edit that puts an offered chain between two ends."""
    rig_id, gig_id = patch.rig.id, patch.gig.id
    words = QCoreApplication.translate("Edits", "Plug in with adapters")
    one, other = ends
    refs = [end for end in ends if isinstance(end, PortRef)]
    sockets = [end for end in ends if isinstance(end, str)]

    def settled(book: Book) -> Book:
        return move_cards(book, rig_id, unplaced) if unplaced else book

    if isinstance(one, PortRef) and isinstance(other, PortRef):
        pair = (one, other) if is_from(patch, (one, other)) else (other, one)
        pieces = offer.pieces
        return Edit(words, lambda book: plug_by_chain(settled(book), rig_id, pair, pieces, catalogue=catalogue))
    if len(refs) == 1 and len(sockets) == 1:
        landing = (refs[0], sockets[0])
        return Edit(words, lambda b: land_by_chain(settled(b), gig_id, landing, offer.pieces, catalogue=catalogue))
    return None


class Seeking(QObject):
    """Looks for chains off the window's thread; ``found`` is called on it, if there is still somebody to tell."""

    done = Signal(object)

    def __init__(
        self, parent: QObject, patch: Patch, ends: tuple[End, End], found: Callable[[tuple[Offer, ...]], None]
    ) -> None:
        super().__init__(parent)
        self.done.connect(found, Qt.ConnectionType.QueuedConnection)
        threading.Thread(target=self._seek, args=(patch, ends), daemon=True, name="chains").start()

    def _seek(self, patch: Patch, ends: tuple[End, End]) -> None:
        some = offers(patch, ends)
        # The window may have gone meanwhile, and its objects with it.
        with suppress(RuntimeError):
            self.done.emit(some)
