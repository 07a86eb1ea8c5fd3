"""The details of one link: its two ends, its cable, length and label."""

from __future__ import annotations

from typing import Any

from app.desk import Desk
from app.panes.forms.thing import ThingForm
from app.panes.forms.words import end_words, gear_and_port
from rigcore.book.book import Book
from rigcore.book.edits.links import bundle, put_in_loom, remove_links, rename_loom, set_cable, usual_length
from rigcore.book.edits.rebuild import checked, put_rig, replaced
from rigcore.book.rig import Link
from rigcore.catalogue.cables import CableType
from rigcore.rules.rule import Thing

NEW = "/new"
"""Stands in a chooser for what is yet to be made; no id begins so."""


class LinkForm(ThingForm):
    """One link of the rig."""

    def __init__(self, desk: Desk, link: Link) -> None:
        super().__init__(desk)
        self.link = link
        self.title(link.label or self.tr("Cable"))
        self.fact(self.tr("From"), end_words(self.catalogue, self.rig, link.source))
        self.fact(self.tr("To"), end_words(self.catalogue, self.rig, link.target))
        self._cable()
        self.choice(self.tr("Supplied"), self.owners(), link.owner, lambda owner: self._change(owner=owner))
        self.text(
            self.tr("Label"), link.label, lambda text: self._change(label=text.strip()),
            hint=self.tr("on the tape, both ends"),
        )
        self._loom()
        self.ladder_of(Thing("link", link.id))
        self.findings_about(Thing("link", link.id))
        self.heading(self.tr("This cable"))
        cable = self.catalogue.cables.get(link.cable or "")
        if cable is not None:
            self.fact(self.tr("Runs to"), self.tr("{:g} m: {}").format(cable.longest_m, cable.why_longest))
            lengths = ", ".join(f"{one:g}" for one in cable.stock_lengths_m)
            self.fact(self.tr("Sold in"), self.tr("{} m").format(lengths))
        self.button(self.tr("Unplug it"), self._unplug)
        self.finish()

    def _cable(self) -> None:
        _, source = gear_and_port(self.catalogue, self.rig, self.link.source)
        _, target = gear_and_port(self.catalogue, self.rig, self.link.target)
        fitting: tuple[CableType, ...] = ()
        straight = False
        if source is not None and target is not None:
            fitting = self.catalogue.cables_between(source, target)
            straight = self.catalogue.mating.fits(source.connector, target.connector)
        options: list[tuple[str, Any]] = []
        if straight or self.link.cable is None:
            words = self.tr("no cable, plugs straight in") if straight else self.tr("none fits both ends")
            options.append((words, None))
        options += [(cable.name, cable.id) for cable in fitting]
        known = {cable.id for cable in fitting}
        options += [
            (self.tr("{} (does not fit)").format(cable.name), cable.id)
            for cable in self.catalogue.cable_order
            if cable.id not in known
        ]
        self.choice(self.tr("Cable"), options, self.link.cable, self._take)
        if self.link.cable is not None:
            self.number(
                self.tr("Length"), self.link.length_m, lambda length: self._set(self.link.cable, length),
                unit="m", span=(0.1, 500.0), step=0.5, empty=self.tr("not measured"),
            )

    def _loom(self) -> None:
        rig_id, link_id, looms = self.rig.id, self.link.id, self.rig.looms
        options: list[tuple[str, Any]] = [(self.tr("lies by itself"), None)]
        options += [(loom.name, loom.id) for loom in looms]
        options.append((self.tr("a new loom"), NEW))

        def take(loom_id: str | None) -> None:
            name = _free_name(self.tr("Loom"), {loom.name for loom in looms})
            if loom_id == NEW:
                self.edit("dress cable", lambda book: bundle(book, rig_id, [link_id], name))
            else:
                self.edit("dress cable", lambda book: put_in_loom(book, rig_id, link_id, loom_id))

        self.choice(self.tr("Loom"), options, self.link.loom, take)
        loom = next((one for one in looms if one.id == self.link.loom), None)
        if loom is not None:
            self.text(
                self.tr("Loom's name"), loom.name,
                lambda name: self.edit("rename loom", lambda book: rename_loom(book, rig_id, loom.id, name)),
                needed=True,
                most=120,
            )

    def _take(self, cable_id: str | None) -> None:
        length = self.link.length_m
        if cable_id is not None and length is None:
            length = usual_length(self.catalogue.cables[cable_id].stock_lengths_m)
        self._set(cable_id, length if cable_id is not None else None)

    def _set(self, cable_id: str | None, length_m: float | None) -> None:
        rig_id, link_id, catalogue = self.rig.id, self.link.id, self.catalogue
        self.edit(
            "choose cable",
            lambda book: set_cable(book, rig_id, link_id, (cable_id, length_m), catalogue=catalogue),
        )

    def _change(self, **fields: object) -> None:
        rig_id, link_id = self.rig.id, self.link.id

        def change(book: Book) -> Book:
            rig = book.rig(rig_id)
            link = rig.link(link_id)
            return put_rig(book, checked(rig, links=replaced(rig.links, checked(link, **fields)))) if link else book

        self.edit("change cable", change)

    def _unplug(self) -> None:
        rig_id, link_id = self.rig.id, self.link.id
        self.edit("unplug cable", lambda book: remove_links(book, rig_id, [link_id]))


def _free_name(name: str, taken: set[str]) -> str:
    number = 1
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"
