"""Painting that survives a mistake: the painter is given back as it was, the mistake is told afterwards.

An exception that leaves a painting method in Python kills the process in the
toolkit (measured with PySide6 6.11.3: a segmentation fault, every time). So none
leaves: it is handed to ``sys.excepthook`` once the painting is over.
"""

from __future__ import annotations

import functools
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Concatenate, ParamSpec, TypeVar

from PySide6.QtCore import QTimer
from PySide6.QtGui import QPainter

Rest = ParamSpec("Rest")
Owner = TypeVar("Owner")


@contextmanager
def kept(painter: QPainter) -> Iterator[None]:
    """Keep the painter's state for a while, whatever happens."""
    painter.save()
    try:
        yield
    finally:
        painter.restore()


def steady(
    paint: Callable[Concatenate[Owner, QPainter, Rest], None],
) -> Callable[Concatenate[Owner, QPainter, Rest], None]:
    """Let a painting method fail without taking the program with it."""

    @functools.wraps(paint)
    def painted(self: Owner, painter: QPainter, *rest: Rest.args, **named: Rest.kwargs) -> None:
        try:
            with kept(painter):
                paint(self, painter, *rest, **named)
        except Exception as mistake:
            _tell_later(mistake)

    return painted


def _tell_later(mistake: Exception) -> None:
    # The frames hold the painter, which is gone by the time anybody reads them: keep their words only.
    mistake.add_note("".join(traceback.format_exception(mistake)))
    mistake.__traceback__ = mistake.__context__ = mistake.__cause__ = None
    QTimer.singleShot(0, lambda: sys.excepthook(type(mistake), mistake, None))
