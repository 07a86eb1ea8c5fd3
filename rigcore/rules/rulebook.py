"""The rulebook: every rule in one explicit, ordered tuple, and the book printing itself.

A rule that cannot be imported stops the program. Ids are never reused; retired
ones would be listed here.
"""

from __future__ import annotations

from rigcore.rules.balance import unbalanced_into_mic, unbalanced_run
from rigcore.rules.channels import (
    block_full,
    click_to_house,
    ear_feed,
    mono_house,
    no_dry_voice,
    one_ear,
    order_differs,
    own_mixer_full,
    pair_on_even,
    pair_split,
    stereo_summed,
    too_many,
    two_on_one,
    unbound,
    unnamed,
    voice_dry,
)
from rigcore.rules.fit import (
    against_flow,
    balanced_in_stereo,
    gender,
    half_lost,
    input_to_input,
    medium,
    no_cable,
    no_mating,
    occupied,
    one_to_many,
    output_to_output,
    ring_shorted,
    stereo_in_balanced,
)
from rigcore.rules.level import (
    consumer,
    headphone_as_line,
    hot,
    line_into_loudspeaker,
    loudspeaker_into_line,
    weak,
)
from rigcore.rules.phantom import global_switch, harmed, missing, one_leg
from rigcore.rules.rule import Rule

RULES: tuple[Rule, ...] = (
    no_mating.RULE,
    no_cable.RULE,
    gender.RULE,
    output_to_output.RULE,
    input_to_input.RULE,
    against_flow.RULE,
    medium.RULE,
    ring_shorted.RULE,
    half_lost.RULE,
    one_to_many.RULE,
    occupied.RULE,
    stereo_in_balanced.RULE,
    balanced_in_stereo.RULE,
    loudspeaker_into_line.RULE,
    line_into_loudspeaker.RULE,
    hot.RULE,
    weak.RULE,
    consumer.RULE,
    headphone_as_line.RULE,
    unbalanced_run.RULE,
    unbalanced_into_mic.RULE,
    missing.RULE,
    harmed.RULE,
    global_switch.RULE,
    one_leg.RULE,
    too_many.RULE,
    unbound.RULE,
    two_on_one.RULE,
    pair_split.RULE,
    pair_on_even.RULE,
    mono_house.RULE,
    stereo_summed.RULE,
    unnamed.RULE,
    no_dry_voice.RULE,
    voice_dry.RULE,
    click_to_house.RULE,
    one_ear.RULE,
    block_full.RULE,
    own_mixer_full.RULE,
    order_differs.RULE,
    ear_feed.RULE,
)


def rule(rule_id: str) -> Rule | None:
    """Return the rule of that id, or None."""
    return next((one for one in RULES if one.id == rule_id), None)


def printed() -> str:
    """Return the rulebook as plain text, family by family."""
    lines = []
    for one in RULES:
        lines += [
            f"{one.id}  ({one.severity})",
            f"  {one.sentence}",
            f"  Why: {one.why}",
            f"  Working: {one.working}",
            *(f"  Basis: {source}" for source in one.basis),
            "",
        ]
    return "\n".join(lines)


def markdown() -> str:
    """Return the rulebook as Markdown."""
    lines = ["# Rulebook", ""]
    family = ""
    for one in RULES:
        if one.family != family:
            family = one.family
            lines += [f"## {family}", ""]
        lines += [
            f"### `{one.id}` · {one.severity}",
            "",
            one.sentence,
            "",
            f"- Why: {one.why}",
            f"- Working: {one.working}",
            *(f"- Basis: {source}" for source in one.basis),
            "",
        ]
    return "\n".join(lines)
