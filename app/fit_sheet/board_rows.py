"""What stands on the board, in words: hand-offs, sockets, and the bands of pieces between them. Knows no place."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from app.fit_sheet.solving import Proposal
from rigcore.analysis import Analysis
from rigcore.lists.fit_list import FROM_WORDS, chain_words
from rigcore.patch.lengths import cable_runs
from rigcore.solve.pin import takers

Whose = Literal["rig", "house", "buy"]
State = Literal["landed", "proposed"]


def words(text: str) -> str:
    """Return a text of the board in the user's language."""
    return QCoreApplication.translate("FitSheet", text)


class Pill(Struct, frozen=True):
    """One piece of a chain: what it is, and whose."""

    thing: str
    whose: Whose

    @property
    def words(self) -> str:
        """The text on it."""
        return f"{self.thing} · {words(FROM_WORDS[self.whose])}"


class Band(Struct, frozen=True):
    """One way from a hand-off to a socket; ``remark`` is written behind the pieces."""

    hand_off: str
    socket: str
    state: State
    pills: tuple[Pill, ...]
    remark: str = ""
    is_forward: bool = True


class HandOffRow(Struct, frozen=True):
    """A hand-off: its name, two lines below it, where it may land, its reasons, and its bands.

    ``short`` is what the proposal takes away or leaves open; ``lane`` what stands where there is no band.
    """

    id: str
    name: str
    about: str
    more: str
    takers: tuple[str, ...]
    reasons: tuple[str, ...]
    bands: tuple[Band, ...] = ()
    short: str = ""
    lane: str = ""


class SocketRow(Struct, frozen=True):
    """A socket of the house: number, label, what lands there now, and what is proposed besides."""

    id: str
    number: str
    label: str
    landed: str
    proposed: str = ""
    is_in: bool = True

    @property
    def about(self) -> str:
        """The line below the label."""
        return self.landed or words("free")


class Board(Struct, frozen=True):
    """All rows of the board."""

    hand_offs: tuple[HandOffRow, ...] = ()
    sockets: tuple[SocketRow, ...] = ()

    def socket(self, name: str) -> SocketRow | None:
        """Return a socket by id."""
        return next((one for one in self.sockets if one.id == name), None)


def board(analysis: Analysis, proposal: Proposal | None, *, is_stale: bool) -> Board:
    """Return the rows of a gig, with the bands of a proposal where they differ from what is landed."""
    maker = _Maker(analysis, proposal, is_stale=is_stale)
    return Board(tuple(maker.hand_offs()), tuple(maker.sockets()))


class _Maker:
    def __init__(self, analysis: Analysis, proposal: Proposal | None, *, is_stale: bool) -> None:
        self.analysis, self.patch, self.proposal = analysis, analysis.patch, proposal
        self.is_stale = is_stale
        self.names = {one.id: one.name for one in self.patch.rig.hand_offs}
        self.labels = {one.id: f"{one.number} {one.label}" for one in self.patch.house.sockets}
        self.landed = {one.hand_off: one for one in self.patch.gig.landings}
        fit = proposal.fit if proposal is not None else None
        self.lines = {line.hand_off: line for line in fit.lines} if fit is not None else {}
        self.proposed = {
            one.hand_off: one for one in fit.landings if one.hand_off in self.names and one.socket in self.labels
        } if fit is not None else {}  # fmt: skip
        self.needs = {
            run.landing.hand_off: words("needs {} m").format(f"{run.required_m:.1f}")
            for run in cable_runs(self.patch) if run.landing is not None and run.required_m is not None
        }  # fmt: skip
        self.changes = [one for one in self.proposed.values() if not _same(one, self.landed.get(one.hand_off))]

    def hand_offs(self) -> Iterable[HandOffRow]:
        for one in self.patch.rig.hand_offs:
            bands = tuple(self._bands(one))
            then = self._then(one.id)
            yield HandOffRow(
                one.id, one.name, self._about(one), self._more(one),
                tuple(socket.id for socket in takers(self.patch, one)), tuple(self._reasons(one.id)), bands,
                words("no line in the proposal") if then is not None and then.number is None else "",
                self._lane(one.id),
            )  # fmt: skip

    def _then(self, name: str) -> Any:
        """Return the row of the proposal about a hand-off, if there is one."""
        return self.proposal.rows.get(name) if self.proposal is not None else None

    def _about(self, hand_off: Any) -> str:
        rank = words("must") if hand_off.importance == "must" else words("nice")
        way = words("to house") if hand_off.direction == "to house" else words("from house")
        return f"{rank} · {way}"

    def _more(self, hand_off: Any) -> str:
        mates = (
            one.name for one in self.patch.rig.hand_offs
            if hand_off.group is not None and one.group == hand_off.group and one.id != hand_off.id
        )  # fmt: skip
        parts = [words("pair with {}").format(mate) for mate in mates]
        return " · ".join([*parts, *([self.needs[hand_off.id]] if hand_off.id in self.needs else [])])

    def _lane(self, name: str) -> str:
        """Return what stands where there is no band: it lands nowhere, and why the proposal leaves it so."""
        then = self._then(name)
        how = then.how if then is not None and then.number is not None else ""
        return words("lands nowhere; {} as proposed").format(how) if how else words("lands nowhere")

    def _bands(self, hand_off: Any) -> Iterable[Band]:
        forward = hand_off.direction == "to house"
        now = self.landed.get(hand_off.id)
        if now is not None:
            pills = tuple(Pill(chain_words(self.patch, [piece]), piece.owner) for piece in now.chain)
            yield Band(hand_off.id, now.socket, "landed", pills, self._remark(now), forward)
        then = self.proposed.get(hand_off.id)
        if then is not None and then in self.changes:
            yield Band(hand_off.id, then.socket, "proposed", self._pills(then), self._remark(then), forward)

    def _pills(self, landing: Any) -> tuple[Pill, ...]:
        line = self.lines.get(landing.hand_off)
        chain = line.chain if line is not None and line.chain is not None and landing.joins is None else None
        if chain is not None and chain.pieces == landing.chain:
            return tuple(
                Pill(chain_words(self.proposal.fit.patch, [piece]), item.comes_from)  # type: ignore[union-attr]
                for piece, item in zip(chain.pieces, chain.items, strict=True)
            )
        return tuple(Pill(chain_words(self.patch, [piece]), piece.owner) for piece in landing.chain)

    def _remark(self, landing: Any) -> str:
        if landing.joins is not None:
            return words("through the box of {}").format(self.names.get(landing.joins.hand_off, ""))
        return "" if landing.chain else words("no cable chosen")

    def _reasons(self, name: str) -> Iterable[str]:
        yield from self._landed_reasons(name)
        line = next((one for one in self.lines.values() if name in one.settles), None)
        row = self._then(name)
        if row is None:
            return
        head = words("Worked out before the last change") if self.is_stale else words("The solver")
        if row.number is None:
            yield words("{}: no line.").format(head)
            return
        parts = [f"{row.number} {row.socket}", row.how, row.chain]
        yield f"{head}: {', '.join(part for part in parts if part)}."
        if line is not None and line.chain is not None and line.hand_off == name:
            yield words("It costs: {}.").format(cost_words(line.cost))
        yield from row.notes

    def _landed_reasons(self, name: str) -> Iterable[str]:
        now = self.landed.get(name)
        if now is None:
            yield words("Lands nowhere yet.")
        else:
            chain = f", {chain_words(self.patch, now.chain)}" if now.chain else ""
            far = f"; {self.needs[name]}" if name in self.needs else ""
            yield words("Landed on {}{}{}.").format(self.labels.get(now.socket, "?"), chain, far)
        for finding in self.analysis.findings:
            if any(thing.kind in ("landing", "hand-off") and thing.id == name for thing in finding.things):
                yield f"{words(finding.severity)}: {finding.sentence}"

    def sockets(self) -> Iterable[SocketRow]:
        for one in self.patch.house.sockets:
            here = [self.names[name] for name, landing in self.landed.items() if landing.socket == one.id]
            then = [self.names[landing.hand_off] for landing in self.changes if landing.socket == one.id]
            new = [name for name in then if name not in here]
            proposed = words("proposed: {}").format(", ".join(new)) if new else ""
            yield SocketRow(one.id, str(one.number), one.label, ", ".join(here), proposed, one.direction == "in")


def cost_words(cost: Any) -> str:
    """Return the cost of a chain in words: faults, what is to be bought, mass, pieces, loss."""
    parts = [words("faults: {}").format(cost.faults)] if cost.faults else []
    parts += [words("risks: {}").format(cost.risks)] if cost.risks else []
    parts += [words("to buy: {}").format(f"{cost.price:g}")] if cost.price else []
    parts += [
        words("pieces: {}").format(cost.pieces), f"{cost.mass_kg:.2f} kg",
        words("{} dB lost").format(f"{cost.loss_db:.1f}"),
    ]  # fmt: skip
    return ", ".join(parts)


def _same(one: Any, other: Any) -> bool:
    return other is not None and (one.socket, one.chain, one.joins) == (other.socket, other.chain, other.joins)
