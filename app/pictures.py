"""Regenerates the pictures of the program: ``python -m app.pictures [OUT] [--all]``.

The few that are shipped go to the assets; ``--all`` adds every sheet of every
sample, the empty states, the dialogs and the pages, for looking through.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication, QWidget

from app.theme import THEMES
from rigcore import resources

SIZE = (1366, 768)
SHOWN = "ferry"
SHIPPED = ("patch", "stage")
PAGES_DPI = 96


def main(argv: Sequence[str] | None = None) -> int:
    """Write the pictures; says which."""
    words = list(sys.argv[1:] if argv is None else argv)
    everything = "--all" in words
    places = [word for word in words if not word.startswith("-")]
    out = Path(places[0]) if places else resources.assets() / "screens"
    for path in write_pictures(out, everything=everything):
        print(path)
    return 0


def write_pictures(out: Path, *, everything: bool = False) -> list[Path]:
    """Write the pictures into a folder, made if missing; returns their paths."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as state:
        studio = Studio(out, Path(state))
        written = list(studio.sample(SHOWN, SHIPPED))
        written += studio.pages(SHOWN)
        if everything:
            for path in sorted(resources.samples().glob("*.loom")):
                written += studio.sample(path.stem, ("patch", "stage", "inputs"), prefix=f"{path.stem}-")
                written += studio.pages(path.stem, prefix=f"{path.stem}-")
                written += studio.pages(path.stem, prefix=f"{path.stem}-", name="gain", pages=("gain",))
                written += studio.ladders(path.stem, prefix=f"{path.stem}-")
            written += studio.empty()
            written += studio.dialogs()
        studio.close()
    return written


class Studio:
    """A window of its own, with settings of its own, that is photographed."""

    def __init__(self, out: Path, state: Path) -> None:
        from app.__main__ import application
        from app.desk import Desk
        from app.panes.dress import Wardrobe
        from app.settings import Settings
        from app.window import MainWindow
        from rigcore.catalogue.loader import shipped

        self._out = out
        self._app: QApplication = application()
        settings = Settings(QSettings(str(state / "settings.ini"), QSettings.Format.IniFormat))
        self._wardrobe = Wardrobe(self._app, settings)
        self._desk = Desk(shipped())
        self.window = MainWindow(self._desk, settings, self._wardrobe, state=state)
        self.window.resize(*SIZE)
        self.window.show()

    def sample(self, name: str, sheets: Sequence[str], *, prefix: str = "") -> Iterator[Path]:
        """Photograph sheets of a sample in both faces."""
        self.window.files.open_sample(f"{name}.loom")
        self.window.strip.clear()
        for face in THEMES:
            self._wardrobe.choose(face)
            for sheet in sheets:
                self.window.show_sheet(sheet)
                yield self._shoot(self.window, f"{prefix}{sheet}-{face}")

    def ladders(self, sample: str, *, prefix: str = "") -> Iterator[Path]:
        """Photograph the ladder of the first line, and of the first of our own inputs with a gain, in the details."""
        from rigcore.lists.gain_list import gain_list
        from rigcore.rules.rule import Thing

        self.window.files.open_sample(f"{sample}.loom")
        self.window.show_sheet("patch")
        analysis = self._desk.analysis()
        ours = [row.node for row in gain_list(analysis.patch) if row.owner == "rig"]
        things = [("line", Thing("landing", row.hand_off)) for row in analysis.inputs[:1]]
        things += [("gain", Thing("unit", node.unit, node.port)) for node in ours[:1]]
        for face in THEMES:
            self._wardrobe.choose(face)
            for words, thing in things:
                self._desk.select((thing,))
                self._app.processEvents()
                self.window.details.reveal("Dial it")
                yield self._shoot(self.window, f"{prefix}ladder-{words}-{face}")
        self._desk.select(())

    def pages(
        self, sample: str, *, prefix: str = "", name: str = "packet", pages: Sequence[str] = ("inputs", "plot")
    ) -> list[Path]:
        """Photograph the pages of a sample's packet."""
        import pypdfium2

        from rigcore.paper.packet import write_packet

        self.window.files.open_sample(f"{sample}.loom")
        written = []
        with tempfile.TemporaryDirectory() as folder:
            pdf = pypdfium2.PdfDocument(write_packet(self._desk.analysis(), Path(folder), pages=pages))
            for number, page in enumerate(pdf, start=1):
                path = self._out / f"{prefix}{name}-{number}.png"
                page.render(scale=PAGES_DPI / 72).to_pil().quantize(colors=32, dither=0).save(path, optimize=True)
                written.append(path)
            pdf.close()
        return written

    def empty(self) -> Iterator[Path]:
        """Photograph a new book with the first steps."""
        self._desk.new()
        self.window.view.first_steps()
        for face in THEMES:
            self._wardrobe.choose(face)
            for sheet in ("patch", "stage", "inputs"):
                self.window.show_sheet(sheet)
                yield self._shoot(self.window, f"empty-{sheet}-{face}")
        self.window.welcome.put_away()

    def dialogs(self) -> Iterator[Path]:
        """Photograph the dialogs."""
        from app.dialogs.about import About
        from app.dialogs.gig_form import GigDialog
        from app.dialogs.house_form import HouseForm
        from app.dialogs.import_wizard import ImportWizard
        from app.dialogs.stock_form import StockForm

        self.window.files.open_sample(f"{SHOWN}.loom")
        for face in THEMES:
            self._wardrobe.choose(face)
            for name, dialog in (
                ("house", HouseForm(self._desk, self.window)),
                ("stock", StockForm(self._desk, self.window)),
                ("gig", GigDialog(self._desk, self.window)),
                ("new-gig", GigDialog(self._desk, self.window, new=True)),
                ("import", ImportWizard(self._desk.shipped, self.window)),
                ("about", About(self.window)),
            ):
                dialog.show()
                yield self._shoot(dialog, f"dialog-{name}-{face}")
                dialog.close()

    def close(self) -> None:
        """Put everything away."""
        self._desk.new()
        self.window.close()

    def _shoot(self, widget: QWidget, name: str) -> Path:
        for _ in range(6):
            self._app.processEvents()
        path = self._out / f"{name}.png"
        widget.grab().save(str(path))
        return path


if __name__ == "__main__":
    raise SystemExit(main())
