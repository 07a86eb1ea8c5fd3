"""Regenerates the pictures of the program: ``python -m app.pictures [OUT] [--all]``.

The few that are shipped go to the assets. ``--all`` makes every sheet in every state of
:mod:`app.picture_states` and every dialog of :mod:`app.picture_dialogs` in both faces on every screen, each
screen in a process and a folder of its own, and all pages of the packets in colour and in grey: for looking through.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QSettings
from PySide6.QtWidgets import QApplication, QDialog, QSplitter, QTabWidget, QWidget

from app.theme import THEMES
from rigcore import resources

SHOWN = "ferry"
SHIPPED = ("patch", "stage")
SAMPLES = ("piper", "tandem", "ferry")
PAGES_DPI = 96
SHIPPED_SCALE = 2
"""Pixels to each unit of a shipped picture: the guide shows them on screens that have so many."""
HOUSE_SIZE, SAID = (980, 560), 1
"""The form of the house as shipped, and its page of what the house has said."""
QUICK = 80
"""Little packing: a large picture is written in a tenth of the time, and nobody keeps it."""
COLOURS = 256
"""Colours kept in a shipped picture: as many as a palette holds."""


class Screen(Struct, frozen=True):
    """A screen to be photographed on: its size in the units of the program, and pixels to each."""

    size: tuple[int, int]
    scale: int = 1


SIZE = (1366, 768)
SCREENS = {"1366x768": Screen(SIZE), "1920x1080": Screen((1920, 1080)), "2732x1536-at-200": Screen(SIZE, 2)}


def main(argv: Sequence[str] | None = None) -> int:
    """Write the pictures; says which, or with ``--all`` how many and where."""
    words = list(sys.argv[1:] if argv is None else argv)
    places = [word for word in words if not word.startswith("--")]
    screens = [word.removeprefix("--screen=") for word in words if word.startswith("--screen=")]
    out = Path(places[0]) if places else resources.assets() / "screens"
    if screens:
        write_screen(out, SCREENS[screens[0]])
    elif "--all" in words:
        print(f"{write_all(out)} pictures in {out}")
    else:
        os.environ["QT_SCALE_FACTOR"] = str(SHIPPED_SCALE)
        for path in write_shipped(out):
            print(path)
    return 0


def write_shipped(out: Path) -> list[Path]:
    """Write the pictures of the read-me and the guide into a folder, in few colours; returns their paths."""
    with _Session(out) as shooting:
        written = [*shooting.sample(SHOWN, SHIPPED), *shooting.house(SHOWN)]
        written += shooting.pages(SHOWN, dpi=PAGES_DPI * SHIPPED_SCALE)
    for path in written:
        _slim(path)
    return written


def write_all(out: Path) -> int:
    """Write everything there is to look through; returns how many pictures."""
    with tempfile.TemporaryDirectory() as folder:
        children = [_begin(out / name, name, Path(folder)) for name in SCREENS]
        with _Session(out / "pages") as shooting:
            for sample in SAMPLES:
                shooting.all_pages(sample)
        ended = [child.wait() for child in children]
    if any(ended):
        raise SystemExit(f"screens and how their process ended: {dict(zip(SCREENS, ended, strict=True))}")
    return len(list(out.rglob("*.png")))


def _begin(out: Path, name: str, folder: Path) -> subprocess.Popen[bytes]:
    """Begin a process that photographs on one screen, which it takes for the only one there is."""
    screen = SCREENS[name]
    width, height = (side * screen.scale for side in screen.size)
    dots = {"logicalDpi": 96, "logicalBaseDpi": 96, "dpr": 1}
    room = folder / f"{name}.json"
    room.write_text(json.dumps({"screens": [{"name": name, "x": 0, "y": 0, "width": width, "height": height, **dots}]}))
    env = os.environ | {
        "QT_SCALE_FACTOR": str(screen.scale),
        "QT_QPA_PLATFORM": f"offscreen:configfile={room}",
        # The toolkit without a screen says at every dialog what it cannot do.
        "QT_LOGGING_RULES": "default.warning=false",
    }
    words = [sys.executable, "-m", "app.pictures", str(out), f"--screen={name}"]
    return subprocess.Popen(words, env=env)


def write_screen(out: Path, screen: Screen) -> None:
    """Write every state and every dialog as one screen shows them."""
    with _Session(out, screen.size) as shooting:
        shooting.states()
        shooting.dialogs()
        shooting.menus()


class _Session:
    """A studio with a state folder that goes when it closes."""

    def __init__(self, out: Path, size: tuple[int, int] = SIZE) -> None:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        out.mkdir(parents=True, exist_ok=True)
        self._folder = tempfile.TemporaryDirectory()
        self._studio = Studio(out, Path(self._folder.name), size)

    def __enter__(self) -> Studio:
        return self._studio

    def __exit__(self, *_error: object) -> None:
        self._studio.close()
        self._folder.cleanup()


class Studio:
    """A window of its own, with settings of its own, that is photographed."""

    def __init__(self, out: Path, state: Path, size: tuple[int, int] = SIZE) -> None:
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
        self.window.files.ask.unsaved = lambda _window, _name: "discard"  # type: ignore[method-assign]
        self.window.resize(*size)
        self._wardrobe.wear()
        self.window.show()
        self._app.processEvents()
        self._rooms = [(one, one.sizes()) for one in self.window.findChildren(QSplitter)]

    def sample(self, name: str, sheets: Sequence[str]) -> Iterator[Path]:
        """Photograph sheets of a sample in both faces."""
        self.window.files.open_sample(f"{name}.loom")
        self.window.strip.clear()
        for face in THEMES:
            self._wardrobe.choose(face)
            for sheet in sheets:
                self.window.show_sheet(sheet)
                yield self._shoot(self.window, f"{sheet}-{face}")

    def house(self, name: str) -> Iterator[Path]:
        """Photograph what the house of a sample has said, in both faces."""
        from app.dialogs.house_form import HouseForm

        self.window.files.open_sample(f"{name}.loom")
        for face in THEMES:
            self._wardrobe.choose(face)
            dialog = HouseForm(self._desk, self.window)
            dialog.tabs.setCurrentIndex(SAID)
            dialog.resize(*HOUSE_SIZE)
            dialog.show()
            yield self._shoot(dialog, f"house-{face}")
            dialog.close()

    def states(self, only: Sequence[str] = ()) -> list[Path]:
        """Photograph the window in every state, or in some, on the sheets that show it, in both faces."""
        from app.picture_states import STATES, leave

        written = []
        # A face takes seconds to put on once all sheets are there: it is changed once, and the states come again.
        for face in THEMES:
            self._wardrobe.choose(face)
            for state in STATES:
                if only and state.name not in only:
                    continue
                state.enter(self.window)
                for sheet in state.sheets:
                    self.window.show_sheet(sheet)
                    written.append(self._shoot(self.window, f"{state.name}-{sheet}-{face}"))
                if state.overlays:
                    written += self._overlays(f"{state.name}-stage", face)
                leave(self.window)
                for splitter, sizes in self._rooms:
                    splitter.setSizes(sizes)
        return written

    def _overlays(self, name: str, face: str) -> Iterator[Path]:
        from rigcore.lists.overlays import KINDS

        self.window.show_sheet("stage")
        stage = self.window.sheets.page("stage")
        for kind in KINDS:
            stage.show_overlay(kind)
            yield self._shoot(self.window, f"{name}-{kind}-{face}")
        stage.show_overlay(None)

    def dialogs(self, only: Sequence[str] = ()) -> list[Path]:
        """Photograph every dialog, or some, tab by tab, in both faces."""
        from app.picture_dialogs import DIALOGS

        written = []
        for face in THEMES:
            self._wardrobe.choose(face)
            for shown in DIALOGS:
                if only and shown.name not in only:
                    continue
                shown.enter(self.window)
                dialog = shown.make(self.window)
                dialog.show()
                written += self._tabs(dialog, f"dialog-{shown.name}", face)
                dialog.close()
                dialog.deleteLater()
                # At once: a dialog's timers would still ask about a book that is no longer on the desk.
                QCoreApplication.sendPostedEvents(dialog, QEvent.Type.DeferredDelete)
        return written

    def _tabs(self, dialog: QDialog, name: str, face: str) -> Iterator[Path]:
        tabs = dialog.findChild(QTabWidget)
        if tabs is None:
            yield self._shoot(dialog, f"{name}-{face}")
            return
        for place in range(tabs.count()):
            tabs.setCurrentIndex(place)
            yield self._shoot(dialog, f"{name}-{place + 1}-{face}")

    def menus(self) -> list[Path]:
        """Photograph the menus, opened, in both faces."""
        written = []
        for face in THEMES:
            self._wardrobe.choose(face)
            for name, menu in self.window.menus.items():
                if menu.isEmpty():
                    continue
                menu.popup(QPoint())
                written.append(self._shoot(menu, f"menu-{name}-{face}"))
                menu.close()
        return written

    def all_pages(self, sample: str) -> list[Path]:
        """Photograph every page a packet of a sample can hold, in colour and in grey."""
        from rigcore.paper.packet import HOUSE_PAGES, MAKERS

        sets = [("house", HOUSE_PAGES), *((one, (one,)) for one in MAKERS if one not in HOUSE_PAGES)]
        written = []
        for name, pages in sets:
            written += self.pages(sample, prefix=f"{sample}-", name=name, pages=pages)
        return written + [_grey(path) for path in written]

    def pages(
        self, sample: str, *, prefix: str = "", name: str = "packet", pages: Sequence[str] = ("inputs", "plot"),
        dpi: int = PAGES_DPI,
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
                page.render(scale=dpi / 72).to_pil().save(path)
                written.append(path)
            pdf.close()
        return written

    def close(self) -> None:
        """Put everything away."""
        self._desk.new()
        self.window.close()

    def _shoot(self, widget: QWidget, name: str) -> Path:
        self._desk.analysis()
        self._desk.check_now()
        self.window.findings.settle()
        for _ in range(6):
            self._app.processEvents()
        sheet = self.window.sheets.currentWidget()
        if widget is self.window and hasattr(sheet, "settle"):
            sheet.settle()
            self._app.processEvents()
        path = self._out / f"{name}.png"
        widget.grab().save(str(path), "PNG", QUICK)
        return path


def _slim(path: Path) -> None:
    """Keep the commonest colours as they are; the rest, edges of type and lines, take the nearest of them."""
    from PIL import Image

    with Image.open(path) as file:
        whole = file.convert("RGB")
    counted = sorted(whole.getcolors(whole.width * whole.height), reverse=True)
    kept = [colour for _, colour in counted[:COLOURS]]
    place = {colour: at for at, colour in enumerate(kept)}
    for _, (r, g, b) in counted[COLOURS:]:
        far = [(r - x) ** 2 + (g - y) ** 2 + (b - z) ** 2 for x, y, z in kept]
        place[r, g, b] = far.index(min(far))
    data = whole.tobytes()
    slim = Image.frombytes("P", whole.size, bytes(map(place.__getitem__, zip(*[iter(data)] * 3, strict=True))))
    slim.putpalette([part for colour in kept for part in colour])
    slim.save(path, optimize=True)


def _grey(path: Path) -> Path:
    from PIL import Image

    grey = path.with_name(f"{path.stem}-grey.png")
    with Image.open(path) as whole:
        whole.convert("L").save(grey)
    return grey


if __name__ == "__main__":
    raise SystemExit(main())
