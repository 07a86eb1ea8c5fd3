"""A data or digital audio link longer than it may be."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Hop, Patch
from rigcore.patch.control import limit_of_kind, link_limit
from rigcore.patch.coupling import Coupling
from rigcore.quantities.lengths import limit_of, over_limit, over_usual
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule

SPOKEN = {
    "midi_din": "MIDI", "midi_trs_adapter": "MIDI on 3.5 mm plugs", "usb2": "USB", "usb3": "fast USB",
    "tia568_channel": "network", "aes3": "AES3", "aes3id": "AES3 on 75 ohm", "optical": "optical",
}


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield a risk for each link over its limit, a note for one over the usual length."""
    for hop in patch.hops_where(_has_limit):
        link = link_limit(hop)
        if link is None or hop.leg or hop.length_m is None or not over_usual(link, hop.length_m):
            continue
        limit, over = limit_of(link), over_limit(link, hop.length_m)
        most = limit.limit_m if over else limit.usual_m
        yield Finding(
            RULE.id,
            "risk" if over else "note",
            f"{words.from_to(hop)}: {words.metres(hop.length_m)} of {SPOKEN[link]}, "
            f"{'at most' if over else 'usual up to'} {words.metres(most)}.",
            words.place(hop),
            (
                f"length {words.metres(hop.length_m)} − {words.metres(most)} = "
                f"{words.metres(round(hop.length_m - most, 3))} over",
                f"limit: {limit.source}",
            ),
            _shorter(patch, hop, most),
        )


def _has_limit(one: Coupling) -> bool:
    return limit_of_kind(one) is not None


def _shorter(patch: Patch, hop: Hop, most_m: float) -> tuple[Remedy, ...]:
    """Return the remedy of a shorter cable of the same kind, where there is one cable."""
    if len(hop.cables) != 1:
        return ()
    cable = patch.catalogue.cable_type(hop.cables[0][0].id)
    length = max((one for one in cable.stock_lengths_m if one <= most_m), default=None)
    return () if length is None else (remedies.cut_to(patch, hop, cable, length),)


RULE = Rule(
    id="control.too-long",
    severity="risk",
    sentence="MIDI, USB, network, AES3 and optical links stay within the length their standard or practice allows.",
    why="Beyond it they work on the bench and drop out on stage.",
    basis=(basis.LENGTHS, basis.MIDI_TRS),
    working="MIDI 15 m, on 3.5 mm 2 m; USB 5 m, fast USB 3 m; network 100 m; AES3 100 m; optical 5 m, at most 10 m",
    judge=judge,
)
