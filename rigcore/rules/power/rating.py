"""An outlet, lead, coupler or inlet that has to carry more than it may."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from rigcore.catalogue.cables import CableType
from rigcore.patch.build import Patch
from rigcore.patch.circuits import region
from rigcore.patch.joints import with_cable
from rigcore.patch.mains_run import Limit, limits, lowest_limits
from rigcore.patch.plugs import Plug, is_strip, plugs
from rigcore.patch.power import places
from rigcore.quantities.mains import carries
from rigcore.rules import basis, mains_words, power_remedies, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each plug over the weakest part on its way to the outlet.

    A fault by the ratings of the house's region, a risk where only another region rates a part lower.
    """
    for plug in plugs(patch).values():
        lowest_a = lowest_limits(patch, plug) if plug.load_va > 0 else ()
        if not lowest_a or carries(plug.load_a, lowest_a):
            continue
        parts = limits(patch, plug)
        weakest = min(parts, key=lambda one: one.here_a)
        if not carries(plug.load_a, [weakest.here_a]):
            yield _finding(patch, plug, weakest, here=True)
            continue
        lowest = min(parts, key=lambda one: one.lowest_a)
        if not carries(plug.load_a, [lowest.lowest_a]):
            yield _finding(patch, plug, lowest, here=False)


def _finding(patch: Patch, plug: Plug, part: Limit, *, here: bool) -> Finding:
    rated = part.here_a if here else part.lowest_a
    where = "may carry" if here else "may carry in another region: a rig that travels takes the lower"
    place = words.place(plug.hop) if plug.hop is not None else ()
    return Finding(
        RULE.id,
        "fault" if here else "risk",
        f"{plug.name} draws {mains_words.amps(plug.load_a)} through {part.words}; {mains_words.amps(rated)} "
        f"is what it {where}.",
        (mains_words.thing(plug), *place),
        (
            f"{plug.load_va:g} VA / {plug.supply_v:g} V = {mains_words.amps(plug.load_a)}",
            f"weakest part: {part.words}: {mains_words.amps(part.here_a)} in {region(patch).name}, "
            f"{mains_words.amps(part.lowest_a)} at the lowest of all regions",
        ),
        _remedies(patch, plug),
    )


def _remedies(patch: Patch, plug: Plug) -> tuple[Remedy, ...]:
    if plug.hop is not None:
        stronger = _stronger_lead(patch, plug)
        return (remedies.use_cable(patch, plug.hop, stronger),) if stronger is not None else ()
    place = next(one for one in places(patch) if one.drop is plug.drop)
    loose = [one for one in place.loads if one.up == plug.key and one.hop is None]
    room = place.given is None or len(place.in_wall) < place.given
    if not is_strip(plug.inlet.gear) or not room or len(loose) < 2 or _left(plug, loose) > _weakest(patch, plug):
        return ()
    words_ = f"Bring a second {plug.inlet.gear.name} and share the units between both"
    return (power_remedies.add_strips(patch, plug.inlet.gear, (1, plug.drop, loose), words_),)


def _stronger_lead(patch: Patch, plug: Plug) -> CableType | None:
    """Return a lead between the same two ports that bears the load with everything at its ends, or None."""
    hop = plug.hop
    if hop is None or plug.into is None:
        return None
    for cable in patch.catalogue.cables_between(plug.into.port, plug.inlet.port):
        over = replace(plug, hop=with_cable(patch, hop, cable))
        if cable.medium == "mains" and carries(plug.load_a, [one.here_a for one in limits(patch, over)]):
            return cable
    return None


def _left(plug: Plug, loose: list[Plug]) -> float:
    """Return the A left on a strip when every second of its loads, largest first, goes to another strip."""
    ranked = sorted(loose, key=lambda one: (-one.inlet.gear.watts(), one.key))
    return max(sum(one.load_a for one in ranked[start::2]) for start in (0, 1)) + plug.load_a - sum(
        one.load_a for one in loose
    )


def _weakest(patch: Patch, plug: Plug) -> float:
    return min(one.here_a for one in limits(patch, plug))


RULE = Rule(
    id="power.rating",
    severity="fault",
    sentence="Every outlet, lead, coupler and inlet bears the current of all that hangs on it.",
    why="A coupler over its rating browns, smells and fails; nothing trips before it does.",
    basis=(basis.COUPLERS, basis.PLUGS, basis.CORDS),
    working="VA / V through the part, against the lowest rating of inlet, lead, wire and outlet in the house's region; "
    "over the lower of two regions is a risk",
    judge=judge,
)
