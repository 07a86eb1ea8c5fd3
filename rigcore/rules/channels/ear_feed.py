"""In which form an in-ear feed arrives."""

from __future__ import annotations

from collections.abc import Iterator

from rigcore.catalogue.carriers import Audio
from rigcore.patch.build import Node, Patch
from rigcore.patch.channels import own_lines
from rigcore.rules import basis, words
from rigcore.rules.rule import Finding, Rule, Thing


def judge(patch: Patch) -> Iterator[Finding]:
    """Yield one note for each feed from the house that goes into the player's own mixer."""
    feeds: dict[str, list[tuple[str, str, str]]] = {}
    for hand_off, landing in own_lines(patch):
        if hand_off.direction != "from house":
            continue
        if not _enters_mixer(patch, Node("rig", hand_off.unit, hand_off.port)):
            continue
        key = hand_off.group if hand_off.side and hand_off.group else hand_off.id
        feeds.setdefault(key, []).append((hand_off.id, hand_off.name, landing.socket))
    for group in feeds.values():
        layout = "a stereo pair" if len(group) > 1 else "one mono line"
        socket = next(one for one in patch.house.sockets if one.id == group[0][2])
        carrier = patch.end(Node("house", socket.unit, socket.ports[0])).port.carrier
        nominal = carrier.nominal_dbu if isinstance(carrier, Audio) else None
        level = f" at {words.level(nominal)}" if nominal is not None else ""
        yield Finding(
            RULE.id,
            "note",
            f"{words.joined([name for _, name, _ in group])}: {layout}{level} from the house, not a body-pack.",
            tuple(Thing("landing", hand_off_id) for hand_off_id, _, _ in group),
            ("it goes into your own mixer, and from there to your own earphones",),
        )


def _enters_mixer(patch: Patch, node: Node) -> bool:
    ahead = [node]
    seen = set()
    while ahead:
        here = ahead.pop()
        if here in seen:
            continue
        seen.add(here)
        end = patch.end(here)
        if end.gear.category == "mixer":
            return True
        if end.gear.category in ("adapter", "isolator", "di", "pad"):
            ahead += [after for after, _ in patch.steps_out_of(here)]
    return False


RULE = Rule(
    id="channels.ear-feed",
    severity="note",
    sentence="The sheet says in which form an in-ear feed arrives.",
    why="Line pair, single line or pack: each wants another plug, and one of them is at home.",
    basis=("trade articles on in-ear monitoring in churches", basis.COMMON),
    working="landings from the house that end in an own mixer; their layout and level",
    judge=judge,
)
