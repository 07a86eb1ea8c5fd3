"""Everything known about a gig, from its book alone: patch, findings and lists."""

from __future__ import annotations

from functools import cached_property

from msgspec import Struct

from rigcore.book.book import AcceptedRisk, Book
from rigcore.book.gig import Gig
from rigcore.catalogue.catalogue import Catalogue
from rigcore.lists.counts import Counts, count
from rigcore.lists.input_list import InputRow, input_list
from rigcore.lists.output_list import OutputRow, output_list
from rigcore.patch.build import Patch, build_patch
from rigcore.patch.renew import renew
from rigcore.rules.accepted import part
from rigcore.rules.rule import Finding
from rigcore.rules.run import run_rules


class Analysis(Struct, frozen=True, eq=False, dict=True):
    """The derived side of one gig. Lists are made when first asked for.

    ``findings`` are those that stand; ``accepted`` those the player has accepted, with the reason; ``lapsed``
    the acceptances that no longer meet a finding with their numbers.
    """

    book: Book
    gig: Gig
    patch: Patch
    findings: tuple[Finding, ...]
    accepted: tuple[tuple[Finding, AcceptedRisk], ...] = ()
    lapsed: tuple[AcceptedRisk, ...] = ()

    @cached_property
    def inputs(self) -> tuple[InputRow, ...]:
        """The house's input list."""
        return input_list(self.patch)

    @cached_property
    def outputs(self) -> tuple[OutputRow, ...]:
        """What the house sends to the stage."""
        return output_list(self.patch)

    @cached_property
    def counts(self) -> Counts:
        """The totals an engineer adds up: channels, 48 V, stands, DIs, mixes, power, leads."""
        return count(self.patch)


def analyse(book: Book, gig_id: str | None, catalogue: Catalogue, before: Analysis | None = None) -> Analysis:
    """Return the analysis of a gig; a pure function of its arguments.

    ``before`` is any analysis, best that from before the last edit: it spares work and changes nothing.

    Raises
    ------
    UnknownThing
        If there is no such gig.
    """
    patch = build_patch(book, gig_id, catalogue, before.patch if before is not None else None)
    if before is not None:
        renew(patch, before.patch)
    judged = part(run_rules(patch), book.accepted, patch.gig.id)
    return Analysis(book, patch.gig, patch, judged.standing, judged.accepted, judged.lapsed)
