"""How long the window takes to come: ratios to an empty window of the same toolkit, in fresh processes.

``python tests/bench/start.py [ROUNDS]``. Floor: a bare main window from process start to its first paint. Measured
against it: the first painted frame of the program, and the sample opened, checked and painted. Modules are
compiled beforehand into a folder of the bench's own, as an installed program has them.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]

BARE = """
import sys, time
from PySide6.QtWidgets import QApplication, QMainWindow
class Window(QMainWindow):
    def paintEvent(self, event):
        super().paintEvent(event)
        print(time.time(), flush=True)
app = QApplication(sys.argv)
window = Window()
window.resize(1366, 768)
window.show()
app.processEvents()
"""

OURS = """
import os, time
from PySide6.QtWidgets import QApplication
from app import __main__ as start
inside = start.open_window
def open_window(*what):
    print(time.time(), flush=True)
    return inside(*what)
start.open_window = open_window
window = start.begin(None, True)
app = QApplication.instance()
while not window.findings.rows:
    app.processEvents()
for _ in range(3):
    app.processEvents()
print(time.time(), flush=True)
os._exit(0)
"""


def moments(script: str, compiled: str) -> list[float]:
    """Return the seconds from process start to each moment a script prints; compiled modules are kept in a folder."""
    environment = {"QT_QPA_PLATFORM": "offscreen", **os.environ, "PYTHONPYCACHEPREFIX": compiled}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    begun = time.time()
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=TOP, env=environment, capture_output=True, text=True, check=True
    )
    return [float(line) - begun for line in done.stdout.split()]


def main(rounds: int) -> None:
    """Print medians and ratios; the floor is taken in between, so that a busy machine weighs on all alike."""
    bare, first, whole = [], [], []
    with tempfile.TemporaryDirectory() as compiled:
        for script in (BARE, OURS):
            moments(script, compiled)
        for _ in range(rounds):
            bare.append(moments(BARE, compiled)[0])
            ours = moments(OURS, compiled)
            first.append(ours[0])
            whole.append(ours[-1])
    floor = statistics.median(bare)
    print(f"bare window            {floor:6.3f} s")
    for words, found in (("first painted frame", first), ("sample checked, painted", whole)):
        middle = statistics.median(found)
        print(f"{words:<23}{middle:6.3f} s  {middle / floor:4.1f} x")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
