"""Why a hand-off got no line, and what would give it one: each cure tried by solving again."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from rigcore.solve.fit import Fit
from rigcore.solve.fit_model import missing
from rigcore.solve.fit_question import pose
from rigcore.solve.fit_shapes import Question
from rigcore.solve.stockroom import Item


def reasons(fit: Fit) -> tuple[str, ...]:
    """Return one sentence for each hand-off without a line: what is short, and what would settle it."""
    return tuple(_sentence(fit, name) for name in fit.unsettled)


def _sentence(fit: Fit, name: str) -> str:
    posed, house = fit.posed, fit.patch.house.name
    said = f"{posed.names[name]} gets no line at {house}"
    if name in posed.no_way:
        return f"{said}: {_no_way(fit, name)}."
    cures = list(_cures(fit, name))
    if not cures:
        return f"{said}: no single change gives it one; take several lines or things at once into account."
    short = {
        "line": "every line it could take is taken",
        "thing": "what its chain needs is used up",
        "kept": "landings that are kept stand in its way",
        "budget": "the lines allowed are used up",
    }[cures[0][0]]
    return f"{said}: {short}; {_or([words for _, words in cures[:3]])} would settle it."


def _no_way(fit: Fit, name: str) -> str:
    """Return why a hand-off has no chain at all."""
    patch = fit.patch
    hand_off = next(one for one in patch.rig.hand_offs if one.id == name)
    wanted = "in" if hand_off.direction == "to house" else "out"
    sockets = [one for one in patch.house.sockets if one.direction == wanted]
    if not sockets:
        return f"the house has no {wanted}put; ask for one"
    landing = patch.gig.landing(name)
    if landing is not None and not fit.posed.asked.fresh:
        label = next(one.label for one in sockets if one.id == landing.socket)
        return f"nothing owned or for sale leads to {label}; land it elsewhere, or ask the house for another socket"
    taken = {one.socket for one in fit.posed.kept}
    if all(one.id in taken for one in sockets):
        return f"all {len(sockets)} {wanted}puts are taken by landings that are kept; let one of them go"
    return f"nothing owned or for sale leads from it to any {wanted}put of the house; ask for another socket"


def _cures(fit: Fit, name: str) -> Iterator[tuple[str, str]]:
    """Yield what, by itself, leaves fewer without a line and this one with one; things first."""
    question = _for(fit.posed.question, name)
    before = missing(question)
    for item in sorted(_needed(question, name), key=str):
        more = {**question.supply, item: question.supply[item] + 1}
        if missing(replace(question, supply=more)) < before:
            yield "thing", f"one more {item_words(fit, item)}"
    seen: set[str] = set()
    for line in question.lines:
        kind = next((one.block for one in fit.patch.house.sockets if one.id == line.name), "")
        if kind not in seen and any(bid.offers.get(line.name) and name in bid.settles for bid in question.bids):
            seen.add(kind)
            if missing(_with_line(question, line.name)) < before:
                label = next(one.label for one in fit.patch.house.sockets if one.id == line.name)
                yield "line", f"one more line like {label}"
    more_lines = question.most_lines + 1 if question.most_lines is not None else None
    if more_lines is not None and missing(replace(question, most_lines=more_lines)) < before:
        yield "budget", f"{more_lines} lines in place of {question.most_lines}"
    if fit.posed.kept:
        fresh = _for(pose(fit.patch, replace(fit.posed.asked, fresh=True)).question, name)
        if missing(fresh) < before:
            yield "kept", "a fresh fit without the landings kept"


def _for(question: Question, name: str) -> Question:
    """Return the question with this wish just before the others of its tier, so that a cure is one for it."""
    wishes = tuple(replace(one, tier=2 * one.tier + (one.name != name)) for one in question.wishes)
    return replace(question, wishes=wishes)


def _needed(question: Question, name: str) -> set[Item]:
    return {
        thing
        for bid in question.bids
        if name in bid.settles
        for offers in bid.offers.values()
        for offer in offers
        for thing, _ in offer.needs
        if isinstance(thing, Item) and thing in question.supply
    }


def _with_line(question: Question, name: str) -> Question:
    """Return the question with a second line like one it has."""
    twin = replace(next(one for one in question.lines if one.name == name), name="one more")
    bids = tuple(
        replace(bid, offers={**bid.offers, twin.name: bid.offers[name]}) if name in bid.offers and not bid.held else bid
        for bid in question.bids
    )
    return replace(question, bids=bids, lines=(*question.lines, twin))


def item_words(fit: Fit, item: Item) -> str:
    """Return a thing as spoken."""
    catalogue = fit.patch.catalogue
    if item.kind == "gear":
        return catalogue.gear_type(item.type).name
    return f"{catalogue.cable_type(item.type).name}, {item.length_m:g} m"


def _or(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
