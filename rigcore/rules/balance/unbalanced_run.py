"""An unbalanced connection that is too long."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Hop, Patch
from rigcore.patch.loads import Run, is_unbalanced_run, runs
from rigcore.quantities.lengths import UNBALANCED_FINE_M, UNBALANCED_LONGEST_M
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule

EARPHONES_OHM = 1000.0


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each unbalanced run over 3 m, adapters included: a risk up to 6 m, a fault beyond."""
    for run in runs(patch):
        if run.length_m <= UNBALANCED_FINE_M or not is_unbalanced_run(patch, run) or _drives_earphones(run.last):
            continue
        too_long = run.length_m > UNBALANCED_LONGEST_M
        yield Finding(
            RULE.id,
            "fault" if too_long else "risk",
            f"{words.name_of(patch, run.last)} runs unbalanced over {words.metres(run.length_m)}; "
            f"{'6 m is the limit: run it balanced and convert at the far end' if too_long else 'over 3 m it may hum'}.",
            tuple(dict.fromkeys(thing for hop in run.hops for thing in words.place(hop))),
            (
                f"{_sum(run)}; no transformer between",
                f"fine to {words.metres(UNBALANCED_FINE_M)}, at most {words.metres(UNBALANCED_LONGEST_M)}: "
                f"{words.metres(run.length_m - (UNBALANCED_LONGEST_M if too_long else UNBALANCED_FINE_M))} too long",
            ),
        )


def _sum(run: Run) -> str:
    """Return the length as a sum of the cables on the way."""
    parts = [hop.length_m for hop in run.hops if hop.length_m]
    if len(parts) < 2:
        return f"length {words.metres(run.length_m)}"
    return f"length {' + '.join(f'{part:g}' for part in parts)} = {words.metres(run.length_m)}"


def _drives_earphones(hop: Hop) -> bool:
    """Return whether a run ends in earphones: low impedance, after the last amplifier, no hum to speak of."""
    carrier = hop.target.port.carrier
    return isinstance(carrier, Audio) and carrier.level == "headphone" and (carrier.ohm or 0.0) < EARPHONES_OHM


RULE = Rule(
    id="balance.unbalanced-run",
    severity="fault",
    sentence="An unbalanced run is 3 m at best and 6 m at most.",
    why="The screen is part of the signal's way: hum of the house adds to what is played.",
    basis=(basis.UNBALANCED,),
    working="lengths added up over adapters without a transformer, where any part is unbalanced: over 3 m a risk, over "
    "6 m a fault",
    judge=judge,
)
