"""The real pages of the PDF as pictures: for the Packet sheet, the printer and the Stage sheet's print view."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtGui import QImage

if TYPE_CHECKING:
    from pypdfium2 import PdfPage

    from rigcore.analysis import Analysis

_ONE_AT_A_TIME = threading.Lock()
"""The library that draws pages must not be entered by two threads."""


class Wanted(Struct, frozen=True):
    """What is to be drawn: paper, units and pages."""

    paper: str
    feet: bool
    pages: tuple[str, ...]


def pdf_of(analysis: Analysis, wanted: Wanted) -> bytes:
    """Return the packet as it would be exported. Runs off the interface thread."""
    from rigcore.paper.packet import packet_bytes

    return packet_bytes(analysis, paper=wanted.paper, feet=wanted.feet, pages=wanted.pages)


def page_images(data: bytes, width_px: int, *, title: str = "") -> list[QImage]:
    """Return the pages of a PDF, or those of one title, so many pixels wide. Runs off the interface thread."""
    import pypdfium2

    with _ONE_AT_A_TIME:
        pdf = pypdfium2.PdfDocument(data)
        titled = {mark.get_dest().get_index() for mark in pdf.get_toc() if mark.get_title() == title}
        images = [_picture(page, width_px) for place, page in enumerate(pdf) if not title or place in titled]
        pdf.close()
    return images


def _picture(page: PdfPage, width_px: int) -> QImage:
    bitmap = page.render(scale=width_px / page.get_width(), rev_byteorder=True)
    shape = QImage.Format.Format_RGBX8888 if bitmap.n_channels == 4 else QImage.Format.Format_RGB888
    image = QImage(bitmap.buffer, bitmap.width, bitmap.height, bitmap.stride, shape).copy()
    page.close()
    return image
