"""The signal on its way through a chain: what it is after each lead and each box, and what goes wrong there.

The quick electrics of a chain, port by port: plugs, legs, levels, loads, 48 V and
length. Whole gigs are judged by the rules.
"""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct, field

from rigcore.book.assumptions import fact_value
from rigcore.book.rig import PortSetting
from rigcore.catalogue.cables import Cold
from rigcore.catalogue.carriers import Audio
from rigcore.catalogue.catalogue import Catalogue
from rigcore.catalogue.connectors import Consequence
from rigcore.catalogue.gear import Port
from rigcore.patch.build import End, Patch
from rigcore.patch.levels import behind_wires, is_wire, level_out
from rigcore.patch.stages import ONE_LEG_DB
from rigcore.quantities.electrical import BRIDGING_RATIO, divider_loss_db
from rigcore.quantities.lengths import UNBALANCED_FINE_M, UNBALANCED_LONGEST_M
from rigcore.solve.chain_parts import Box, Lead

BALANCED = ("balanced", "impedance-balanced", "floating")


class Signal(NamedTuple):
    """What waits at the open end of a chain for the next plug; levels in dBu, ohm of what drives it, length in m.

    ``open_48`` is whether 48 V would get through to what is harmed by it (``harmed``) or needs it (``needs_48``);
    ``is_panel`` tells a socket or plug fixed to a box from one that hangs on a lead or is an adapter: two of the first
    never meet. ``run_m`` is counted from the last transformer or amplifier, ``bare`` whether any of it is unbalanced.
    """

    connector: str
    medium: str
    balance: str = ""
    layout: str = "mono"
    kind: str = ""
    nominal_dbu: float | None = None
    peak_dbu: float | None = None
    ohm: float | None = None
    harmed: bool = False
    needs_48: bool = False
    isolated: bool = False
    run_m: float = 0.0
    bare: bool = False
    is_panel: bool = True


class Passed(Struct):
    """A signal after a step, what the step lost in dB, and what is wrong with it."""

    signal: Signal
    loss_db: float = 0.0
    faults: list[str] = field(default_factory=list)
    risks: list[str] = field(default_factory=list)
    setting: PortSetting | None = None

    def lose(self, loss_db: float) -> None:
        """Lower the level."""
        one = self.signal
        self.loss_db += loss_db
        self.signal = one._replace(
            nominal_dbu=None if one.nominal_dbu is None else round(one.nominal_dbu - loss_db, 2),
            peak_dbu=None if one.peak_dbu is None else round(one.peak_dbu - loss_db, 2),
        )


class Goal(Struct, frozen=True):
    """Where a chain ends: one port or two that form a line; ``feeds_48`` is "no", "may", "on"."""

    ports: tuple[Port, ...]
    medium: str
    feeds_48: str = "no"
    pad: bool = False
    is_panel: bool = True


PICKUP_OHM, PICKUP_LOAD_OHM = 5_000.0, 500_000.0
"""From here on a source is a passive pickup, and under this it is loaded too much: as the rule on pickups has it."""

DEAD_DB = 10.0
"""A line so much under what the highest gain brings up is no line (common practice, no source)."""


def signal_at(patch: Patch, end: End) -> Signal:
    """Return the signal that waits at a port, as what is plugged above it makes it."""
    carrier = end.port.carrier
    if not isinstance(carrier, Audio):
        return Signal(end.port.connector, carrier.medium, is_panel=not end.gear.is_in_hand)
    drives = behind_wires(patch, end.node).port.carrier if is_wire(carrier) else carrier
    level = level_out(patch, end.node)
    if not isinstance(drives, Audio):
        drives = carrier
    balance = "floating" if carrier.balance == "floating" else drives.balance
    return Signal(
        end.port.connector, "audio", balance, carrier.layout, drives.level if is_wire(carrier) else carrier.level,
        level.nominal_dbu, level.max_dbu, drives.ohm, drives.phantom == "harmed" and carrier.phantom != "blocks",
        drives.phantom == "needs" and carrier.phantom != "blocks", balance == "floating",
        bare=balance == "unbalanced", is_panel=not end.gear.is_in_hand,
    )


def signal_of(port: Port) -> Signal:
    """Return the signal a port gives by its type alone."""
    carrier = port.carrier
    if not isinstance(carrier, Audio):
        return Signal(port.connector, carrier.medium)
    return Signal(
        port.connector, "audio", carrier.balance, carrier.layout, carrier.level, carrier.nominal_dbu, carrier.max_dbu,
        carrier.ohm, carrier.phantom == "harmed", carrier.phantom == "needs", carrier.balance == "floating",
        bare=carrier.balance == "unbalanced",
    )  # fmt: skip


def goal_at(patch: Patch, ends: tuple[End, ...]) -> Goal:
    """Return the end of a chain at some ports of a gig."""
    end = ends[0]
    carrier = end.port.carrier
    feeds = "no"
    if isinstance(carrier, Audio) and carrier.phantom in ("supplies", "switchable"):
        feeds = "may"
        said = fact_value(patch.house, "phantom")[0] if end.node.place == "house" else ""
        if end.setting.phantom or said in ("always on", "global"):
            feeds = "on"
        elif said == "none":
            feeds = "no"
    return Goal(tuple(one.port for one in ends), carrier.medium, feeds, end.setting.pad, not end.gear.is_in_hand)


def goal_of(port: Port) -> Goal:
    """Return the end of a chain at a port, by its type alone: 48 V that can be switched may be on."""
    carrier = port.carrier
    feeds = {"supplies": "on", "switchable": "may"}.get(carrier.phantom, "no") if isinstance(carrier, Audio) else "no"
    return Goal((port,), carrier.medium, feeds)


def through_lead(catalogue: Catalogue, signal: Signal, lead: Lead) -> Passed | None:
    """Return the signal at the far end of a lead, None where its plug does not go in."""
    passed = _plugged(catalogue, signal, lead.ends[0])
    if passed is None:
        return None
    wiring = lead.cable.wiring
    if passed.signal.medium == "audio":
        if passed.signal.layout == "mono" and wiring == "stereo":
            passed.faults.append("a stereo lead on a mono line")
        elif passed.signal.layout == "stereo" and wiring == "unbalanced":
            passed.faults.append("one side is lost")
        elif wiring == "unbalanced":
            _one_leg(passed, lead.cable.cold)
    run_m = round(passed.signal.run_m + lead.length_m, 3)
    if passed.signal.bare:
        _judge_run(passed, passed.signal.run_m, run_m)
    passed.signal = passed.signal._replace(connector=lead.ends[1], run_m=run_m, is_panel=False)
    return passed


def _judge_run(passed: Passed, known_m: float, run_m: float) -> None:
    """Say once when an unbalanced run passes a limit; ``known_m`` of it has been judged before. Earphones bear it."""
    if passed.signal.kind == "headphone":
        return
    for limit_m, told in ((UNBALANCED_LONGEST_M, passed.faults), (UNBALANCED_FINE_M, passed.risks)):
        if known_m <= limit_m < run_m:
            told.append(f"{run_m:g} m unbalanced")
            return


def through_box(catalogue: Catalogue, signal: Signal, box: Box) -> Passed | None:
    """Return the signal that leaves a box, None where it does not go in."""
    passed = _plugged(catalogue, signal, box.enter.connector)
    if signal.is_panel and not box.gear.is_in_hand:
        return None
    if passed is None or box.enter.carrier.medium != signal.medium:
        return None
    enter, leave = box.enter.carrier, box.leave[0].carrier
    if isinstance(enter, Audio) and isinstance(leave, Audio):
        if enter.layout != passed.signal.layout:
            passed.faults.append("one side is lost" if passed.signal.layout == "stereo" else "heard on one side only")
        if box.path.kind == "wire":
            _along_wire(passed, box, (enter, leave))
        else:
            _worked_on(passed, box, (enter, leave))
    passed.signal = passed.signal._replace(connector=box.leave[0].connector, is_panel=not box.gear.is_in_hand)
    return passed


def arriving(catalogue: Catalogue, signal: Signal, goal: Goal) -> Passed | None:
    """Return how a signal arrives at the end of a chain, None where the last plug does not go in."""
    port = goal.ports[0]
    if signal.is_panel and goal.is_panel:
        return None
    passed = _plugged(catalogue, signal, port.connector)
    if passed is None:
        return None
    carrier = catalogue.carrier_at(port, signal.connector)
    if carrier.medium != signal.medium:
        return None
    if isinstance(carrier, Audio):
        _judge_arrival(passed, carrier, goal, through_xlr=catalogue.connectors[signal.connector].family == "xlr3")
    return passed


def _plugged(catalogue: Catalogue, signal: Signal, onto: str) -> Passed | None:
    """Return the signal after two connectors met, with what that costs."""
    consequence = catalogue.mating.consequence(signal.connector, onto)
    if consequence is Consequence.DOES_NOT_FIT:
        return None
    passed = Passed(signal)
    if signal.medium == "audio" and consequence is not Consequence.FITS:
        if signal.layout == "stereo":
            passed.faults.append("one side is lost")
        elif consequence is Consequence.RING_SHORTED and signal.balance in BALANCED:
            _one_leg(passed, "")
    return passed


def _one_leg(passed: Passed, cold: Cold) -> None:
    """Go on with one leg: what that costs depends on who drives, and on what becomes of the other leg."""
    balance = passed.signal.balance
    if balance not in BALANCED:
        return
    if balance == "floating" and cold == "open":
        passed.faults.append("a leg of a transformer hangs open")
    elif balance == "balanced" and cold == "to sleeve":
        passed.faults.append("the second leg of an amplifier is shorted")
    elif balance == "balanced":
        if cold != "open":
            passed.risks.append("the second leg is shorted")
        passed.lose(-ONE_LEG_DB)
    if not passed.signal.bare:
        # The whole run back to the last transformer is unbalanced from now on.
        _judge_run(passed, 0.0, passed.signal.run_m)
    passed.signal = passed.signal._replace(balance="unbalanced", bare=True)


def _along_wire(passed: Passed, box: Box, ends: tuple[Audio, Audio]) -> None:
    if "unbalanced" in (ends[0].balance, ends[1].balance) and ends[0].layout == "mono":
        _one_leg(passed, box.path.cold)
    if not box.path.passes_phantom:
        if passed.signal.needs_48:
            passed.faults.append("48 V does not get through")
        passed.signal = passed.signal._replace(harmed=False, needs_48=False)
    if box.path.isolates:
        passed.signal = passed.signal._replace(isolated=True)


def _worked_on(passed: Passed, box: Box, ends: tuple[Audio, Audio]) -> None:
    """Pass a transformer, a pad or an amplifier: its load, its clip, its gain, and its own output."""
    enter, leave = ends
    _load(passed, enter)
    signal = passed.signal
    if signal.peak_dbu is not None and enter.max_dbu is not None and signal.peak_dbu > enter.max_dbu:
        if enter.pad_db and signal.peak_dbu <= enter.max_dbu + enter.pad_db:
            passed.setting = PortSetting(port=box.enter.id, pad=True)
            passed.lose(enter.pad_db)
        else:
            passed.faults.append(f"clips {box.gear.name} by {signal.peak_dbu - enter.max_dbu:.1f} dB")
    elif signal.nominal_dbu is not None and enter.weakest_dbu is not None and signal.nominal_dbu < enter.weakest_dbu:
        passed.risks.append(f"weak for {box.gear.name}")
    passed.lose(-box.path.gain_db)
    if passed.signal.needs_48 and not box.path.passes_phantom:
        passed.faults.append("48 V does not get through")
    keeps = box.path.kind == "resistive"
    balance = "unbalanced" if keeps and passed.signal.balance == "unbalanced" else leave.balance
    passed.signal = passed.signal._replace(
        balance=balance, layout=leave.layout, kind=passed.signal.kind if keeps else leave.level,
        ohm=leave.ohm or passed.signal.ohm, harmed=passed.signal.harmed and box.path.passes_phantom,
        needs_48=leave.phantom == "needs" or (passed.signal.needs_48 and box.path.passes_phantom),
        isolated=passed.signal.isolated or box.path.isolates,
        run_m=passed.signal.run_m if keeps else 0.0, bare=balance == "unbalanced",
    )


def _load(passed: Passed, carrier: Audio) -> None:
    if passed.signal.ohm is not None and carrier.ohm is not None:
        if passed.signal.kind == "instrument" and passed.signal.ohm >= PICKUP_OHM and carrier.ohm < PICKUP_LOAD_OHM:
            passed.risks.append("a passive pickup turns dull")
        elif passed.signal.kind == "line" and carrier.ohm < BRIDGING_RATIO * passed.signal.ohm:
            passed.risks.append("loads its source under 10:1")
        passed.lose(round(divider_loss_db(passed.signal.ohm, carrier.ohm), 2))


def _judge_arrival(passed: Passed, carrier: Audio, goal: Goal, *, through_xlr: bool) -> None:
    signal = passed.signal
    if signal.layout == "stereo" and carrier.layout == "mono" and carrier.balance in BALANCED:
        passed.faults.append("a stereo plug in a balanced input")
    elif signal.layout != carrier.layout:
        passed.risks.append("one side only" if signal.layout == "mono" else "one side is lost")
    if carrier.balance == "unbalanced" and carrier.layout == "mono":
        _one_leg(passed, "")
    _load(passed, carrier)
    signal = passed.signal
    clip = None if carrier.max_dbu is None else carrier.max_dbu + (carrier.pad_db if goal.pad else 0.0)
    if signal.peak_dbu is not None and clip is not None and signal.peak_dbu > clip + 1e-9:
        hot = carrier.level == "consumer" and signal.nominal_dbu is not None and signal.nominal_dbu <= clip
        says = f"peaks clip the input by {signal.peak_dbu - clip:.1f} dB"
        (passed.risks if hot else passed.faults).append(says)
    if signal.nominal_dbu is not None and carrier.weakest_dbu is not None and signal.nominal_dbu < carrier.weakest_dbu:
        short_db = carrier.weakest_dbu - signal.nominal_dbu
        (passed.faults if short_db > DEAD_DB else passed.risks).append(f"{short_db:.1f} dB too weak")
    if through_xlr:
        _judge_48(passed, goal)
    elif signal.needs_48:
        passed.faults.append("needs 48 V and gets none")
    if carrier.level == "mic" and signal.balance == "unbalanced" and signal.kind != "mic" and not signal.isolated:
        passed.faults.append("an unbalanced output meets a microphone input without a DI")


def _judge_48(passed: Passed, goal: Goal) -> None:
    if passed.signal.needs_48 and goal.feeds_48 == "no":
        passed.faults.append("needs 48 V and gets none")
    if passed.signal.harmed and goal.feeds_48 == "on":
        passed.faults.append("open to 48 V that is on")
    elif passed.signal.harmed and goal.feeds_48 == "may":
        passed.risks.append("open to 48 V if it is switched on")

