"""Signals that run in a circle."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from rigcore.catalogue.gear import Path
from rigcore.patch.build import Hop, Node, Patch
from rigcore.patch.stages import levels
from rigcore.rules import basis, remedies, words
from rigcore.rules.rule import Finding, Remedy, Rule

Step = tuple[Node, Hop | Path, Node]


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each group of ports whose signal comes back to itself."""
    for circle in levels(patch).circles:
        names = list(dict.fromkeys(patch.end(node).name for node in circle))
        round_trip = _round(patch, circle)
        yield Finding(
            RULE.id,
            "risk",
            f"The signal runs in a circle through {words.joined(names)}: it howls unless the send is muted.",
            tuple(dict.fromkeys(words.unit_of(patch.end(node)) for node in circle)),
            _working(patch, round_trip),
            tuple(_remedies(patch, circle, round_trip)),
        )


def _steps(patch: Patch, circle: tuple[Node, ...]) -> list[Step]:
    """Return every way that stays inside a circle."""
    inside = set(circle)
    return [
        (node, step, after)
        for node in circle
        for after, step in patch.steps_out_of(node)
        if after in inside and (not isinstance(step, Hop) or step.coupling.is_sound)
    ]


def _round(patch: Patch, circle: tuple[Node, ...]) -> list[Step]:
    """Return the shortest way from the first port of a circle back to itself."""
    out: dict[Node, list[Step]] = {}
    for step in _steps(patch, circle):
        out.setdefault(step[0], []).append(step)
    came: dict[Node, Step] = {}
    queue = deque([circle[0]])
    while queue and circle[0] not in came:
        for step in out.get(queue.popleft(), ()):
            if step[2] not in came:
                came[step[2]] = step
                queue.append(step[2])
    line = [came[circle[0]]]
    while line[-1][0] != circle[0]:
        line.append(came[line[-1][0]])
    return line[::-1]


def _working(patch: Patch, round_trip: list[Step]) -> tuple[str, ...]:
    route = " → ".join(patch.end(node).words for node in (round_trip[0][0], *(after for _, _, after in round_trip)))
    gains = [step.gain_db for _, step, _ in round_trip if isinstance(step, Path)]
    parts = " ".join(f"{'−' if gain < 0 else '+'} {abs(gain):g}" for gain in gains).removeprefix("+ ")
    total = sum(gains)
    verdict = "it howls" if total >= 0 else "it rings at best; it howls from 0 dB"
    return (
        f"once round: {route}",
        f"gain once round, as delivered: {parts}{f' = {total:g}' if len(gains) > 1 else ''} dB; "
        f"0 dB or more sustains itself: {verdict}",
    )


def _remedies(patch: Patch, circle: tuple[Node, ...], round_trip: list[Step]) -> Iterator[Remedy]:
    """Yield the cable whose going opens the whole circle, if one alone does."""
    import networkx as nx

    for one, step, other in round_trip:
        if isinstance(step, Hop) and step.link is not None:
            left: nx.DiGraph[Node] = nx.DiGraph()
            left.add_edges_from((before, after) for before, way, after in _steps(patch, circle) if way is not step)
            if nx.is_directed_acyclic_graph(left):
                cable = remedies.unplug(patch, step)
                yield Remedy(f"{cable.words}: {patch.end(one).words} to {patch.end(other).words}", cable.apply)
                return


RULE = Rule(
    id="level.circle",
    severity="risk",
    sentence="A signal does not come back to where it started.",
    why="An output that reaches its own input is an oscillator with a fader.",
    basis=(basis.COMMON,),
    working="strongly connected parts of the audio graph; gain once round of 0 dB or more sustains itself",
    judge=judge,
)
