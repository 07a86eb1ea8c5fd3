"""Printing the packet: the very pages of the PDF, drawn at the printer's own resolution."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QMarginsF, QRect
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget

from rigcore.analysis import Analysis

PAPERS = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
MOST_DPI = 600


def print_pages(analysis: Analysis, paper: Literal["A4", "Letter"], feet: bool, parent: QWidget) -> None:
    """Ask for a printer and print the packet's pages on it."""
    printer = printer_for(paper)
    dialog = QPrintDialog(printer, parent)
    if dialog.exec() == QPrintDialog.DialogCode.Accepted:
        print_on(printer, analysis, paper, feet)
    dialog.deleteLater()


def printer_for(paper: Literal["A4", "Letter"]) -> QPrinter:
    """Return the printer of the system with the paper chosen; the pages bring their own margins."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageSize(QPageSize(PAPERS[paper]))
    printer.setFullPage(True)
    printer.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
    printer.setDocName("Loomwright")
    return printer


def print_on(printer: QPrinter, analysis: Analysis, paper: str, feet: bool) -> int:
    """Draw the pages on a printer and return how many."""
    from app.pages import Wanted, page_images, pdf_of
    from rigcore.paper.packet import HOUSE_PAGES

    wide = round(printer.paperRect(QPrinter.Unit.Inch).width() * min(printer.resolution(), MOST_DPI))
    images = page_images(pdf_of(analysis, Wanted(paper, feet, HOUSE_PAGES)), wide)
    painter = QPainter(printer)
    whole = printer.paperRect(QPrinter.Unit.DevicePixel).toRect()
    for number, image in enumerate(images):
        if number:
            printer.newPage()
        painter.drawImage(_fitting(whole, image), image)
    painter.end()
    return len(images)


def _fitting(whole: QRect, image: QImage) -> QRect:
    """Return where a page lies on the paper: as large as fits, in the middle; a landscape page is not turned."""
    scale = min(whole.width() / image.width(), whole.height() / image.height())
    size = (round(image.width() * scale), round(image.height() * scale))
    return QRect((whole.width() - size[0]) // 2, (whole.height() - size[1]) // 2, *size)
