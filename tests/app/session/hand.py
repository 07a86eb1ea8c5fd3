"""A hand at a display of its own: Xvfb, xdotool, and a count of gestures.

A drag is one gesture, and so are a click, a text typed, and a key or a chord. What
a window manager would do (giving a new window the keyboard) is not counted, for
this display has none.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

TOP = Path(__file__).resolve().parents[3]
SIZE = "1366x768x24"
PATIENCE_S = 30.0

Place = tuple[int, int]


def what_is_missing() -> str:
    """Return which program a session needs and this machine lacks, or nothing."""
    lacking = [name for name in ("Xvfb", "xdotool") if shutil.which(name) is None]
    return f"{' and '.join(lacking)} not installed" if lacking else ""


class Display:
    """An X display that nobody looks at, on a free number."""

    def __init__(self) -> None:
        read, write = os.pipe()
        self._server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write), "-screen", "0", SIZE, "-nolisten", "tcp"],
            pass_fds=[write], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        os.close(write)
        with os.fdopen(read) as pipe:
            self.name = f":{pipe.readline().strip()}"

    def close(self) -> None:
        """Take the display down."""
        self._server.terminate()
        self._server.wait(10)


class Hand:
    """Mouse and keyboard over one running program, and eyes on where its things are."""

    def __init__(self, display: Display, folder: Path) -> None:
        self.gestures = 0
        self.log: list[str] = []
        self._eyes = folder / "seen.json"
        home = folder / "home"
        home.mkdir()
        self._environment = {
            **{key: value for key, value in os.environ.items() if not key.startswith("XDG_")},
            "DISPLAY": display.name, "QT_QPA_PLATFORM": "xcb", "HOME": str(home), "LANGUAGE": "en",
            "XDG_CONFIG_HOME": str(home / "config"), "XDG_STATE_HOME": str(home / "state"),
            "XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache"),
        }  # fmt: skip
        self.said = (folder / "program.txt").open("wb")
        self.program = subprocess.Popen(
            [sys.executable, "-m", "tests.app.session.probe", str(self._eyes)],
            cwd=TOP, env=self._environment, stdout=self.said, stderr=subprocess.STDOUT,
        )

    # -- looking -----------------------------------------------------------------------------

    def look(self) -> dict[str, Any]:
        """Return what is to be seen, as of the last tenth of a second."""
        try:
            seen: dict[str, Any] = json.loads(self._eyes.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return seen

    def until(self, what: str, happened: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
        """Wait until something is to be seen, and return all that is."""
        end = time.monotonic() + PATIENCE_S
        seen: dict[str, Any] = {}
        while time.monotonic() < end:
            if self.program.poll() is not None:
                raise AssertionError(f"the program ended while waiting for {what}")
            seen = self.look()
            if seen and happened(seen):
                return seen
            time.sleep(0.05)
        told = {key: value for key, value in seen.items() if not isinstance(value, dict)}
        raise AssertionError(f"waited in vain for {what}; after {self.log[-4:]} the program shows {told}")

    def rest(self) -> dict[str, Any]:
        """Let the program settle: nothing moves from one look to the next."""
        before: dict[str, Any] = {}
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            stamp = self._eyes.stat().st_mtime_ns
            while self._eyes.stat().st_mtime_ns == stamp and time.monotonic() < end:
                time.sleep(0.02)
            now = self.look()
            if now and now == before:
                return now
            before = now
        return before

    # -- gestures ----------------------------------------------------------------------------

    def press(self, chord: str) -> None:
        """Press a key or a chord."""
        self._count(f"key {chord}")
        self._do("key", chord)

    def type(self, text: str) -> None:
        """Type a text."""
        self._count(f"type {text!r}")
        self._do("type", "--delay", "15", text)

    def click(self, at: Place, what: str = "") -> None:
        """Click somewhere."""
        self._count(f"click {what or at}")
        self._do("mousemove", *_words(at))
        time.sleep(0.05)
        self._do("click", "1")

    def drag(self, start: Place, end: Place, what: str = "") -> None:
        """Press, move a little, half way, almost there, there, and let go."""
        self._count(f"drag {what or (start, end)}")
        half = ((start[0] + end[0]) // 2, (start[1] + end[1]) // 2)
        self._do("mousemove", *_words(start))
        time.sleep(0.05)
        self._do("mousedown", "1")
        for at in ((start[0] + 8, start[1] + 6), half, (end[0] - 2, end[1] - 2), end):
            time.sleep(0.06)
            self._do("mousemove", *_words(at))
        time.sleep(0.2)
        self._do("mouseup", "1")

    # -- what a window manager does ----------------------------------------------------------

    def give_keyboard(self, window: int) -> None:
        """Give a window the keyboard."""
        self._do("windowfocus", str(window))
        self.until("the window to have the keyboard", lambda seen: seen["active"])

    def picture(self, path: Path) -> None:
        """Keep what the display shows, where there is a program for it; for whoever wonders why."""
        if shutil.which("import") is not None:
            subprocess.run(["import", "-window", "root", str(path)], env=self._environment, check=False)

    def close(self) -> None:
        """Leave the program behind."""
        if self.program.poll() is None:
            self.program.terminate()
        self.program.wait(20)
        self.said.close()

    def _count(self, words: str) -> None:
        self.gestures += 1
        self.log.append(words)

    def _do(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], env=self._environment, check=True, capture_output=True)


def _words(at: Place) -> tuple[str, str]:
    return str(at[0]), str(at[1])
