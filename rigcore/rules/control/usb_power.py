"""More drawn from a USB port than it gives."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.control import buses
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one fault for each USB port whose devices want more current than it gives."""
    for bus in buses(patch):
        if bus.gives_ma and bus.drawn_ma > bus.gives_ma:
            total = " + ".join(f"{end.name} {one:g}" for end, one in bus.draws)
            yield Finding(
                RULE.id,
                "fault",
                f"{bus.host.words} gives {bus.gives_ma:g} mA and {bus.drawn_ma:g} mA are drawn: "
                "use a hub or device with its own supply.",
                (*words.place(bus.hop), words.unit_of(bus.host)),
                (f"{total} = {bus.drawn_ma:g} mA; {bus.drawn_ma:g} − {bus.gives_ma:g} = "
                 f"{bus.drawn_ma - bus.gives_ma:g} mA too much",),
            )


RULE = Rule(
    id="control.usb-power",
    severity="fault",
    sentence="The devices on a USB port draw no more than it gives.",
    why="The port switches off in the middle of a song, and everything on the hub with it.",
    basis=(basis.USB,),
    working="sum of the currents of all devices on a port, through hubs without a supply, against what it gives",
    judge=judge,
)
