"""A microphone that lives from one leg of its splitter."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.patch.build import End, Hop, Node, Patch
from rigcore.patch.phantom import audio, reach
from rigcore.patch.walk import downstream
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one finding for each splitter with a leg that blocks the 48 V its microphone needs."""
    for end in patch.ends_where(_is_hungry):
        for node in downstream(patch, end.node):
            box = patch.end(node)
            if box.gear.category == "splitter" and box.port.direction == "in" and end in reach(patch, node):
                legs = _legs(patch, node)
                if legs is not None:
                    yield _finding(end, box, legs)


def _is_hungry(end: End) -> bool:
    """Return whether an end is a microphone's that needs 48 V."""
    carrier = audio(end)
    return end.gear.category == "microphone" and carrier is not None and carrier.phantom == "needs"


def _legs(patch: Patch, node: Node) -> tuple[list[str], list[str]] | None:
    """Return the names of the legs that pass and that block 48 V, if both kinds are plugged."""
    passing: list[str] = []
    blocking: list[str] = []
    for after, step in patch.steps_out_of(node):
        if not isinstance(step, Hop) and after in patch.hops_at:
            (passing if step.passes_phantom else blocking).append(patch.end(after).port.name)
    return (passing, blocking) if passing and blocking else None


def _finding(end: End, box: End, legs: tuple[list[str], list[str]]) -> Finding:
    passing, blocking = legs
    return Finding(
        RULE.id,
        "risk",
        f"{end.name} lives from the {words.joined(passing)} leg of {box.name}: "
        "swap the legs and it is dead everywhere.",
        (words.unit_of(end), words.unit_of(box)),
        (
            f"{words.joined(passing)} is wire and passes 48 V; behind {words.joined(blocking)}, a transformer, 0 V DC",
            "swapped, the supply sits behind the transformer; cure: the other desk feeds 48 V, or swap back",
        ),
    )


RULE = Rule(
    id="phantom.one-leg",
    severity="risk",
    sentence="A condenser microphone behind a transformer splitter is fed through the direct leg only.",
    why="Both legs have the same plug: swapped in the dark, the voice is gone at the house and in the ears.",
    basis=(basis.SPLIT,),
    working="legs of the splitter that pass DC against those that block it",
    judge=judge,
)
