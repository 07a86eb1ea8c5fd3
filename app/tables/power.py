"""The Power sheet: what each plug draws and hangs on, summed by circuit, and where the rig can travel."""

from __future__ import annotations

from collections.abc import Sequence

from app.tables.model import Column
from app.tables.table_sheet import TableSheet
from rigcore.lists.draw_list import DrawRow, draw_list
from rigcore.lists.power_list import CAUTION, travel_list
from rigcore.rules.rule import Thing


class PowerSheet(TableSheet):
    """The plugs by circuit."""

    title = "Power"
    sentence = "Computed from the patch and the places on the Stage sheet. " + CAUTION
    empty = "Nothing in this rig draws mains yet. Put gear on the Patch sheet."
    columns = (
        Column("Thing", "What is plugged in", 26, lambda row: row.name, is_strong=True),
        Column("Into", "The strip or wall outlet it is plugged into", 18, lambda row: row.into or "–"),
        Column("Place", "The power drop", 14, lambda row: row.place or "–"),
        Column("Circuit", "The circuit as the house calls it", 18, lambda row: row.circuit or "–"),
        Column("Takes", "The voltages it runs on", 13, lambda row: row.takes_v),
        Column("Draws", "The most it draws itself", 9, lambda row: f"{row.watts:g} W", is_centred=True),
        Column("Current", "That in amperes", 9, lambda row: f"{row.amps:.2f} A", is_centred=True),
        Column("At the plug", "With everything it feeds", 11, lambda row: f"{row.plug_amps:.2f} A", is_centred=True),
        Column("Leaks", "Earth leakage", 9, lambda row: f"{row.leakage_ma:.2f} mA", is_centred=True),
        Column("Remark", "How it is fed; what the house has said of the circuit", 99, lambda row: row.remark),
    )

    def rows(self) -> Sequence[DrawRow]:
        """Plugs and sums."""
        return draw_list(self.desk.latest().patch)

    def thing_of(self, row: DrawRow) -> Thing | None:
        """The unit."""
        return row.thing

    def sum_words(self) -> str:
        """Where the rig runs as it is."""
        rows = travel_list(self.desk.latest().patch)
        fit = ", ".join(row.region.name for row in rows if row.travels)
        not_fit = "; ".join(f"{row.region.name}: {', '.join(row.stays)}" for row in rows if not row.travels)
        nowhere = self.tr("Nowhere else does all of it run as it is.")
        runs = self.tr("Runs as it is in {}.").format(fit) if fit else nowhere
        return f"{runs} {self.tr('Not in {}.').format(not_fit)}" if not_fit else runs
