"""What one line can carry in place of two, and what that costs.

The left output alone where the gear sums into it; a box of resistors; a hand-off that
stands in for others. Two outputs are never joined by a plain Y: each would drive
the other.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from rigcore.book.edits.rebuild import checked, put_rig
from rigcore.book.gig import CablePiece, GearPiece, Join, Landing, Piece
from rigcore.book.ids import PortRef
from rigcore.book.rig import HandOff, Link, Unit
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.gear import Port
from rigcore.patch.build import Node, Patch, build_patch
from rigcore.patch.channels import left_for_both
from rigcore.solve.chain import Chain, Cost
from rigcore.solve.chain_parts import mass_of, price_of
from rigcore.solve.stockroom import From, Item, Supply, item_of

BOX = "summing-box"
"""The box of resistors that joins two outputs."""

class Summed(Struct, frozen=True, eq=False):
    """A pair joined by a box: the two leads into it, and a patch where the box is a hand-off of the rig."""

    left: str
    right: str
    leads: tuple[CablePiece, CablePiece]
    box: GearPiece
    items: tuple[Item, ...]
    price: float
    mass_kg: float
    loss_db: float
    hand_off: HandOff
    patch: Patch

    @property
    def needs(self) -> Counter[Item]:
        """How many of each thing the joining takes, without what leads on."""
        return Counter(self.items)

    def cost_of(self, onward: Cost) -> Cost:
        """Return the cost of the whole, given that of the chain that leads on."""
        return Cost(
            onward.faults, onward.price + self.price, onward.mass_kg + self.mass_kg,
            onward.pieces + len(self.items), onward.loss_db + self.loss_db, onward.risks,
        )  # fmt: skip

    def landings(self, socket: str, onward: Chain) -> tuple[Landing, Landing]:
        """Return the landings of both halves: the left one carries the box, the right one joins it."""
        chain: tuple[Piece, ...] = (self.leads[0], self.box, *onward.pieces)
        left = Landing(hand_off=self.left, socket=socket, chain=chain)
        join = Join(hand_off=self.left, piece=2, port="in-2")
        return left, Landing(hand_off=self.right, socket=socket, chain=(self.leads[1],), joins=join)


def left_alone(patch: Patch) -> Iterator[tuple[HandOff, HandOff]]:
    """Yield the pairs whose left output carries both sides while the right one is left unplugged."""
    for right in patch.rig.hand_offs:
        left = left_for_both(patch, right)
        linked = {(link.source.unit, link.source.port) for link in patch.rig.links}
        if left is not None and (right.unit, right.port) not in linked:
            yield left, right


def stand_ins(patch: Patch) -> Iterator[tuple[HandOff, tuple[str, ...]]]:
    """Yield the hand-offs that stand in for others, with those."""
    for one in patch.rig.hand_offs:
        names = tuple(other.id for other in patch.rig.hand_offs if other.falls_back_to == one.id)
        if names:
            yield one, names


def summed(patch: Patch, left: HandOff, right: HandOff, stock: Supply) -> Summed | None:
    """Return how a pair would be joined by a box of resistors, or None where its plugs do not allow it."""
    if left.direction != "to house" or left.unit != right.unit:
        return None
    ports = [patch.end(Node("rig", one.unit, one.port)).port for one in (left, right)]
    gear = patch.catalogue.gear_type(BOX)
    into = gear.port("in-1")
    assert into is not None  # the shipped box has two inputs
    if not all(isinstance(port.carrier, Audio) for port in ports):
        return None
    leads = _leads(patch, ports[0], into, stock)
    if leads is None:
        return None
    lead, comes_from = leads
    mine = stock.get(Item("gear", BOX, 0.0, "rig"), 0) > 0
    box = GearPiece(kind="gear", gear=BOX, enter="in-1", leave=("out",), owner="rig")
    items = (item_of(lead, comes_from), item_of(lead, comes_from), item_of(box, "rig" if mine else "buy"))
    price = sum(price_of(item, patch.catalogue) for item in items)
    loss = -next(path.gain_db for path in gear.paths if path.source == "in-1")
    mass = sum(mass_of(item, patch.catalogue) for item in items)
    hand_off, virtual = _with_box(patch, (left, right), lead)
    return Summed(left.id, right.id, (lead, lead), box, items, price, mass, loss, hand_off, virtual)


def _leads(patch: Patch, port: Port, into: Port, stock: Supply) -> tuple[CablePiece, From] | None:
    """Return a cable for each of two leads into the box: the shortest pair owned, else the shortest to be bought."""
    for cable in patch.catalogue.cables_between(port, into):
        mine = [one for one, count in stock.items() if one.comes_from == "rig" and count > 1]
        owned = [one.length_m for one in mine if (one.kind, one.type) == ("cable", cable.id)]
        if owned:
            return CablePiece(kind="cable", cable=cable.id, length_m=min(owned)), "rig"
    for cable in patch.catalogue.cables_between(port, into):
        return CablePiece(kind="cable", cable=cable.id, length_m=min(cable.stock_lengths_m)), "buy"
    return None


def _with_box(patch: Patch, pair: tuple[HandOff, HandOff], lead: CablePiece) -> tuple[HandOff, Patch]:
    """Return a hand-off at the output of the box, and the patch it belongs to: the rig with the box linked in."""
    name = f"{pair[0].id[:60]}.summed"
    stands = patch.units[pair[0].unit]
    box = Unit(id=name, name="Summing box", gear=BOX, x_m=stands.x_m, y_m=stands.y_m, family=stands.family)
    links = tuple(
        Link(
            id=f"{name}-{n}", source=PortRef(unit=one.unit, port=one.port),
            target=PortRef(unit=name, port=f"in-{n}"), cable=lead.cable, length_m=lead.length_m,
        )
        for n, one in enumerate(pair, start=1)
    )  # fmt: skip
    hand_off = checked(pair[0], id=name, unit=name, port="out", group=None, side="")
    rig = checked(
        patch.rig, units=(*patch.rig.units, box), links=(*patch.rig.links, *links),
        hand_offs=(*patch.rig.hand_offs, hand_off),
    )  # fmt: skip
    return hand_off, build_patch(put_rig(patch.book, rig), patch.gig.id, patch.catalogue)


def consequences(patch: Patch, left: HandOff, by_box_db: float | None = None) -> tuple[str, ...]:
    """Return what one line in place of two costs, in dB and words.

    Beside two lines added up by the house: what both sides share adds up to 6 dB there, what differs to 3 dB.
    ``by_box_db`` is what a box of resistors loses; None is the left output alone.
    """
    same, unlike = 20 * math.log10(2), 10 * math.log10(2)
    name = left.name.removesuffix(" L")
    common = (
        f"one line in place of two: up to {same:.1f} dB less at the house where left and right are alike, "
        f"{unlike:.1f} dB less where they differ",
        "left and right become one: what differs in phase is coloured or cancelled; use a sound made for mono",
    )
    if by_box_db is None:
        port = patch.end(Node("rig", left.unit, left.port)).port
        return (f"{name}: {port.name} alone carries both sides while the right output stays empty: 0 dB lost", *common)
    output = patch.end(Node("rig", left.unit, left.port)).port.carrier
    gear = patch.catalogue.gear_type(BOX)
    into = gear.port("in-1")
    load = into.carrier.ohm if into is not None and isinstance(into.carrier, Audio) else None
    words = [f"{name}: a box of resistors loses {by_box_db:.1f} dB of each side"]
    if load and isinstance(output, Audio) and output.ohm:
        lost = 20 * math.log10(1 + output.ohm / load)
        words.append(f"each output of {output.ohm:g} ohm drives {load:g} ohm: {lost:.2f} dB more")
    return (*words, *common)
