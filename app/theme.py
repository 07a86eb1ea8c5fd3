"""Colours and type of the two themes, as one table each. Nothing else here decides a colour.

Signal colours are from the Okabe-Ito palette (published, safe for colour-blind
eyes); both themes keep text at 4.5 : 1 or better.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from rigcore import resources


@dataclass(frozen=True)
class Theme:
    """One face of the program. Every value is a colour name."""

    name: str
    sheet: str
    sheet_dots: str
    pane: str
    field: str
    bar: str
    bar_text: str
    card: str
    card_edge: str
    tape: str
    text: str
    text_soft: str
    house_line: str
    house_edge: str
    tile: str
    tile_free: str
    floor: str
    grid: str
    accent: str
    accent_text: str
    focus: str
    fault: str
    risk: str
    note: str
    badge_text: str
    mic: str
    line: str
    loudspeaker: str
    control: str
    data: str
    mains: str
    loom: str
    taker: str


PAPER = Theme(
    name="paper",
    sheet="#f3f1ea", sheet_dots="#ddd9cc", pane="#eeeae3", field="#ffffff",
    bar="#2b2d35", bar_text="#f4f2ec", card="#ffffff", card_edge="#d9d4c7", tape="#f2ecd8",
    text="#1f2024", text_soft="#5f5c54", house_line="#dfd8c9", house_edge="#b0a88f",
    tile="#fbf8ee", tile_free="#e9e3d4", floor="#fbf9f3", grid="#e3dfd3",
    accent="#2b2d35", accent_text="#ffffff", focus="#0072b2",
    fault="#b3261e", risk="#9a5b00", note="#5b5f66", badge_text="#ffffff",
    mic="#0072b2", line="#007d5a", loudspeaker="#b34700", control="#8a4f7d", data="#5b5f66", mains="#1f2024",
    loom="#5b5952", taker="#007d5a",
)

BLACKOUT = Theme(
    name="blackout",
    sheet="#17181b", sheet_dots="#2a2c31", pane="#1e2024", field="#26292e",
    bar="#0d0e10", bar_text="#e9e6de", card="#2a2d33", card_edge="#454952", tape="#4a4535",
    text="#eceae4", text_soft="#a9a79f", house_line="#24221d", house_edge="#6a6250",
    tile="#34322b", tile_free="#292821", floor="#212328", grid="#363940",
    accent="#e9e6de", accent_text="#17181b", focus="#56b4e9",
    fault="#ff8a80", risk="#f0b350", note="#b7bbc2", badge_text="#17181b",
    mic="#56b4e9", line="#35c49a", loudspeaker="#f08a4b", control="#d9a0c8", data="#b7bbc2", mains="#eceae4",
    loom="#8d8a80", taker="#35c49a",
)

THEMES = {theme.name: theme for theme in (PAPER, BLACKOUT)}

FAMILY = "Fira Sans"
CONDENSED = "Fira Sans Condensed"
_FACES = (
    "FiraSans-Regular", "FiraSans-Medium", "FiraSans-SemiBold", "FiraSans-Bold", "FiraSansCondensed-Regular",
)


def load_fonts() -> None:
    """Bring the program's own faces into the application, so that every machine shows the same."""
    for face in _FACES:
        load_face(face)


@cache
def load_face(name: str) -> None:
    """Bring one of the program's own faces into the application; those the first picture does not need, when used."""
    QFontDatabase.addApplicationFont(str(resources.font_file(name)))


def apply_theme(app: QApplication, theme: Theme) -> None:
    """Dress the application in a theme."""
    app.setStyle("Fusion")
    font = QFont(FAMILY)
    font.setPointSizeF(max(app.font().pointSizeF(), 10.0))
    app.setFont(font)
    app.setPalette(_palette(theme))


def _palette(theme: Theme) -> QPalette:
    roles = QPalette.ColorRole
    palette = QPalette()
    for role, colour in (
        (roles.Window, theme.pane), (roles.WindowText, theme.text), (roles.Base, theme.field),
        (roles.AlternateBase, theme.pane), (roles.Text, theme.text), (roles.Button, theme.field),
        (roles.ButtonText, theme.text), (roles.ToolTipBase, theme.card), (roles.ToolTipText, theme.text),
        (roles.Highlight, theme.focus), (roles.HighlightedText, theme.badge_text),
        (roles.PlaceholderText, theme.text_soft), (roles.Link, theme.focus),
        (roles.Mid, theme.card_edge), (roles.Dark, theme.card_edge), (roles.Light, theme.card),
    ):
        palette.setColor(role, QColor(colour))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.text_soft))
    return palette
