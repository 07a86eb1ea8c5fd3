"""A gig as a file for another program: which kinds there are, and the bytes of each."""

from __future__ import annotations

import datetime as dt

from rigcore.analysis import Analysis


def made(analysis: Analysis, what: tuple[str, str], issued: dt.date, *, options: tuple[bool, bool]) -> bytes:
    """Return a gig as a kind of file and a part of it; options are the byte order mark and feet."""
    kind, part = what
    bom, feet = options
    if kind in ("csv", "xlsx"):
        from rigcore.paper import spreadsheet

        if kind == "csv":
            return spreadsheet.csv_bytes(spreadsheet.SHEETS[part](analysis), bom=bom)
        return spreadsheet.workbook_bytes([make(analysis) for make in spreadsheet.SHEETS.values()], issued)
    if kind in ("svg", "png"):
        return _drawing(analysis, kind, part, feet)
    if kind in ("graphml", "dot"):
        from rigcore.paper import graphs

        return graphs.graphml_bytes(analysis.patch) if kind == "graphml" else graphs.dot_bytes(analysis.patch)
    if kind == "ics":
        from rigcore.paper.calendar import calendar_bytes

        return calendar_bytes(analysis, issued)
    from rigcore.paper.answer_sheet import answer_sheet

    return answer_sheet(analysis, bom=bom)


def _drawing(analysis: Analysis, kind: str, part: str, feet: bool) -> bytes:
    from rigcore.paper import drawing
    from rigcore.paper.patch_sheet import patch_drawing

    page = patch_drawing(analysis, feet=feet) if part == "patch" else drawing.plot_drawing(analysis, feet=feet)
    return drawing.svg_bytes(page) if kind == "svg" else drawing.png_bytes(page)
