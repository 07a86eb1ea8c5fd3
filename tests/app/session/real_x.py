"""A session at a real display: the rig of ``samples/tour.loom`` planned from an empty book, by mouse and keyboard.

Run ``python tests/app/session/real_x.py``; it needs ``Xvfb`` and ``xdotool``. Prints the gestures it took and what
the saved book has in common with the sample at the chapel, and what not. The house is the stage box of the empty
plan, told what the chapel has said.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[3]))

from tests.app.session.compare import compared
from tests.app.session.hand import Display, Hand, Place, what_is_missing

Seen = dict[str, Any]

PIANO, VOCAL, SPLITTER = "stage-piano-88", "dynamic-handheld", "splitter-1x2"
MIXER, ADAPTER, EARPHONES = "mixer-in-ear", "adapter-trs6m-trs3f", "earphones"

GEAR: tuple[tuple[str, str, str, tuple[float, float]], ...] = (
    (PIANO, "stage piano", "Piano", (0.2, 0.16)),
    (VOCAL, "dynamic handheld", "Vocal", (0.5, 0.13)),
    (SPLITTER, "splitter 1 to 2", "Splitter", (0.42, 0.4)),
    (MIXER, "in-ear mixer", "In-ear mixer", (0.76, 0.4)),
    (ADAPTER, "trs plug to 3.5 mm", "Earphone adapter", (0.68, 0.63)),
    (EARPHONES, "earphones", "", (0.88, 0.7)),
)
"""Gear type, what is typed to find it, the name written on its tape, and where on the sheet it is dropped."""

CABLES = (
    (f"{VOCAL} out", f"{SPLITTER} in"),
    (f"{SPLITTER} isolated", f"{MIXER} mic-1"),
    (f"{MIXER} phones", f"{ADAPTER} in"),
    (f"{ADAPTER} out", f"{EARPHONES} in"),
)
LANDINGS = (
    (f"{PIANO} out-l", "in-1"),
    (f"{PIANO} out-r", "in-2"),
    (f"{SPLITTER} direct", "in-3"),
    (f"{MIXER} line-1", "mix-1"),
)
SAID = (("PA", "stereo"), ("48 V switching", "per channel"), ("input levels", "mic"))
"""What the chapel has said, as far as the findings depend on it."""


def session(hand: Hand, path: Path) -> None:
    """Plan the rig and save it."""
    hand.give_keyboard(hand.until("the window", lambda seen: seen.get("fields"))["window"])
    hand.press("ctrl+n")
    hand.until("an empty plan", lambda seen: seen["units"] == seen["links"] == 0)
    for number, (gear, query, _name, share) in enumerate(GEAR):
        _add(hand, (gear, query), share, first=number == 0)
    for gear, _query, name, _share in GEAR:
        if name:
            _rename(hand, gear, name)
    _see_all(hand)
    for start, end in CABLES:
        _draw(hand, start, ("faces", end), "links")
    for start, tile in LANDINGS:
        _draw(hand, start, ("tiles", tile), "landings")
    _stand(hand)
    _house(hand)
    _fit(hand)
    _gig(hand)
    _save(hand, path)


def _add(hand: Hand, gear: tuple[str, str], share: tuple[float, float], *, first: bool) -> None:
    """Find gear on the shelf and drag it onto the sheet."""
    gear_id, query = gear
    if first:
        hand.click(tuple(hand.rest()["search"]), "the search field")
    else:
        hand.press("ctrl+f")
    hand.type(query)
    hand.until(f"{gear_id} on the shelf", lambda seen: gear_id in seen["shelf"])
    seen = hand.rest()
    (left, top), (width, height) = seen["sheet"]["corner"], seen["sheet"]["size"]
    end = (int(left + width * share[0]), int(top + height * share[1]))
    hand.drag(tuple(seen["shelf"][gear_id]), end, f"{gear_id} from the shelf")
    hand.until(f"{gear_id} on the sheet", lambda seen: gear_id in seen["cards"])


def _rename(hand: Hand, gear: str, name: str) -> None:
    """Write a name on a card's tape; going on to the next thing keeps it."""
    hand.click(_in_view(hand.rest(), "cards", gear), gear)
    hand.press("F2")
    hand.until("a field on the tape", lambda seen: seen["focus"].startswith("NameEditor"))
    hand.type(name)


def _see_all(hand: Hand) -> None:
    """Leave the field on the tape, and have the whole sheet in view."""
    hand.press("Return")
    hand.press("ctrl+0")


def _in_view(seen: Seen, kind: str, name: str) -> Place:
    """Return where a thing of the sheet is, which must be where a hand can reach it."""
    x, y = seen[kind][name]
    (left, top), (width, height) = seen["sheet"]["corner"], seen["sheet"]["size"]
    assert left <= x < left + width and top <= y < top + height, f"{name} is out of view at {x}, {y}"  # noqa: PT018
    return x, y


def _draw(hand: Hand, start: str, end: tuple[str, str], counted: str) -> None:
    """Draw a cable from a face to another or to a tile."""
    seen = hand.rest()
    hand.drag(_in_view(seen, "faces", start), _in_view(seen, *end), f"cable from {start}")
    hand.until(f"a cable from {start}", lambda now: now[counted] == seen[counted] + 1)


def _choose(hand: Hand, field: str, steps: int) -> None:
    """Open a chooser and go down so many options."""
    hand.until(field, lambda seen: field in seen["fields"])
    edits = hand.rest()["edits"]
    hand.click(tuple(hand.look()["fields"][field]), f"the chooser {field}")
    hand.until("its options", lambda seen: seen["popup"])
    for _ in range(steps):
        hand.press("Down")
    hand.press("Return")
    hand.until(f"another {field}", lambda seen: seen["edits"] > edits)


def _stand(hand: Hand) -> None:
    """Put the voice on a tall boom stand."""
    hand.click(_in_view(hand.rest(), "cards", VOCAL), VOCAL)
    _choose(hand, "Stand", 1)


def _fill(hand: Hand, field: str, text: str, *, fresh: bool = True) -> None:
    """Click into a field and type; what stands there goes first."""
    hand.click(tuple(hand.rest()["fields"][field]), f"the field {field}")
    if not fresh:
        hand.press("ctrl+a")
    hand.type(text)


def _dialog(hand: Hand, chord: str) -> None:
    hand.press(chord)
    seen = hand.until("a dialog", lambda seen: seen["dialog"])
    hand.give_keyboard(seen["dialog"])


def _end_dialog(hand: Hand, button: str = "") -> None:
    if button:
        hand.click(tuple(hand.rest()["fields"][button]), f"the button {button}")
    else:
        hand.press("Return")
    seen = hand.until("the dialog to close", lambda seen: not seen["dialog"])
    hand.give_keyboard(seen["window"])


def _house(hand: Hand) -> None:
    """Say what the house is and has said."""
    _dialog(hand, "ctrl+h")
    _fill(hand, "Contact", "sound@fenwold-chapel.example, +00 555 0130")
    hand.click(tuple(hand.rest()["fields"]["tab What it said"]), "what the house has said")
    for field, answer in SAID:
        _fill(hand, field, answer)
    _end_dialog(hand, "Keep")


def _fit(hand: Hand) -> None:
    """Have the lines to the house fitted anew, boxes between where they are needed, and take that."""
    hand.press("ctrl+shift+b")
    hand.until("a proposal", lambda seen: seen["proposal"])
    edits = hand.look()["edits"]
    hand.press("ctrl+Return")
    hand.until("the proposal taken", lambda seen: seen["edits"] > edits)


def _gig(hand: Hand) -> None:
    """Say when, and whom to ask."""
    _dialog(hand, "ctrl+g")
    for field, text in (
        ("Date", "2027-08-26"), ("Contact", "tour@rigs.example, +00 555 0104"), ("Valid until", "2027-08-31"),
    ):  # fmt: skip
        _fill(hand, field, text)
    _end_dialog(hand, "Keep")


def _save(hand: Hand, path: Path) -> None:
    """Save the book under a name."""
    _dialog(hand, "ctrl+s")
    hand.press("ctrl+a")
    hand.type(str(path))
    _end_dialog(hand)
    hand.until("the book on disk", lambda seen: seen["saved"] and path.is_file())


def play(folder: Path) -> tuple[Hand, Path]:
    """Play the whole session in a folder of its own; returns the hand and the saved book."""
    path = folder / "mine.loom"
    display = Display()
    try:
        hand = Hand(display, folder)
        try:
            session(hand, path)
        finally:
            hand.picture(folder / "last.png")
            hand.close()
    finally:
        display.close()
    return hand, path


def main() -> int:
    """Play it, and say how it went."""
    missing = what_is_missing()
    if missing:
        print(missing)
        return 2
    with tempfile.TemporaryDirectory() as name:
        folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(name)
        hand, path = play(folder)
        print("\n".join(hand.log))
        print(f"{hand.gestures} gestures")
        print(compared(path).words())
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
