"""What an edit changes in the fit of a gig: lines that land elsewhere, or by another chain. Nothing is judged here."""

from __future__ import annotations

from rigcore.lists.fit_list import fit_rows, fit_sentences
from rigcore.patch.build import Patch
from rigcore.solve.fit import fit


def fit_changes(before: Patch, after: Patch) -> tuple[str, ...]:
    """Return in words how the best fit of a gig differs after an edit, line by line, then what is newly short."""
    was, now = fit(before), fit(after)
    old = {row.hand_off: row for row in fit_rows(was)}
    lines = []
    for row in fit_rows(now):
        known = old.get(row.hand_off)
        if known is None or (known.socket, known.chain, known.how) != (row.socket, row.chain, row.how):
            how = f" ({row.how})" if row.how else ""
            lines.append(f"{row.name} → {row.socket}: {row.chain or 'nothing'}{how}")
    known_sentences = fit_sentences(was)
    return (*lines, *(one for one in fit_sentences(now) if one not in known_sentences))
