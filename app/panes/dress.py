"""How the window's parts are dressed in a theme, and who changes the dress. The sheets paint themselves."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from app.settings import FaceChoice, Settings
from app.theme import BLACKOUT, PAPER, Theme, apply_theme
from rigcore import resources

_RULES = """
QToolTip {{ background: {card}; color: {text}; border: 1px solid {card_edge}; padding: 4px 6px; }}
QSplitter::handle {{ background: {card_edge}; }}
QSplitter::handle:horizontal {{ width: 1px; }}
QSplitter::handle:vertical {{ height: 1px; }}
QSplitter::handle:hover {{ background: {focus}; }}

QWidget[role="bar"], QMenuBar {{ background: {bar}; color: {bar_text}; }}
QWidget[role="bar"] QLabel {{ color: {bar_text}; }}
QLabel[role="brand"] {{ font-weight: 700; font-size: {large}pt; }}
QMenuBar {{ border: none; padding: 0; }}
QMenuBar::item {{ background: transparent; color: {bar_text}; padding: 6px 9px; border-radius: 5px; }}
QMenuBar::item:selected {{ background: {bar_lift}; }}
QMenu {{ background: {card}; color: {text}; border: 1px solid {card_edge}; padding: 4px; }}
QMenu::item {{ padding: 5px 26px 5px 24px; border-radius: 4px; }}
QMenu::item:selected {{ background: {focus}; color: {badge_text}; }}
QMenu::item:disabled {{ color: {text_soft}; }}
QMenu::indicator {{ width: 14px; height: 14px; left: 5px; border-radius: 3px; }}
QMenu::indicator:checked {{ background: {focus}; image: url("{tick}"); }}
QMenu::separator {{ height: 1px; background: {card_edge}; margin: 4px 8px; }}

QTabBar[role="sheets"] {{ background: {bar}; }}
QTabBar[role="sheets"]::tab {{
  background: transparent; color: {bar_text}; padding: 7px 12px 7px 12px; margin: 3px 1px 0 1px;
  border: 1px solid transparent; border-bottom: none;
  border-top-left-radius: 7px; border-top-right-radius: 7px; }}
QTabBar[role="sheets"]::tab:hover:!selected {{ background: {bar_lift}; }}
QTabBar[role="sheets"]::tab:selected {{
  background: {sheet}; color: {text}; font-weight: 600; border: 1px solid {card_edge}; border-bottom: none; }}
QTabBar[role="sheets"]::tab:focus {{ border-color: {focus}; }}

QWidget[role="bar"] QComboBox {{
  background: {bar_lift}; color: {bar_text}; border: 1px solid {bar_edge}; border-radius: 5px;
  padding: 4px 8px; min-height: 20px; }}
QWidget[role="bar"] QComboBox:focus {{ border-color: {focus}; }}
QWidget[role="bar"] QPushButton, QWidget[role="bar"] QToolButton {{
  background: transparent; color: {bar_text}; border: 1px solid {bar_edge}; border-radius: 5px; padding: 5px 10px; }}
QWidget[role="bar"] QPushButton:hover, QWidget[role="bar"] QToolButton:hover {{ background: {bar_lift}; }}
QWidget[role="bar"] QToolButton:focus, QWidget[role="bar"] QPushButton:focus {{ border-color: {focus}; }}
QWidget[role="bar"] QToolButton:disabled {{ color: {bar_soft}; }}

QWidget[role="pane"] {{ background: {pane}; }}
QWidget[role="findings"] {{ background: {findings}; }}
QScrollArea {{ background: transparent; border: none; }}
QScrollArea[role="reading"] {{ border: 2px solid transparent; border-radius: 5px; }}
QScrollArea[role="reading"]:focus {{ border-color: {focus}; }}
QScrollArea > QWidget > QWidget[role="column"] {{ background: transparent; }}
QLabel[role="title"] {{ font-weight: 700; font-size: {large}pt; }}
QLabel[role="heading"] {{ font-weight: 600; color: {text_soft}; }}
QLabel[role="soft"] {{ color: {text_soft}; }}
QLabel[role="strong"] {{ font-weight: 600; }}

QLineEdit, QPlainTextEdit, QAbstractSpinBox, QComboBox {{
  background: {field}; color: {text}; border: 1px solid {card_edge}; border-radius: 4px;
  padding: 3px 6px; min-height: 20px; selection-background-color: {focus}; selection-color: {badge_text}; }}
QLineEdit, QPlainTextEdit {{ placeholder-text-color: {text_soft}; }}
QLineEdit {{ lineedit-clear-button-icon: url("{clear}"); }}
QLineEdit:focus, QPlainTextEdit:focus, QAbstractSpinBox:focus, QComboBox:focus {{ border: 1px solid {focus}; }}
QLineEdit:disabled, QAbstractSpinBox:disabled, QComboBox:disabled {{ color: {text_soft}; background: {pane}; }}
QLineEdit[wrong="true"], QPlainTextEdit[wrong="true"] {{
  border: 1px solid {fault}; border-left: 5px solid {fault}; padding-left: 2px; }}
QLineEdit[wrong="true"]:focus, QPlainTextEdit[wrong="true"]:focus {{
  border: 1px solid {focus}; border-left: 5px solid {fault}; }}
QAbstractSpinBox {{ min-height: 18px; padding: 2px 3px; }}
QAbstractSpinBox QLineEdit, QAbstractSpinBox QLineEdit:focus {{
  border: none; padding: 0; min-height: 0; background: transparent; }}
QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ width: 0; border: none; }}
QComboBox::drop-down {{ border: none; width: 18px; }}
QComboBox::down-arrow {{ image: none; }}
QComboBox QAbstractItemView {{
  background: {card}; color: {text}; border: 1px solid {card_edge};
  selection-background-color: {focus}; selection-color: {badge_text}; }}
QCheckBox {{ spacing: 7px; padding: 2px 0; }}
QCheckBox:focus {{ color: {focus}; }}
QCheckBox::indicator {{
  width: 14px; height: 14px; background: {field}; border: 1px solid {text_soft}; border-radius: 3px; }}
QCheckBox::indicator:hover, QCheckBox::indicator:focus {{ border-color: {focus}; }}
QCheckBox::indicator:checked {{ background: {focus}; border-color: {focus}; image: url("{tick}"); }}
QCheckBox::indicator:disabled {{ background: {pane}; border-color: {card_edge}; }}

QPushButton {{
  background: {field}; color: {text}; border: 1px solid {card_edge}; border-radius: 5px; padding: 5px 12px; }}
QPushButton:hover {{ border-color: {text_soft}; }}
QPushButton:focus {{ border: 1px solid {focus}; }}
QPushButton:disabled {{ color: {text_soft}; }}
QPushButton[role="remedy"], QPushButton[role="primary"], QPushButton:default {{
  background: {accent}; color: {accent_text}; border: 1px solid {accent}; font-weight: 600; }}
QPushButton[role="remedy"]:focus, QPushButton[role="primary"]:focus, QPushButton:default:focus {{
  border: 2px solid {focus}; padding: 4px 11px; }}
QToolButton[role="small"] {{
  background: {field}; color: {text}; border: 1px solid {card_edge}; border-radius: 4px; padding: 2px 6px; }}
QToolButton[role="small"]:hover {{ border-color: {text_soft}; }}
QToolButton[role="small"]:focus {{ border-color: {focus}; }}
QToolButton[role="small"]:disabled {{ color: {text_soft}; background: transparent; }}
QPushButton[role="link"] {{
  background: transparent; border: 1px solid transparent; color: {focus}; padding: 2px 4px; text-align: left; }}
QPushButton[role="link"]:focus {{ border-color: {focus}; }}

QFrame[role="row"] {{ background: {card}; border: 1px solid {card_edge}; border-radius: 5px; }}
QFrame[role="row"]:focus {{ border: 1px solid {focus}; }}
QFrame[role="strip"] {{ background: {pane}; border-top: 1px solid {card_edge}; }}
QFrame[role="strip"][tone="refused"] {{ background: {tape}; border-top: 1px solid {risk}; }}
QFrame[role="strip"][tone="done"] {{ background: {tape}; }}
QFrame[role="hint"] {{ background: {tape}; border-bottom: 1px solid {card_edge}; }}
QFrame[role="rule"] {{ background: {card_edge}; max-height: 1px; min-height: 1px; border: none; }}

QTreeView, QTableView, QListView {{
  background: transparent; border: none; outline: none; color: {text};
  selection-background-color: {focus}; selection-color: {badge_text}; }}
QTableView {{ border: 2px solid transparent; }}
QTableView:focus {{ border-color: {focus}; }}
QTableView {{ background: {card}; gridline-color: {card_edge}; alternate-background-color: {row}; }}
QHeaderView {{ background: {pane}; }}
QHeaderView::section {{
  background: {pane}; color: {text_soft}; font-weight: 600; border: none;
  border-bottom: 1px solid {card_edge}; padding: 6px 4px; }}
QTableCornerButton::section {{ background: {pane}; border: none; }}

QListWidget, QTreeWidget[role="list"] {{
  background: {field}; color: {text}; border: 1px solid {card_edge}; border-radius: 4px; padding: 2px; }}
QListWidget:focus, QTreeWidget[role="list"]:focus {{ border: 2px solid {focus}; padding: 1px; }}
QListWidget::item, QTreeWidget[role="list"]::item {{ min-height: 26px; padding-left: 6px; }}
QListWidget::item:selected, QTreeWidget[role="list"]::item:selected {{ background: {focus}; color: {badge_text}; }}

QTabWidget::pane {{ background: {field}; border: 1px solid {card_edge}; border-radius: 4px; top: -1px; }}
QTabWidget QTabBar::tab {{
  background: {pane}; color: {text}; border: 1px solid {card_edge}; padding: 6px 12px; margin-right: 2px;
  border-top-left-radius: 5px; border-top-right-radius: 5px; }}
QTabWidget QTabBar::tab:!selected {{ color: {text_soft}; margin-top: 2px; }}
QTabWidget QTabBar::tab:selected {{ background: {field}; border-bottom-color: {field}; }}
QTabWidget QTabBar::tab:focus {{ border-color: {focus}; }}

QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 0; }}
QScrollBar::handle {{ background: {handle}; border-radius: 4px; margin: 1px; min-height: 28px; min-width: 28px; }}
QScrollBar::handle:hover {{ background: {text_soft}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
QProgressBar {{ background: {field}; border: 1px solid {card_edge}; border-radius: 3px; max-height: 6px; }}
QProgressBar::chunk {{ background: {focus}; }}
"""


def blend(one: str, other: str, share: float) -> str:
    """Return the colour that is ``share`` of the way from one colour to another."""
    a, b = QColor(one), QColor(other)
    parts = [
        round(x + (y - x) * share) for x, y in zip(a.getRgb()[:3], b.getRgb()[:3], strict=True)
    ]
    return QColor(*parts).name()


def style_sheet(theme: Theme, base_pt: float) -> str:
    """Return the rules of the window's parts in a theme."""
    return _RULES.format(
        **theme.__dict__,
        bar_lift=blend(theme.bar, theme.bar_text, 0.10),
        bar_edge=blend(theme.bar, theme.bar_text, 0.28),
        bar_soft=blend(theme.bar, theme.bar_text, 0.45),
        findings=blend(theme.pane, theme.card, 0.45),
        row=blend(theme.card, theme.tile if theme.name == "paper" else theme.pane, 0.6),
        handle=blend(theme.pane, theme.text_soft, 0.35),
        large=base_pt + 2,
        tick=_mark("tick", theme),
        clear=_mark("clear", theme),
    )


def _mark(name: str, theme: Theme) -> str:
    """Return where a mark drawn for a theme is; the toolkit draws it sharp at any scale."""
    return (resources.assets() / "marks" / f"{name}-{theme.name}.svg").as_posix()


class Wardrobe(QObject):
    """Chooses between the two faces: by the system, or by the user.

    ``changed(theme)`` follows every change; the sheets repaint on it.
    """

    changed = Signal(object)

    def __init__(self, app: QApplication, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._app = app
        self._settings = settings
        self.theme = self._face()
        app.styleHints().colorSchemeChanged.connect(self._follow)
        apply_theme(app, self.theme)

    @property
    def choice(self) -> FaceChoice:
        """What the user chose."""
        return self._settings.face

    def choose(self, choice: FaceChoice) -> None:
        """Take a choice and wear it."""
        self._settings.face = choice
        self.wear()

    def wear(self) -> None:
        """Dress the application as chosen.

        A wardrobe brings colours and type at once, but not the rules of the parts: every part that is put into
        another looks them up anew, so a whole window is better built first and dressed then.
        """
        theme, before = self._face(), self.theme
        self.theme = theme
        if theme is not before:
            apply_theme(self._app, theme)
        self._app.setStyleSheet(style_sheet(theme, self._app.font().pointSizeF()))
        if theme is not before:
            self.changed.emit(theme)

    def _face(self) -> Theme:
        dark = self._app.styleHints().colorScheme() == Qt.ColorScheme.Dark
        by_system = BLACKOUT if dark else PAPER
        return {"paper": PAPER, "blackout": BLACKOUT}.get(self.choice, by_system)

    def _follow(self, _scheme: object) -> None:
        if self.choice == "system":
            self.wear()


def dress(app: QApplication, theme: Theme) -> None:
    """Dress the application in a theme, parts and all."""
    apply_theme(app, theme)
    app.setStyleSheet(style_sheet(theme, app.font().pointSizeF()))
