"""Volts lost along extension leads."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.mains_run import Way, ways
from rigcore.patch.plugs import Key, Plug, plugs
from rigcore.quantities.voltage_drop import BRANCH_LIMIT_PCT, WHOLE_LIMIT_PCT
from rigcore.rules import basis, mains_words, power_remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each plug in the wall with over 3 % lost on the worst way from it; over 5 % is a risk."""
    worst: dict[Key, tuple[Plug, Way]] = {}
    for key, way in ways(patch).items():
        plug = plugs(patch)[key]
        wall = _wall(patch, plug)
        if wall not in worst or way.drop.drop_pct > worst[wall][1].drop.drop_pct:
            worst[wall] = (plug, way)
    for wall, (plug, way) in worst.items():
        if way.drop.within(BRANCH_LIMIT_PCT):
            continue
        severe = not way.drop.within(WHOLE_LIMIT_PCT)
        hop = plugs(patch)[wall].hop or plug.hop
        yield Finding(
            RULE.id,
            "risk" if severe else "note",
            f"{plug.name} gets {way.drop.end_v:.1f} V: {way.drop.drop_pct:.1f} % are lost along its leads, "
            f"over the {WHOLE_LIMIT_PCT if severe else BRANCH_LIMIT_PCT:g} % advised.",
            (mains_words.thing(plug), *(words.place(hop) if hop is not None else ())),
            _working(way),
            _remedies(patch, plug),
        )


def _wall(patch: Patch, plug: Plug) -> Key:
    while plug.up is not None:
        plug = plugs(patch)[plug.up]
    return plug.key


def _working(way: Way) -> tuple[str, ...]:
    return (
        *(
            f"{one.cable.name}: 2 × {one.length_m:g} m × {one.ohm_per_m * 1000:.2f} mΩ/m × "
            f"{mains_words.amps(one.current_a)} = {one.drop_v:.2f} V"
            for one in way.stretches
        ),
        f"{way.drop.drop_v:.2f} V / {way.drop.supply_v:g} V = {way.drop.drop_pct:.2f} %",
        f"model: {way.drop.model}",
    )


def _remedies(patch: Patch, plug: Plug) -> tuple[Remedy, ...]:
    """Return the remedy for the lead on the way that loses most."""
    line = [plug]
    while line[-1].up is not None:
        line.append(plugs(patch)[line[-1].up])
    worst = max(line, key=lambda one: _lost_v(patch, one))
    offered = power_remedies.outlet_here(patch, worst)
    return () if offered is None else (offered,)


def _lost_v(patch: Patch, plug: Plug) -> float:
    """Return the V lost along the last lead to a plug alone."""
    way = ways(patch).get(plug.key)
    own = way.stretches[-len(plug.hop.cables) :] if way is not None and plug.hop is not None and plug.hop.cables else ()
    return sum(one.drop_v for one in own)


RULE = Rule(
    id="power.voltage-drop",
    severity="risk",
    sentence="No more than 3 % of the voltage is lost along the leads, and never over 5 %.",
    why="A long thin lead sags with every bass note, and supplies at the end of it drop out.",
    basis=(basis.DROP, basis.CONDUCTORS),
    working="2 × length × ohm/m of one conductor × A, for each lead in turn; IEC 60228 class 5 at 20 °C, "
    "NEC Table 8 at 75 °C in North America",
    judge=judge,
)
