"""Remedies of the rules about power: strips, outlets and circuits agreed with the house, spares, supplies.

None of them touches a protective earth or a breaker: more is asked of the house, or less is hung on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from rigcore.book.book import Book
from rigcore.book.edits.gigs import place_here
from rigcore.book.edits.hand_offs import remove_hand_off
from rigcore.book.edits.houses import change_house, learn
from rigcore.book.edits.links import add_link, remove_links
from rigcore.book.edits.rebuild import checked, put_rig, replaced
from rigcore.book.edits.units import add_unit, unit_of
from rigcore.book.gig import Placement
from rigcore.book.house import Fact, PowerDrop
from rigcore.book.ids import PortRef, new_id
from rigcore.book.rig import Link, Unit
from rigcore.book.stock import StockItem
from rigcore.catalogue.carriers import Dc, Mains
from rigcore.catalogue.gear import GearType, Port
from rigcore.patch.build import Patch
from rigcore.patch.circuits import Circuit, region, shared_words, unshared
from rigcore.patch.dc import DcRun
from rigcore.patch.plugs import Plug, is_strip, suits
from rigcore.patch.power import Place
from rigcore.rules.power_places import Spot, beside
from rigcore.rules.rule import Remedy

FEWEST_OUTLETS = 4


def strip_for(patch: Patch, outlets: Iterable[str]) -> GearType | None:
    """Return the strip to bring for some kinds of outlet: the player's own first, else the lightest; or None."""
    wanted = frozenset(outlets)
    known: dict[frozenset[str], GearType | None] = patch.derived.setdefault(strip_for, {})
    if wanted not in known:
        known[wanted] = _strip_for(patch, wanted)
    return known[wanted]


def _strip_for(patch: Patch, wanted: frozenset[str]) -> GearType | None:
    own = {item.type for item in patch.book.stock if item.kind == "gear" and item.count > 0}
    fitting = [
        gear
        for gear in patch.catalogue.of_category("power")
        if is_strip(gear)
        and sum(port.direction == "out" for port in gear.ports) >= FEWEST_OUTLETS
        and any(patch.catalogue.mating.fits(gear.mains_inlets()[0].connector, one) for one in wanted)
    ]
    return min(fitting, key=lambda gear: (gear.id not in own, gear.mass_kg), default=None)


def outlets_at(patch: Patch, drop: PowerDrop | None) -> tuple[str, ...]:
    """Return the kinds of outlet at a drop: what the house said, else the usual one of its region."""
    if drop is not None and drop.connector is not None:
        return (drop.connector,)
    return region(patch).plugs[:1]


def bring_strip(patch: Patch, place: Place) -> Remedy | None:
    """Return the remedy of bringing as many strips as make a place's outlets enough; None where none would."""
    gear = strip_for(patch, outlets_at(patch, place.drop))
    if gear is None or place.given is None:
        return None
    ways = [port.connector for port in gear.ports if port.direction == "out"]
    waiting = [one for one in place.in_wall if one.hop is None and not one.feeds_only]
    loose = [one for one in waiting if suits(patch, ways[0], one.inlet.port.connector)]
    stay = len(place.in_wall) - len(loose)
    number = next(
        (n for n in range(1, len(loose) + 1) if stay + n + max(0, len(loose) - n * len(ways)) <= place.given), None
    )
    if number is None:
        return None
    own = any(item.type == gear.id and item.count > 0 for item in patch.book.stock)
    words = f"Bring {'your own ' if own else ''}{gear.name}" + (f", {number} of them" if number > 1 else "")
    return add_strips(patch, gear, (number, place.drop, loose), words)


def add_strips(patch: Patch, gear: GearType, where: tuple[int, PowerDrop | None, list[Plug]], words: str) -> Remedy:
    """Return the remedy of standing so many strips beside some units, nearest to their power drop."""
    number, drop, plugs = where
    here = beside(patch, drop, [one.unit for one in plugs if one.unit is not None])
    rig_id, gig, catalogue = patch.rig.id, patch.gig, patch.catalogue

    def apply(book: Book) -> Book:
        for _ in range(number):
            unit = unit_of(book, rig_id, gear.id, catalogue)
            if here is not None:
                unit = checked(unit, x_m=here.rig[0], y_m=here.rig[1])
            book = add_unit(book, rig_id, unit, catalogue)
            if here is not None and gig.placements:
                placement = Placement(unit=unit.id, x_m=here.stage[0], y_m=here.stage[1])
                book = place_here(book, gig.id, placement)
        return book

    return Remedy(words, apply)


def agree_outlets(patch: Patch, place: Place, number: int) -> Remedy | None:
    """Return the remedy of agreeing more outlets with the house; None where its sockets say how many there are."""
    words = f"Agree {number} outlet{'s' * (number != 1)} at {place.name} with the house"
    house_id = patch.house.id
    if place.drop is not None:
        return _change_drops(patch, words, [place.drop], outlets=number)
    if any(patch.catalogue.port(_gear(patch, one.unit), one.ports[0]).carrier.medium == "mains"
           for one in patch.house.sockets):  # fmt: skip
        return None
    fact = Fact(key="outlets", value=str(number), said_by="agreed")
    return Remedy(words, lambda book: learn(book, house_id, fact))


def _gear(patch: Patch, house_unit: str) -> str:
    unit = patch.house.unit(house_unit)
    assert unit is not None  # the book's validator saw to it
    return unit.gear


def spare_strip(patch: Patch, gear: GearType, number: int) -> Remedy:
    """Return the remedy of owning so many strips of a type, one more than are in use."""
    item = StockItem(kind="gear", type=gear.id, count=number, note="one of them spare")

    def apply(book: Book) -> Book:
        kept = tuple(one for one in book.stock if (one.kind, one.type) != ("gear", gear.id))
        return checked(book, stock=(*kept, item))

    return Remedy(f"Carry a spare {gear.name}", apply)


def agree_breaker(patch: Patch, circuit: Circuit, rating_a: float) -> Remedy | None:
    """Return the remedy of being given a circuit of a higher rating; None in a house without drops."""
    if not circuit.drops:
        return None
    words = f"Ask for a {rating_a:g} A circuit at {circuit.name}"
    return _change_drops(patch, words, list(circuit.drops), circuit_a=rating_a)


def own_circuit(patch: Patch, circuit: Circuit) -> Remedy:
    """Return the remedy of being given a circuit that nothing else hangs on."""
    house_id, kept = patch.house.id, {drop.id: unshared(drop.circuit) for drop in circuit.drops}

    def apply(book: Book) -> Book:
        house = book.house(house_id)
        for drop_id, words in kept.items():
            drop = next(one for one in house.stage.power if one.id == drop_id)
            new = checked(drop, shared_with="", circuit=words)
            house = checked(house, stage=checked(house.stage, power=replaced(house.stage.power, new)))
        book = change_house(book, house_id, stage=house.stage)
        fact = house.fact("circuit")
        if fact is None or not shared_words(fact.value):
            return book
        return learn(book, house_id, checked(fact, value="own circuit, not shared", said_by="agreed"))

    return Remedy(f"Ask for another circuit at {circuit.name}, shared with nobody", apply)


def off_limiter(patch: Patch, circuit: Circuit) -> Remedy | None:
    """Return the remedy of being given outlets the sound limiter does not cut; None in a house without drops."""
    words = f"Ask for outlets at {circuit.name} that the sound limiter does not cut"
    if circuit.drops:
        return _change_drops(patch, words, list(circuit.drops), limiter=False)
    fact = Fact(key="sound limiter", value="none on the stage outlets", said_by="agreed")
    house_id = patch.house.id
    return Remedy(words, lambda book: learn(book, house_id, fact))


def second_circuit(patch: Patch, circuit: Circuit, spots: list[Spot], most: float) -> Remedy | None:
    """Return the remedy of being given a second circuit near some units, if two would do.

    ``spots`` are the places of what has no mains link, with what each weighs on the circuit;
    ``most`` is what one circuit bears. Nearness decides what goes over to the new one.
    """
    best: tuple[float, Spot, int] | None = None
    old = circuit.drops
    whole = math.fsum(one.weight for one in spots)
    squares = [min((one.square_to(drop) for drop in old), default=0.0) for one in spots]
    for candidate in spots:
        over = [one for one, square in zip(spots, squares, strict=True) if one.square_to(candidate) < square]
        there = math.fsum(one.weight for one in over)
        here = whole - there
        if over and max(here, there) <= most and (best is None or max(here, there) < best[0]):
            best = (max(here, there), candidate, len(over))
    if best is None:
        return None
    _, spot, number = best
    taken = {drop.id for drop in patch.house.stage.power}
    name = f"{old[0].name} 2"
    new = checked(
        old[0], id=new_id(name, taken), name=name, x_m=spot.x_m, y_m=spot.y_m, outlets=max(2, number),
        circuit=f"second circuit, {old[0].name}", shared_with="",
        circuit_a=circuit.breaker_a if circuit.breaker_known else None,
    )  # fmt: skip
    return _with_drop(patch, new, f"Ask for a second circuit near {spot.name}")


def outlet_here(patch: Patch, plug: Plug) -> Remedy | None:
    """Return the remedy of being given an outlet where a unit stands, in place of the lead to it."""
    unit, hop = plug.unit, plug.hop
    drops = patch.house.stage.power
    if unit is None or unit.x_m is None or unit.y_m is None or hop is None or not drops:
        return None
    outlet = next((one for one in region(patch).plugs if suits(patch, one, plug.inlet.port.connector)), None)
    name = f"At {unit.name}"
    new = checked(
        plug.drop or drops[0], id=new_id(name, {drop.id for drop in drops}), name=name[:120],
        x_m=unit.x_m, y_m=unit.y_m, outlets=2, connector=outlet,
    )  # fmt: skip
    laid = _with_drop(patch, new, f"Ask for an outlet beside {unit.name}, and leave the long lead")
    rig_id = patch.rig.id

    def apply(book: Book) -> Book:
        book = laid.apply(book)
        if hop.link is not None:
            return remove_links(book, rig_id, [hop.link.id])
        return remove_hand_off(book, rig_id, hop.landing.hand_off) if hop.landing is not None else book

    return Remedy(laid.words, apply)


def _with_drop(patch: Patch, new: PowerDrop, words: str) -> Remedy:
    house_id = patch.house.id

    def apply(book: Book) -> Book:
        stage = book.house(house_id).stage
        return change_house(book, house_id, stage=checked(stage, power=(*stage.power, new)))

    return Remedy(words, apply)


def _change_drops(patch: Patch, words: str, drops: list[PowerDrop], **fields: object) -> Remedy:
    house_id, ids = patch.house.id, {drop.id for drop in drops}

    def apply(book: Book) -> Book:
        stage = book.house(house_id).stage
        power = tuple(checked(one, **fields) if one.id in ids else one for one in stage.power)
        return change_house(book, house_id, stage=checked(stage, power=power))

    return Remedy(words, apply)


def swap_strip(patch: Patch, plug: Plug) -> Remedy | None:
    """Return the remedy of taking a strip with the plug of the house in place of one without; leads follow."""
    gear = strip_for(patch, outlets_at(patch, plug.drop))
    unit = plug.unit
    if gear is None or unit is None or not is_strip(plug.inlet.gear):
        return None
    ports = {port.id for port in gear.ports}
    links = [one for one in patch.rig.links if unit.id in (one.source.unit, one.target.unit)]
    if any(end.port not in ports for one in links for end in (one.source, one.target) if end.unit == unit.id):
        return None
    rig_id, catalogue = patch.rig.id, patch.catalogue

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        units = tuple(checked(one, gear=gear.id) if one.id == unit.id else one for one in rig.units)
        rig = checked(rig, units=units)
        by_id = {one.id: one for one in rig.units}
        for link in links:
            ends = [catalogue.port(by_id[end.unit].gear, end.port) for end in (link.source, link.target)]
            cables = [one for one in catalogue.cables_between(ends[0], ends[1]) if one.medium == "mains"]
            if link.cable is not None and cables:
                length = link.length_m if link.length_m in cables[0].stock_lengths_m else max(cables[0].stock_lengths_m)
                new = checked(link, cable=cables[0].id, length_m=length)
                rig = checked(rig, links=replaced(rig.links, new))
        return put_rig(book, rig)

    return Remedy(f"Take {gear.name} in its place", apply)


def step_down(patch: Patch, plug: Plug) -> Remedy | None:
    """Return the remedy of a transformer between the house's voltage and what a unit takes; None without one."""
    wants = plug.inlet.port.carrier
    if plug.unit is None or plug.hop is not None or not isinstance(wants, Mains):
        return None
    for gear in patch.catalogue.gear.values():
        for path in gear.paths:
            outlet = gear.port(path.target)
            if path.kind == "transformer" and outlet is not None and _turns(patch, gear, (outlet, wants, plug.load_va)):
                return _through(patch, plug, gear, outlet)
    return None


def _turns(patch: Patch, gear: GearType, what: tuple[Port, Mains, float]) -> bool:
    outlet, wants, load_va = what
    inlets = [port.carrier for port in gear.mains_inlets() if isinstance(port.carrier, Mains)]
    gives = outlet.carrier
    if not inlets or not isinstance(gives, Mains):
        return False
    fits = inlets[0].low_v <= patch.house.mains_v <= inlets[0].high_v and wants.low_v <= gives.low_v <= wants.high_v
    return fits and (gives.rated_a is None or load_va <= gives.rated_a * gives.low_v)


def _through(patch: Patch, plug: Plug, gear: GearType, outlet: Port) -> Remedy | None:
    cables = [one for one in patch.catalogue.cables_between(outlet, plug.inlet.port) if one.medium == "mains"]
    unit = plug.unit
    if not cables or unit is None:
        return None
    rig_id, catalogue, cable = patch.rig.id, patch.catalogue, cables[0]

    def apply(book: Book) -> Book:
        box = unit_of(book, rig_id, gear.id, catalogue)
        box = checked(box, x_m=unit.x_m, y_m=unit.y_m)
        book = add_unit(book, rig_id, box, catalogue)
        ends = (PortRef(unit=box.id, port=outlet.id), PortRef(unit=unit.id, port=plug.inlet.port.id))
        return _linked(book, patch, ends, (cable.id, min(cable.stock_lengths_m)))

    return Remedy(f"Feed {unit.name} through a {gear.name[0].lower()}{gear.name[1:]}", apply)


def other_supply(patch: Patch, run: DcRun, needed_ma: float) -> Remedy | None:
    """Return the remedy of a supply of the right volts, polarity and mA for an input; None where none is known."""
    link = run.hop.link
    if link is None:
        return None
    for gear in sorted(patch.catalogue.gear.values(), key=lambda one: one.mass_kg):
        for port in gear.ports if gear.category == "power" else ():
            gives = port.carrier
            if not isinstance(gives, Dc) or port.direction != "out" or gives.current_ma < needed_ma:
                continue
            cables = [one for one in patch.catalogue.cables_between(port, run.taker.port) if one.medium == "dc"]
            if cables and (gives.volts, gives.centre) == (run.wants.volts, run.wants.centre):
                return _supplied(patch, run, (gear, port, cables[0].id, min(cables[0].stock_lengths_m)))
    return None


def _supplied(patch: Patch, run: DcRun, what: tuple[GearType, Port, str, float]) -> Remedy:
    gear, port, cable_id, length_m = what
    rig_id, catalogue = patch.rig.id, patch.catalogue
    assert run.hop.link is not None  # the caller saw to it
    link_id, taker = run.hop.link.id, run.taker.node
    near = patch.units.get(taker.unit)

    def apply(book: Book) -> Book:
        box: Unit = unit_of(book, rig_id, gear.id, catalogue)
        if near is not None:
            box = checked(box, x_m=near.x_m, y_m=near.y_m)
        book = add_unit(remove_links(book, rig_id, [link_id]), rig_id, box, catalogue)
        ends = (PortRef(unit=box.id, port=port.id), PortRef(unit=taker.unit, port=taker.port))
        return _linked(book, patch, ends, (cable_id, length_m))

    return Remedy(f"Feed {run.taker.name} from a {gear.name[0].lower()}{gear.name[1:]} of its own", apply)


def _linked(book: Book, patch: Patch, ends: tuple[PortRef, PortRef], cable: tuple[str, float]) -> Book:
    taken = {one.id for one in book.rig(patch.rig.id).links}
    name = new_id(f"{ends[0].unit}-{ends[0].port}-to-{ends[1].unit}", taken)
    link = Link(id=name, source=ends[0], target=ends[1], cable=cable[0], length_m=cable[1])
    return add_link(book, patch.rig.id, link, patch.catalogue)


def undress(patch: Patch, links: Iterable[Link], words: str) -> Remedy:
    """Return the remedy of taking some links out of their loom."""
    rig_id, ids = patch.rig.id, {one.id for one in links}

    def apply(book: Book) -> Book:
        rig = book.rig(rig_id)
        free = tuple(checked(one, loom=None) if one.id in ids else one for one in rig.links)
        used = {one.loom for one in free}
        return put_rig(book, checked(rig, links=free, looms=tuple(one for one in rig.looms if one.id in used)))

    return Remedy(words, apply)
