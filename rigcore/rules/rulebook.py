"""The rulebook: every rule in one explicit, ordered tuple, and the book printing itself.

A rule that cannot be imported stops the program. Ids are never reused; retired
ones would be listed here.
"""

from __future__ import annotations

from rigcore.rules.balance import leg_lost, unbalanced_into_mic, unbalanced_run
from rigcore.rules.cable import does_not_reach, longer_than_stock, not_enough, over_run
from rigcore.rules.carry import no_spare, over_lift, rack_full
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
from rigcore.rules.control import (
    expression_wiring,
    midi_split,
    midi_wiring,
    pedal_polarity,
    pedal_senses,
    pedal_switch,
    too_long,
    usb_power,
    usb_roles,
    word_clock,
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
from rigcore.rules.ground import charger, circuits, loop_balanced, loop_unbalanced
from rigcore.rules.level import (
    circle,
    consumer,
    head_room,
    headphone_as_line,
    hot,
    line_into_loudspeaker,
    loudspeaker_into_line,
    splitter_clip,
    weak,
)
from rigcore.rules.load import amplifier_minimum, bridging, pickup, roll_off, split
from rigcore.rules.packet import no_contact, no_date, older_letter
from rigcore.rules.phantom import (
    draw,
    global_switch,
    harmed,
    lifted,
    missing,
    one_leg,
    through_split,
    two_supplies,
    unasked,
)
from rigcore.rules.power import (
    circuit,
    dc_overdrawn,
    dc_wrong,
    leakage,
    mains_in_loom,
    one_strip,
    outlets,
    rating,
    shared_circuit,
    sound_limiter,
    voltage_drop,
    wrong_plug,
    wrong_voltage,
)
from rigcore.rules.rule import Rule
from rigcore.rules.stage import in_another, off_stage

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
    head_room.RULE,
    splitter_clip.RULE,
    circle.RULE,
    bridging.RULE,
    pickup.RULE,
    roll_off.RULE,
    amplifier_minimum.RULE,
    split.RULE,
    unbalanced_run.RULE,
    unbalanced_into_mic.RULE,
    leg_lost.RULE,
    missing.RULE,
    harmed.RULE,
    global_switch.RULE,
    one_leg.RULE,
    lifted.RULE,
    two_supplies.RULE,
    through_split.RULE,
    draw.RULE,
    unasked.RULE,
    loop_unbalanced.RULE,
    circuits.RULE,
    charger.RULE,
    loop_balanced.RULE,
    pedal_polarity.RULE,
    expression_wiring.RULE,
    midi_split.RULE,
    midi_wiring.RULE,
    usb_roles.RULE,
    usb_power.RULE,
    word_clock.RULE,
    too_long.RULE,
    pedal_switch.RULE,
    pedal_senses.RULE,
    outlets.RULE,
    one_strip.RULE,
    circuit.RULE,
    rating.RULE,
    wrong_plug.RULE,
    wrong_voltage.RULE,
    dc_wrong.RULE,
    dc_overdrawn.RULE,
    leakage.RULE,
    voltage_drop.RULE,
    shared_circuit.RULE,
    sound_limiter.RULE,
    mains_in_loom.RULE,
    does_not_reach.RULE,
    longer_than_stock.RULE,
    not_enough.RULE,
    over_run.RULE,
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
    off_stage.RULE,
    in_another.RULE,
    over_lift.RULE,
    rack_full.RULE,
    no_spare.RULE,
    no_contact.RULE,
    no_date.RULE,
    older_letter.RULE,
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
