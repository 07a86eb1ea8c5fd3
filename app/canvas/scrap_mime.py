"""Units on the clipboard: our own kind of data, plain JSON, beside a list of names for everybody else."""

from __future__ import annotations

from PySide6.QtCore import QMimeData

from rigcore.book.edits.paste import Scrap, scrap_in, scrap_text

UNITS_MIME = "application/x-loomwright-units+json"


def scrap_data(scrap: Scrap) -> QMimeData:
    """Return a scrap as it goes onto the clipboard."""
    data = QMimeData()
    data.setData(UNITS_MIME, scrap_text(scrap).encode("utf-8"))
    data.setText("\n".join(unit.name for unit in scrap.units))
    return data


def scrap_of(data: QMimeData | None) -> Scrap | None:
    """Return the scrap on the clipboard, or None where there is something else.

    Raises
    ------
    EditRefused
        If it says it is one and is not.
    """
    if data is None or not data.hasFormat(UNITS_MIME):
        return None
    return scrap_in(bytes(data.data(UNITS_MIME).data()).decode("utf-8", errors="replace"))
