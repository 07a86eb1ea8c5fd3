"""How forms speak of catalogue things: sizes, ports and chains in words, numbers with units."""

from __future__ import annotations

from rigcore.book.gig import CablePiece, Landing
from rigcore.book.ids import PortRef
from rigcore.book.rig import Rig, Unit
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.gear import GearType, Port
from rigcore.quantities.geometry import length_words


def size_words(gear: GearType) -> str:
    """Return width, depth and height with their unit."""
    sides = (gear.width_m, gear.depth_m, gear.height_m)
    return " × ".join(f"{side:.2f}" for side in sides) + " m"


def figures(gear: GearType) -> list[tuple[str, str]]:
    """Return the key figures of a gear type, each label and value with unit."""
    found = [("Size", size_words(gear)), ("Mass", f"{gear.mass_kg:g} kg")]
    if gear.rack_u:
        found.append(("Rack", f"{gear.rack_u:g} U"))
    if gear.watts():
        found.append(("Mains", f"{gear.watts():g} W"))
    if gear.pattern:
        found.append(("Pattern", gear.pattern))
    ins, outs = (sum(port.direction == way for port in gear.ports) for way in ("in", "out"))
    found.append(("Ports", f"{ins} in, {outs} out"))
    return found


def gear_and_port(catalogue: Catalogue, rig: Rig, ref: PortRef) -> tuple[Unit | None, Port | None]:
    """Return the unit and port of an end, None where the book has lost them."""
    unit = rig.unit(ref.unit)
    if unit is None or unit.gear not in catalogue.gear:
        return unit, None
    return unit, catalogue.gear[unit.gear].port(ref.port)


def end_words(catalogue: Catalogue, rig: Rig, ref: PortRef) -> str:
    """Return an end as spoken: unit and port."""
    unit, port = gear_and_port(catalogue, rig, ref)
    return f"{unit.name if unit else ref.unit}, {port.name if port else ref.port}"


def cable_words(catalogue: Catalogue, cable_id: str | None, length_m: float | None, *, feet: bool = False) -> str:
    """Return a cable as spoken: type and length."""
    if cable_id is None:
        return "no cable, plugs straight in"
    cable = catalogue.cables.get(cable_id)
    name = cable.name if cable else cable_id
    return f"{name}, {length_words(length_m, feet=feet)}" if length_m else name


def chain_words(catalogue: Catalogue, landing: Landing) -> list[str]:
    """Return the pieces of a landing's chain in the order the signal takes them."""
    lines = []
    for piece in landing.chain:
        if isinstance(piece, CablePiece):
            text = cable_words(catalogue, piece.cable, piece.length_m)
        else:
            gear = catalogue.gear.get(piece.gear)
            text = gear.name if gear else piece.gear
        lines.append(text + (", the house supplies it" if piece.owner == "house" else ""))
    return lines
