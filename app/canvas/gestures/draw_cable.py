"""Drawing a cable from a port to a port or a house tile; the mouse and the keyboard share it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QCoreApplication, QPointF
from PySide6.QtGui import QPainter

from app.canvas.cable_item import stroke_path, way_path
from app.canvas.gestures.gesture import Edit, Gesture, Pointer
from app.canvas.hits import NOTHING, Hit
from app.canvas.layout import Point
from app.canvas.looks import look_of
from app.canvas.patch_scene import PatchScene
from app.canvas.routes import straight_way
from app.desk import Desk
from app.theme import Theme
from rigcore.book.book import Book
from rigcore.book.edits.gigs import land_port
from rigcore.book.edits.links import plug
from rigcore.book.edits.units import move_cards
from rigcore.book.ids import PortRef
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import Port
from rigcore.patch.meeting import Meeting, meets

End = PortRef | str
"""A port of the rig, or the id of a house socket."""


def end_of(hit: Hit) -> End | None:
    """Return the end a cable would have at what was hit, if any."""
    return hit.id if hit.kind == "tile" else hit.ref


def cable_edit(
    ends: tuple[End, End], gig: tuple[str, str], catalogue: Catalogue, unplaced: Mapping[str, Point]
) -> Edit | None:
    """Return the edit a cable between two ends asks for, or None between two house sockets.

    ``gig`` is the gig's id and its rig's.
    """
    gig_id, rig_id = gig
    first, second = ends
    if isinstance(first, PortRef) and isinstance(second, PortRef):
        pair = (first, second)

        def plug_in(book: Book) -> Book:
            settled = move_cards(book, rig_id, unplaced) if unplaced else book
            return plug(settled, rig_id, pair, catalogue)

        return Edit(QCoreApplication.translate("Edits", "Plug a cable"), plug_in)
    ref, socket = (first, second) if isinstance(first, PortRef) else (second, first)
    if not isinstance(ref, PortRef) or not isinstance(socket, str):
        return None
    return Edit(
        QCoreApplication.translate("Edits", "Land on the house line"),
        lambda book: land_port(book, gig_id, ref, socket, catalogue=catalogue),
    )


class DrawCable(Gesture):
    """A cable in the hand: lights its takers, says why not on the others, plugs in at the end."""

    def __init__(self, desk: Desk, scene: PatchScene, origin: Hit, theme: Theme) -> None:
        self._desk = desk
        self._scene = scene
        self._theme = theme
        self._catalogue = desk.catalogue
        self.origin = origin
        self._end = end_of(origin)
        self._over = NOTHING
        self.tip = QPointF()
        self._answers: dict[End, Meeting] = {}
        self.offer: Callable[[tuple[End, End], Edit], bool] | None = None

    def start(self, pointer: Pointer) -> None:
        self.tip = pointer.at
        self._answers = self._ask_everybody()
        self._scene.show_answers(self._answers)

    def move(self, pointer: Pointer) -> None:
        self.hold_over(self._scene.hit(pointer.at, cables=False), pointer.at)

    def hold_over(self, hit: Hit, at: QPointF) -> None:
        """Hold the cable's loose end over something."""
        self._over = hit if end_of(hit) is not None and end_of(hit) != self._end else NOTHING
        face = end_of(self._over)
        self.tip = QPointF(*self._scene.face_at(face)[0]) if face is not None else at

    def end(self, pointer: Pointer) -> None:
        target, first = end_of(self._over), self._end
        self._scene.show_answers(None)
        if target is None or first is None:
            return
        answer = self._answers.get(target)
        if answer is not None and not answer.possible:
            self._desk.refused.emit(answer.why)
            return
        edit = self.edit_to(target)
        if edit is None:
            return
        if self.offer is not None and self._wants_adapter(target) and self.offer((first, target), edit):
            return
        self._desk.edit(edit.words, edit.change)

    def _wants_adapter(self, target: End) -> bool:
        """Return whether the two ports do not take each other as they are, whatever is plugged in."""
        mine, other = self._port(self._end), self._port(target)
        return mine is not None and other is not None and not meets(self._catalogue, mine, other).takes

    def edit_to(self, target: End) -> Edit | None:
        """Return the edit that plugs the loose end in at a target."""
        if self._end is None:
            return None
        gig = (self._desk.gig_id, self._desk.rig_id)
        return cable_edit((self._end, target), gig, self._desk.shipped, self._scene.plan.unplaced)

    def cancel(self) -> None:
        self._scene.show_answers(None)

    @property
    def words(self) -> str:
        """What to say beside the hand: where the end is held, and whether it would go in."""
        target = end_of(self._over)
        if target is None:
            return ""
        name = self._name(target)
        answer = self._answers.get(target)
        if answer is None:
            return name
        if answer.why:
            return f"{name}: {answer.why}"
        cable = self._likely_cable(target)
        return f"{name}: {cable}" if cable else name

    @property
    def would_take(self) -> bool:
        """Whether what the end is held over would take it."""
        answer = self._answers.get(end_of(self._over) or "")
        return answer is not None and answer.takes

    def paint(self, painter: QPainter) -> None:
        port = self._port(self._end)
        if port is None or self._end is None:
            return
        at, side = self._scene.face_at(self._end)
        way = straight_way(at, side, Point(self.tip.x(), self.tip.y()))  # type: ignore[arg-type]
        stroke_path(painter, way_path(way), look_of(port.carrier, None), self._theme)

    def _ask_everybody(self) -> dict[End, Meeting]:
        mine = self._port(self._end)
        if mine is None:
            return {}
        kept: dict[int, Meeting] = {}
        answers: dict[End, Meeting] = {}
        plan = self._scene.plan
        sockets = [card.end(spot.port) for card in plan.cards.values() for spot in card.card.spots]
        ends: list[End] = [PortRef(unit=unit_id, port=port_id) for unit_id, port_id in sockets]
        for end in [*ends, *plan.sockets]:
            other = self._port(end)
            if other is None or end == self._end:
                continue
            if id(other) not in kept:
                kept[id(other)] = meets(self._catalogue, mine, other)
            answers[end] = self._with_book(end, kept[id(other)])
        return answers

    def _with_book(self, end: End, answer: Meeting) -> Meeting:
        """Return the answer of a port in the light of what is plugged in already."""
        translate = QCoreApplication.translate
        if isinstance(end, str) and isinstance(self._end, str):
            return Meeting(False, translate("PatchSheet", "both belong to the house"), possible=False)
        if not answer.takes:
            return answer
        landed = self._scene.plan.landed_at(end) if isinstance(end, str) else None
        if landed is not None:
            return Meeting(False, translate("PatchSheet", "has {} already").format(landed.words))
        if isinstance(end, PortRef) and end in self._scene.plan.taken:
            return Meeting(False, translate("PatchSheet", "has a cable already"))
        return answer

    def _port(self, end: End | None) -> Port | None:
        if end is None:
            return None
        return self._scene.house_port(end) if isinstance(end, str) else self._scene.port(end)

    def _name(self, end: End) -> str:
        if isinstance(end, str):
            tile = self._scene.plan.rows.tile(end)
            return f"{tile.text.number} {tile.text.label}".strip() if tile else ""
        port = self._scene.port(end)
        return f"{self._scene.plan.units[end.unit].unit.name} · {port.name}" if port else ""

    def _likely_cable(self, target: End) -> str:
        ports = [self._port(self._end), self._port(target)]
        if ports[0] is None or ports[1] is None:
            return ""
        source, other = ports[0], ports[1]
        if source.direction == "in" or other.direction == "out":
            source, other = other, source
        if self._catalogue.mating.fits(source.connector, other.connector):
            return QCoreApplication.translate("PatchSheet", "goes straight in")
        cables = self._catalogue.cables_between(source, other)
        return cables[0].name if cables else ""
