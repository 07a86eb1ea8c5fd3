"""A rig on n lines of the house: what survives, by importance, order and fall-backs; as landings, built to be checked.

The rules are run by ``lists.budget_list``, which may know them.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from rigcore.book.edits.fits import apply_fit
from rigcore.patch.build import Patch, build_patch
from rigcore.solve.aims import Watch
from rigcore.solve.fit import Fit, fit
from rigcore.solve.fit_question import Asked

MOST = 8
"""The largest budget anybody asks for by number."""


class Reduced(Struct, frozen=True, eq=False):
    """A rig on at most ``lines`` lines: its fit, and the patch with that fit in the gig."""

    lines: int
    fit: Fit
    patch: Patch

    @property
    def survives(self) -> tuple[str, ...]:
        """The names of the hand-offs that are heard, alone or through another one's line."""
        lost = set(self.fit.unsettled)
        return tuple(one.name for one in self.patch.rig.hand_offs if one.id in self._wished - lost)

    @property
    def lost(self) -> tuple[str, ...]:
        """The names of the hand-offs that fall away."""
        return tuple(self.fit.posed.names[name] for name in self.fit.unsettled)

    @property
    def _wished(self) -> set[str]:
        return {wish.name for wish in self.fit.posed.question.wishes}


def budget(patch: Patch, lines: int, asked: Asked | None = None, watch: Watch | None = None) -> Reduced:
    """Return the rig on at most so many lines to the house.

    Musts before the rest, and by their order within: the first is settled if any way leads there, then the
    second, and so on; a fall-back counts as settled. Lines from the house are not counted.

    Parameters
    ----------
    lines
        How many lines to the house there may be, from 1.
    """
    reduced = fit(patch, replace(asked or Asked(), fresh=True, most_lines=lines, by_order=True), watch)
    book = apply_fit(patch.book, patch.gig.id, reduced.landings, patch.catalogue)
    return Reduced(lines, reduced, build_patch(book, patch.gig.id, patch.catalogue))
