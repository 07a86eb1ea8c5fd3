"""What the program remembers between sessions: face, units, window, recent books. Never the book itself."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from PySide6.QtCore import QByteArray, QLocale, QSettings

FaceChoice = Literal["system", "paper", "blackout"]
FACES: tuple[FaceChoice, ...] = ("system", "paper", "blackout")
RECENT = 8
"""How many recent books are kept."""


class Settings:
    """Typed access to the settings file; every unreadable value falls back to its default."""

    def __init__(self, store: QSettings | None = None) -> None:
        self._store = store if store is not None else QSettings()

    @property
    def face(self) -> FaceChoice:
        """The chosen face, or to follow the system."""
        return next((face for face in FACES if face == self._store.value("face")), "system")

    @face.setter
    def face(self, face: FaceChoice) -> None:
        self._store.setValue("face", face)

    @property
    def feet(self) -> bool:
        """Whether the packet is written in feet; as the country has it until the user chooses."""
        return self._flag("feet") if self._store.contains("feet") else _is_imperial()

    @feet.setter
    def feet(self, feet: bool) -> None:
        self._store.setValue("feet", "yes" if feet else "no")

    @property
    def paper(self) -> Literal["A4", "Letter"]:
        """The paper of the packet; as the country has it until the user chooses."""
        if not self._store.contains("paper"):
            return "Letter" if _is_imperial() else "A4"
        return "Letter" if self._store.value("paper") == "Letter" else "A4"

    @paper.setter
    def paper(self, paper: Literal["A4", "Letter"]) -> None:
        self._store.setValue("paper", paper)

    @property
    def greeted(self) -> bool:
        """Whether the first steps have been read and put away."""
        return self._flag("greeted")

    @greeted.setter
    def greeted(self, greeted: bool) -> None:
        self._store.setValue("greeted", "yes" if greeted else "no")

    @property
    def recent(self) -> tuple[Path, ...]:
        """Books opened or saved lately, latest first."""
        kept = self._store.value("recent", [])
        lines = [kept] if isinstance(kept, str) else kept if isinstance(kept, list) else []
        return tuple(Path(line) for line in lines if isinstance(line, str) and line)[:RECENT]

    def remember_book(self, path: Path) -> None:
        """Put a book at the top of the recent ones."""
        path = path.absolute()
        others = [one for one in self.recent if one != path]
        self._store.setValue("recent", [str(one) for one in (path, *others)][:RECENT])

    def forget_book(self, path: Path) -> None:
        """Take a book that is gone out of the recent ones."""
        self._store.setValue("recent", [str(one) for one in self.recent if one != path])

    @property
    def folder(self) -> str:
        """Where file dialogs start."""
        kept = self._store.value("folder", "")
        return kept if isinstance(kept, str) else ""

    @folder.setter
    def folder(self, folder: str) -> None:
        self._store.setValue("folder", folder)

    def layout(self, part: str) -> QByteArray | None:
        """Return the kept layout of a part of the window, or None."""
        kept = self._store.value(f"layout/{part}")
        return kept if isinstance(kept, QByteArray) and not kept.isEmpty() else None

    def keep_layout(self, part: str, state: QByteArray) -> None:
        """Keep the layout of a part of the window."""
        self._store.setValue(f"layout/{part}", state)

    def _flag(self, key: str) -> bool:
        return self._store.value(key) in ("yes", True)


def _is_imperial() -> bool:
    """Return whether the system's country uses feet and Letter paper."""
    return QLocale.system().measurementSystem() == QLocale.MeasurementSystem.ImperialUSSystem
