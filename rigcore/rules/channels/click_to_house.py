"""A click or talkback that could be heard by the audience."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import Channel, channels
from rigcore.patch.walk import upstream
from rigcore.rules import basis, remedies
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each line to the house that carries a click and is not for ears only."""
    for channel in channels(patch):
        role = _private(patch, channel)
        if role and not channel.hand_off.ears_only:
            name = channel.hand_off.name
            yield Finding(
                RULE.id,
                "fault",
                f"{name} carries a {role} and may reach the audience: mark it for ears only, or keep it home.",
                (Thing("landing", channel.hand_off.id),),
                (f"the {role} is upstream of house line {channel.socket.label}",),
                (remedies.mark_hand_off(patch, channel.hand_off, f"Mark {name} for ears only", ears_only=True),),
            )


def _private(patch: Patch, channel: Channel) -> str:
    """Return what on a line is not for the audience: 'click', 'talkback' or nothing."""
    for node in upstream(patch, channel.top):
        end = patch.end(node)
        role = end.setting.role or (end.port.role if end.gear.is_source(end.port.id) else "")
        if role in ("click", "talkback"):
            return role
    return ""


RULE = Rule(
    id="channels.click-to-house",
    severity="fault",
    sentence="A click or talkback on a house line is marked for ears only.",
    why="An unmarked click is turned up in the house loudspeakers exactly once.",
    basis=(basis.CLICK,),
    working="ports with the role click or talkback upstream of the line",
    judge=judge,
)
