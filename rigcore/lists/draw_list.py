"""What each thing on the mains draws, and through what: strip, drop and circuit; the sum of each circuit below it."""

from __future__ import annotations

from msgspec import Struct

from rigcore.catalogue.carriers import Mains
from rigcore.patch.build import Patch
from rigcore.patch.circuits import circuit_of
from rigcore.patch.plugs import Plug, plugs
from rigcore.patch.power import Load, loads
from rigcore.quantities.electrical import amperes
from rigcore.rules.rule import Thing


class DrawRow(Struct, frozen=True):
    """One mains plug, or the sum of a circuit (``thing`` None).

    ``watts`` and ``amps`` are what the thing draws itself, ``plug_amps`` what runs through its plug with all it
    feeds; ``takes_v`` the voltages it runs on; ``leakage_ma`` its earth leakage.
    """

    thing: Thing | None
    name: str
    into: str
    place: str
    circuit: str
    takes_v: str
    watts: float
    amps: float
    plug_amps: float
    leakage_ma: float
    remark: str


def draw_list(patch: Patch) -> tuple[DrawRow, ...]:
    """Return the plugs of each circuit in the order of the rig, each group closed by its sum."""
    rows: list[DrawRow] = []
    for load in loads(patch):
        if any(plug.key[0] == "rig" for plug in load.plugs):
            rows += [_row(patch, plug) for plug in load.plugs]
            rows.append(_sum(patch, load))
    return tuple(rows)


def _row(patch: Patch, plug: Plug) -> DrawRow:
    carrier = plug.inlet.port.carrier
    assert isinstance(carrier, Mains)  # a plug sits at a mains inlet
    by_id = plugs(patch)
    place = plug.drop.name if plug.drop is not None else "stage"
    into = by_id[plug.up].name if plug.up is not None and plug.up in by_id else "wall outlet"
    kind = "unit" if plug.key[0] == "rig" else "house unit"
    return DrawRow(
        Thing("unit" if kind == "unit" else "house unit", plug.key[1]), plug.name, into, place,
        circuit_of(patch, plug.drop).name, f"{carrier.low_v:g}–{carrier.high_v:g} V",
        0.0 if plug.feeds_only else carrier.watts, amperes(plug.own_va, plug.supply_v), plug.load_a,
        plug.leakage_ma, "",
    )


def _sum(patch: Patch, load: Load) -> DrawRow:
    circuit = load.circuit
    breaker = f"breaker {circuit.breaker_a:g} A" if circuit.breaker_a is not None else "breaker not known"
    if circuit.breaker_a is not None and not circuit.breaker_known:
        breaker += " (taken from the outlet, ask)"
    device = circuit.device.words if circuit.device is not None else ""
    shared = f"shared with {circuit.shared_with}" if circuit.shared_with else ""
    watts = sum(_row(patch, plug).watts for plug in load.plugs)
    return DrawRow(
        None, f"All on {circuit.name}" if circuit.name else "All on one circuit", "", "", circuit.name,
        f"{patch.house.mains_v:g} V here", watts, load.load_a, load.load_a, load.leakage_ma,
        "; ".join(part for part in (breaker, device, shared) if part),
    )
