"""A fit as words and rows, for the window, paper and the command line: lines, proof, what to take, what is short."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from rigcore.book.gig import Piece
from rigcore.patch.build import Patch
from rigcore.solve.fit import Fit, How, Landed
from rigcore.solve.fit_reasons import item_words, reasons
from rigcore.solve.fit_shapes import LOSS, MASS, PRICE, UNITS
from rigcore.solve.stockroom import From, Item
from rigcore.solve.what_if import what_if

HOW_WORDS: dict[How, str] = {
    "own line": "", "kept": "as chosen", "left output alone": "left output alone, for both sides",
    "summed": "both sides through a summing box", "stands in": "in place of others",
}  # fmt: skip

FROM_WORDS: dict[From, str] = {"rig": "ours", "house": "yours", "buy": "to buy"}

_IN_UNITS = {PRICE: "", MASS: " kg", LOSS: " dB"}


class FitRow(Struct, frozen=True):
    """One hand-off: the socket with its number at the house, the chain in words, how it lands, what is to be said."""

    hand_off: str
    name: str
    number: int | None
    socket: str
    chain: str
    how: str
    notes: tuple[str, ...] = ()


class ProofRow(Struct, frozen=True):
    """One aim: its value, the bound below which it cannot go, in units, and whether the two meet."""

    aim: str
    value: str
    bound: str
    proven: bool


class TakeRow(Struct, frozen=True):
    """So many of one thing, and whose."""

    count: int
    thing: str
    whose: str


class QuestionRow(Struct, frozen=True):
    """An open question whose answer would change the fit: the answer, and what would change."""

    question: str
    answer: str
    changes: str


def fit_rows(fit: Fit) -> tuple[FitRow, ...]:
    """Return a row for each hand-off that wants a line, in the order of the rig."""
    by_name = {name: line for line in fit.lines for name in line.settles}
    wished = {wish.name for wish in fit.posed.question.wishes}
    return tuple(
        _row(fit, one.id, by_name.get(one.id)) for one in fit.patch.rig.hand_offs if one.id in wished
    )  # fmt: skip


def _row(fit: Fit, name: str, line: Landed | None) -> FitRow:
    spoken = fit.posed.names[name]
    if line is None:
        return FitRow(name, spoken, None, "–", "", "no line")
    socket = next(one for one in fit.patch.house.sockets if one.id == line.socket)
    if name == line.hand_off:
        chain = next((one.chain for one in fit.landings if one.hand_off == name), ())
        why = line.chain.why if line.chain is not None else ()
        words = chain_words(fit.patch, chain)
        notes = (*why, *line.consequences)
        return FitRow(name, spoken, socket.number, socket.label, words, HOW_WORDS[line.how], notes)
    joined = next((one for one in fit.landings if one.hand_off == name and one.joins is not None), None)
    lead = chain_words(fit.patch, joined.chain) if joined is not None else ""
    how = f"with {fit.posed.names[line.hand_off]}" if line.how != "left output alone" else "stays unplugged"
    return FitRow(name, spoken, socket.number, socket.label, lead, how)


def chain_words(patch: Patch, chain: Iterable[Piece]) -> str:
    """Return the pieces of a chain in words, in the order of the signal."""
    words = []
    for piece in chain:
        if piece.kind == "cable":
            words.append(patch.catalogue.cable_type(piece.cable).of(f"{piece.length_m:g} m"))
        else:
            words.append(patch.catalogue.gear_type(piece.gear).name)
    return ", ".join(words) or "plugged straight in"


def proof_rows(fit: Fit) -> tuple[ProofRow, ...]:
    """Return the aims in order with value and bound."""
    return tuple(
        ProofRow(one.aim, _amount(one.aim, one.value), _amount(one.aim, one.bound), one.gap == 0)
        for one in fit.answer.stages
    )


def _amount(aim: str, value: int) -> str:
    return f"{value / UNITS.get(aim, 1.0):g}{_IN_UNITS.get(aim, '')}"


def proof_words(fit: Fit) -> str:
    """Return in one sentence whether the fit is proven to be the best, and in what time."""
    milliseconds = round(1000 * fit.answer.seconds)
    if fit.answer.proven:
        return f"Proven best in all {len(fit.answer.stages)} aims, {milliseconds} ms."
    first = next(stage for stage in fit.answer.stages if stage.gap)
    gap = _amount(first.aim, first.gap)
    stopped = "Stopped" if fit.answer.stopped else "Not proven"
    return f"{stopped} after {milliseconds} ms: '{first.aim}' could still be better by up to {gap}."


def take_rows(fit: Fit) -> tuple[TakeRow, ...]:
    """Return what the fit takes, ours first, then the house's, then what has to be bought."""
    return things(fit, fit.taken.items())


def things(fit: Fit, counted: Iterable[tuple[Item, int]]) -> tuple[TakeRow, ...]:
    """Return counted things as rows."""
    order = list(FROM_WORDS)
    rows = sorted(
        (order.index(item.comes_from), item_words(fit, item), count) for item, count in counted if count
    )
    return tuple(TakeRow(count, thing, FROM_WORDS[order[whose]]) for whose, thing, count in rows)


def fit_sentences(fit: Fit) -> tuple[str, ...]:
    """Return what has to be said beside the rows: what is short and would settle it, then what is to be bought."""
    bought = things(fit, fit.to_buy.items())
    words = ", ".join(f"{one.count} × {one.thing}" for one in bought)
    return (*reasons(fit), *([f"Not owned yet: {words}."] if bought else []))


def question_rows(fit: Fit) -> tuple[QuestionRow, ...]:
    """Return the open questions whose answer would change the fit, one row for each such answer."""
    rows = []
    for one in what_if(fit):
        then = {row.hand_off: row for row in fit_rows(one.fit)}
        changes = [
            f"{then[name].name}: {then[name].socket}, {then[name].chain}" if name in then else fit.posed.names[name]
            for name in one.differs
        ]
        assumed = " (as assumed, but known)" if one.answer == one.assumed else ""
        rows.append(QuestionRow(one.question, one.answer + assumed, "; ".join(changes)))
    return tuple(rows)
