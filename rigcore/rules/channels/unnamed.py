"""A channel whose name says nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator

from rigcore.patch.build import Patch
from rigcore.patch.channels import channels
from rigcore.rules import basis
from rigcore.rules.rule import Finding, Rule, Thing

_EMPTY = re.compile(r"^(ch(annel)?|in(put)?|line|hand-?off|untitled)?[\s\-#]*\d*$", re.IGNORECASE)


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for each channel named by a number or not at all."""
    for channel in channels(patch):
        if _EMPTY.match(channel.hand_off.name.strip()):
            yield Finding(
                RULE.id,
                "note",
                f"Channel {channel.number} is only called '{channel.hand_off.name}': name what is heard on it.",
                (Thing("hand-off", channel.hand_off.id),),
                (f"it carries {channel.origin.name}",),
            )


RULE = Rule(
    id="channels.unnamed",
    severity="note",
    sentence="Every channel carries a name that says what is heard on it.",
    why="The name goes straight onto the strip under the fader.",
    basis=(basis.ORDER,),
    working="names that are empty, a number, or a word for 'channel'",
    judge=judge,
)
