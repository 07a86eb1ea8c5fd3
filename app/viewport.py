"""A viewport of one's own for what scrolls: asked for the one it has made itself, the toolkit looks long.

To wrap a widget it has not made in Python, the toolkit first makes the classes of every widget there is, with all
their enumerations: a fiftieth of the start, for wizards and calendars nobody has asked for.
"""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractScrollArea, QWidget


def own_viewport(area: QAbstractScrollArea) -> QWidget:
    """Give a scroll area a viewport made here, as its first step, and return it."""
    viewport = QWidget()
    area.setViewport(viewport)
    return viewport
