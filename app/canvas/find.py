"""Finding anything on the Patch sheet by a few letters: what there is, and what fits best. No painting, no Qt."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct

from app.canvas.patch_plan import SheetPlan
from app.canvas.placed import PlacedRack
from rigcore.rules.rule import Finding, Thing

Kind = Literal["unit", "channel", "port", "cable", "finding"]
_KINDS: tuple[Kind, ...] = ("unit", "channel", "port", "cable", "finding")
MOST = 12
_EXACT, _STARTS, _WORD, _INSIDE, _SCATTERED = 0, 1, 2, 3, 4


class Entry(Struct, frozen=True):
    """Something that can be found: its things, its words, and what is said beside it."""

    kind: Kind
    words: str
    aside: str
    things: tuple[Thing, ...]


def entries(plan: SheetPlan, findings: Iterable[Finding] = ()) -> list[Entry]:
    """Return everything on a sheet that can be found, in the order of the sheet.

    What is inside a folded rack or loom is found as well; the sheet then shows the one card or trunk for it.
    """
    found: list[Entry] = []
    for name, placed in plan.units.items():
        unit = placed.unit
        found.append(Entry("unit", unit.name, placed.gear.name, (Thing("unit", name),)))
        for spot in placed.card.spots:
            port = placed.gear.port(spot.port)
            if port is not None:
                signal = unit.setting(port.id).label
                words = f"{unit.name} · {port.name}"
                found.append(Entry("port", words, signal, (Thing("unit", name, port.id),)))
    for card in plan.cards.values():
        if isinstance(card, PlacedRack):
            found.append(Entry("unit", card.title, card.about, tuple(Thing("unit", one.name) for one in card.members)))
    for tile in plan.rows.tiles:
        text = tile.text
        words = " ".join(part for part in (text.number, text.label, text.name) if part)
        found.append(Entry("channel", words, text.block, (Thing("socket", text.socket),)))
    found += [Entry("cable", cable.words, "", (thing,)) for thing, cable in plan.cables.items() if thing.kind == "link"]
    for trunk in plan.trunks.values():
        found.append(Entry("cable", trunk.words, "", tuple(cable.thing for cable in trunk.cables)))
    found += [Entry("finding", one.sentence, one.severity, one.things) for one in findings]
    return found


def ranked(asked: str, among: Sequence[Entry], most: int = MOST) -> list[Entry]:
    """Return the entries that fit what was typed, the best first; nothing for nothing.

    Every word typed must be found. A whole name counts before its beginning, the
    beginning before a word in the middle, that before letters inside a word, and
    letters merely in their order count last. Among equals a unit comes before a
    channel, a port, a cable, a finding, and the shorter before the longer.
    """
    sought = plain(asked).split()
    if not sought:
        return []
    scored = []
    for number, entry in enumerate(among):
        fits = _fit(sought, plain(entry.words), plain(entry.aside))
        if fits is not None:
            scored.append((fits, _KINDS.index(entry.kind), len(entry.words), number))
    return [among[number] for *_, number in sorted(scored)[:most]]


def plain(words: str) -> str:
    """Return words in lower case without accents.

    >>> plain("Clé · Out 1")
    'cle · out 1'
    """
    split = unicodedata.normalize("NFKD", words.casefold())
    return "".join(char for char in split if not unicodedata.combining(char))


def _fit(sought: Sequence[str], words: str, aside: str) -> int | None:
    """Return how well all that is sought fits, smaller is better, or None."""
    if " ".join(sought) == words:
        return _EXACT
    total = 0
    for number, part in enumerate(sought):
        rank = _rank(part, words, first=number == 0)
        if rank is None:
            beside = _rank(part, aside, first=False)
            # Letters scattered over what only stands beside the name are chance.
            rank = beside + 3 if beside is not None and beside < _SCATTERED else None
        if rank is None:
            return None
        total += rank
    return total + 1


def _rank(part: str, words: str, *, first: bool) -> int | None:
    if first and words.startswith(part):
        return _STARTS
    at = words.find(part)
    if at >= 0:
        return _WORD if re.search(rf"(?<!\w){re.escape(part)}", words) else _INSIDE
    scattered = len(part) > 1 and re.search(".*?".join(map(re.escape, part)), words)
    return _SCATTERED if scattered and len(words) < 40 else None
