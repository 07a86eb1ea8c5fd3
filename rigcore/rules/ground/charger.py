"""A computer on an earthed charger, in the audio chain."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.grounds import ON_BATTERY, charger_rings, spelled
from rigcore.rules import basis, loops
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each computer whose charger's earth lies on a loop."""
    for unit_id, ring in sorted(charger_rings(patch).items()):
        unit = patch.units[unit_id]
        yield Finding(
            RULE.id,
            "risk",
            f"{unit.name} hangs on an earthed charger while its sound goes to other earthed gear: "
            "run it on battery during the set.",
            (Thing("unit", unit_id),),
            (
                f"1. {spelled(patch, ring)}",
                "on battery the charger is out of the loop; a two-way transformer DI is the other cure",
                "the earth of the charger itself stays as it is, always",
            ),
            (loops.note_battery(patch, unit, ON_BATTERY),),
        )


RULE = Rule(
    id="ground.charger",
    severity="risk",
    sentence="A laptop or tablet with an earthed charger plays from its battery.",
    why="Its charger's earth and switching noise whine in the audio; the whine is gone on battery.",
    basis=(basis.CHARGER, basis.NEVER_LIFT),
    working="the protective earth of the charger lies on a loop of the ground graph",
    judge=judge,
)
