"""A plug that does not go into the outlets of the house."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.plugs import plugs, suits
from rigcore.rules import basis, mains_words, power_remedies
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each thing that would sit in the wall and has no plug or lead for its outlets.

    What is plugged in by a cable is judged by its joints, as any other connection.
    """
    names = patch.catalogue.connector_name
    for plug in plugs(patch).values():
        drop = plug.drop
        if plug.up is not None or plug.into is not None or drop is None or drop.connector is None:
            continue
        connector = plug.inlet.port.connector
        if suits(patch, drop.connector, connector):
            continue
        swap = power_remedies.swap_strip(patch, plug)
        yield Finding(
            RULE.id,
            "fault",
            f"{plug.name} has a {names(connector)}, and {drop.name} of {patch.house.name} is {names(drop.connector)}.",
            (mains_words.thing(plug),),
            (
                f"{names(connector)} into {names(drop.connector)}: "
                f"{patch.catalogue.mating.consequence(connector, drop.connector).value}",
                "no mains lead of the catalogue joins them",
            ),
            (swap,) if swap is not None else (),
        )


RULE = Rule(
    id="power.wrong-plug",
    severity="fault",
    sentence="What goes into the wall has the plug of the house, or a lead that has it.",
    why="A strip from home does not go into a wall abroad, and with it stands everything that was to hang on it.",
    basis=(basis.PLUGS, basis.COUPLERS),
    working="the inlet and the house's outlet are looked up in the mating table, bare and over every mains lead",
    judge=judge,
)
