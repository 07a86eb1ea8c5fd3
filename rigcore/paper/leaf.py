"""What a maker of pages is given, and what it gives back: a leaf is one sheet of paper not yet drawn."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec import Struct

from rigcore.lists.edition import Edition
from rigcore.paper.page import FOOT_PT, Frame
from rigcore.paper.style import PAPERS, Pen

if TYPE_CHECKING:
    from rigcore.analysis import Analysis
    from rigcore.paper.labels import LabelSheet

SECTION_PT = 20.0
"""Height of a page's own title below the title block."""


class Job(Struct, frozen=True):
    """One packet to be made: the gig, the paper, the unit of length, its edition, and which pages are asked for."""

    analysis: Analysis
    paper: str
    feet: bool
    edition: Edition
    chosen: frozenset[str]
    labels: LabelSheet | None = None

    @property
    def frame(self) -> Frame:
        """A sheet of this paper; its number is not known yet."""
        return Frame(PAPERS[self.paper], 1, 1)

    @property
    def room_pt(self) -> float:
        """Height for what stands on a page below its own title, in points."""
        return self.frame.top - FOOT_PT - SECTION_PT


class Leaf(Struct, frozen=True):
    """One sheet: its title, words at the right of it, and what draws it below them.

    ``bare`` sheets carry nothing else, neither title block nor footer: labels.
    """

    title: str
    draw: Callable[[Pen, Frame], None]
    aside: str = ""
    bare: bool = False


Maker = Callable[[Job], "tuple[Leaf, ...]"]
"""Makes all sheets of one page of the packet, none if it has nothing to say."""
