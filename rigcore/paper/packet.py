"""The packet: one PDF, made of the pages asked for. Which there are stands in one table.

A house gets the input list and the stage plot, and whatever else it wants; the player's own pages are
the set-up card, gains, the lifeline card, the carry list and labels. Findings are for the player and are
not printed. The same book and the same issue date give the same bytes, on one machine: characters our
fonts lack come from installed ones.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import unicodedata
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from rigcore.book.file import replace_file
from rigcore.errors import PacketNotWritten
from rigcore.lists.edition import edition
from rigcore.paper.house import house_leaves
from rigcore.paper.labels import SHEETS, label_leaves
from rigcore.paper.ladder import gain_leaves
from rigcore.paper.leaf import Job, Leaf, Maker
from rigcore.paper.list_pages import table_leaves
from rigcore.paper.page import Frame, Heading, draw_foot, draw_title, heading_of
from rigcore.paper.player_pages import carry_leaves, lifeline_leaves, reduced_leaves, set_up_leaves
from rigcore.paper.style import HEADING, PAPERS, SMALL_DARK, Pen, clean

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

    from rigcore.analysis import Analysis

MAKERS: Mapping[str, tuple[str, Maker]] = {
    "inputs": ("input list", house_leaves),
    "plot": ("stage plot", house_leaves),
    "monitors": ("monitor mixes", table_leaves),
    "power": ("power request", table_leaves),
    "supply": ("supply", table_leaves),
    "set-up": ("set-up card", set_up_leaves),
    "gain": ("gains", gain_leaves),
    "lifeline": ("lifeline card", lifeline_leaves),
    "carry": ("carry list", carry_leaves),
    "reduced": ("fewer lines", reduced_leaves),
    "labels": ("cable labels", label_leaves),
}
"""Every page by its id, in the order they are printed: its name, and what makes its sheets.

One maker may make several pages together; it is asked once.
"""

PAGES = tuple(MAKERS)
"""What a packet can hold, in the order it is printed."""
HOUSE_PAGES = ("inputs", "plot")
PLAYER_PAGES = ("set-up", "gain", "lifeline", "carry", "labels")
CHOICES: Mapping[str, tuple[str, ...]] = {"house": HOUSE_PAGES, "player": PLAYER_PAGES}
"""The pages of a packet by whom it is for."""


def write_packet(
    analysis: Analysis, folder: Path, *, paper: str = "A4", feet: bool = False, issued: dt.date | None = None,
    pages: Sequence[str] = HOUSE_PAGES, label_sheet: str = "small",
) -> Path:
    """Write the packet of a gig into a folder and return its path.

    Parameters
    ----------
    folder
        Made if it is missing. A packet of the same name is replaced in one step.
    paper
        ``"A4"`` or ``"Letter"``.
    feet
        Print lengths in feet instead of metres.
    issued
        Issue date; if None the day its letter was sent, for a draft today.
    pages
        Which of :data:`PAGES` to print; their order is always the same.
    label_sheet
        How labels lie on their sheets: a name of :data:`rigcore.paper.labels.SHEETS`.

    Raises
    ------
    PacketNotWritten
        If the folder cannot be made or written to.
    ValueError
        If there is no such paper, page or sheet of labels, or no page at all.
    """
    data = packet_bytes(analysis, paper=paper, feet=feet, issued=issued, pages=pages, label_sheet=label_sheet)
    target = folder / packet_name(analysis)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        replace_file(target, data)
    except OSError as error:
        raise PacketNotWritten(
            f"{target.name} could not be written to {folder}: {error.strerror or error}; choose another folder",
            [str(folder)],
        ) from None
    return target


def packet_name(analysis: Analysis) -> str:
    """Return the file name of a packet: act, house, date and letter, safe on every disk and in every mail."""
    gig = analysis.gig
    act = gig.act or analysis.book.owner or analysis.patch.rig.name
    parts = [_file_words(act) or "Act", "TechSheet", _file_words(analysis.patch.house.name) or "House"]
    if gig.date:
        parts.append(gig.date.isoformat())
    letter = edition(analysis.patch).letter
    return "_".join([*parts, letter] if letter else parts) + ".pdf"


def packet_bytes(
    analysis: Analysis, *, paper: str = "A4", feet: bool = False, issued: dt.date | None = None,
    pages: Sequence[str] = HOUSE_PAGES, label_sheet: str = "small",
) -> bytes:
    """Return the packet of a gig as a PDF.

    Parameters and errors as for :func:`write_packet`, except that nothing is written.
    """
    from reportlab.pdfgen.canvas import Canvas

    if paper not in PAPERS:
        raise ValueError(f"there is no paper {paper!r}, only {', '.join(PAPERS)}")
    if label_sheet not in SHEETS:
        raise ValueError(f"there is no sheet of labels {label_sheet!r}, only {', '.join(SHEETS)}")
    job = _job(analysis, paper, feet, pages)
    day = issued or job.edition.sent or dt.date.today()
    heading = heading_of(analysis, day, job.edition.mark)
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=PAPERS[paper], pageCompression=1, invariant=1, lang="en-GB")
    _describe(canvas, heading, day, [name for page, (name, _) in MAKERS.items() if page in job.chosen])
    _draw(canvas, replace(job, labels=SHEETS[label_sheet]), heading)
    canvas.save()
    return stream.getvalue()


def unprintable_characters(analysis: Analysis, *, pages: Sequence[str] = HOUSE_PAGES) -> str:
    """Return the characters of a gig's packet that no font holds; they are printed as hollow squares."""
    from reportlab.pdfgen.canvas import Canvas

    job = _job(analysis, "A4", False, pages)
    return _draw(Canvas(io.BytesIO(), invariant=1), job, heading_of(analysis, dt.date.min, job.edition.mark))


def _job(analysis: Analysis, paper: str, feet: bool, pages: Sequence[str]) -> Job:
    unknown = [page for page in pages if page not in MAKERS]
    if unknown or not pages:
        raise ValueError(f"there is no page {', '.join(unknown) or 'to print'}, only {', '.join(PAGES)}")
    return Job(analysis, paper, feet, edition(analysis.patch, feet=feet), frozenset(pages))


def _draw(canvas: Canvas, job: Job, heading: Heading) -> str:
    """Draw every sheet and return the characters that could not be printed."""
    makers = dict.fromkeys(make for page, (_, make) in MAKERS.items() if page in job.chosen)
    leaves = [leaf for make in makers for leaf in make(job)]
    missing: dict[str, None] = {}
    canvas.setPageSize(job.frame.size)
    for number, leaf in enumerate(leaves or [Leaf("Nothing to print", lambda pen, frame: None)], start=1):
        frame = Frame(job.frame.size, number, len(leaves) or 1)
        pen = Pen(canvas)
        mark = f"page-{number}"
        canvas.bookmarkPage(mark)
        canvas.addOutlineEntry(leaf.title, mark, level=0)
        if leaf.bare:
            leaf.draw(pen, frame)
        else:
            draw_title(pen, heading, frame)
            used = pen.text((frame.left, frame.top - 10), leaf.title, HEADING.at(13))
            room = frame.right - frame.left - used - 14
            if leaf.aside:
                pen.text((frame.right, frame.top - 10), leaf.aside, SMALL_DARK, room_pt=room, align="right")
            leaf.draw(pen, frame)
            draw_foot(pen, heading, frame)
        missing.update(pen.missing)
        canvas.showPage()
    return "".join(missing)


def _describe(canvas: Canvas, heading: Heading, day: dt.date, names: Sequence[str]) -> None:
    """Set title, author, subject, page labels and the issue date, whatever the clock and the environment say."""
    listed = " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
    canvas.setTitle(f"{clean(heading.act)}: {listed}")
    canvas.setAuthor(clean(heading.act))
    canvas.setSubject(clean(f"{heading.where} · {heading.when} · {heading.mark}"))
    canvas.setCreator("Loomwright")
    canvas.setKeywords(", ".join(names))
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.addPageLabel(0, style="ARABIC", start=1)
    stamp = canvas._doc._timeStamp
    stamp.YMDhms, stamp.dhh, stamp.dmm = (day.year, day.month, day.day, 12, 0, 0), 0, 0
    canvas._doc.signature = hashlib.md5(day.isoformat().encode(), usedforsecurity=False)


def _file_words(name: str) -> str:
    """Return a name as one word for a file: accents off, blanks closed up, nothing a disk or a mail minds."""
    plain = unicodedata.normalize("NFKD", name)
    plain = "".join(char for char in plain if not unicodedata.combining(char))
    words = "".join(char if char.isalnum() else " " for char in plain).split()
    joined = "".join(word[:1].upper() + word[1:] for word in words)[:40]
    return joined.encode()[:80].decode(errors="ignore")
