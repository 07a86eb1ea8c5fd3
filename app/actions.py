"""Every action of the window as one table: id, menu, words, shortcut, what it calls, tooltip.

Menus, buttons and shortcuts are made from it; nothing is bound anywhere else.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from app.sheets import SHEETS


class Row(Struct, frozen=True):
    """One action. ``calls`` is ``group.method``, or ``group.method(word)``, of the window's commands.

    ``group`` makes it one of several to choose from.

    ``checks`` marks an action that stays on or off; its method gets the state.
    """

    id: str
    menu: str
    words: str
    shortcut: str
    calls: str
    tip: str
    group: str = ""
    checks: bool = False
    break_before: bool = False


MENUS: tuple[tuple[str, str], ...] = (
    ("file", "&Book"), ("edit", "&Edit"), ("sheet-menu", "&Sheet"), ("gig", "&Gig"),
    ("view", "&View"), ("help", "&Help"),
)

_SHEET_ROWS = tuple(
    Row(sheet.id, "view", sheet.words, f"Ctrl+{number}", f"view.sheet({sheet.id})", sheet.tip)
    for number, sheet in enumerate(SHEETS, start=1)
)

ROWS: tuple[Row, ...] = (
    Row("new", "file", "&New book", "Ctrl+N", "books.new", "Begin with an empty plan"),
    Row("open", "file", "&Open…", "Ctrl+O", "books.open", "Open a book from a file"),
    Row("recent", "file", "Open &recent", "", "", "Books opened or saved lately"),
    Row("sample", "file", "Open the &sample", "", "books.open_sample", "Open a copy of the book shipped here"),
    Row("save", "file", "&Save", "Ctrl+S", "books.save", "Write the book to its file", break_before=True),
    Row("save-as", "file", "Save &as…", "Ctrl+Shift+S", "books.save_as", "Write the book to another file"),
    Row("import", "file", "&Import spreadsheets…", "Ctrl+I", "books.import_sheets",
        "Make a book from lists of units and cables", break_before=True),
    Row("packet", "file", "Export the &packet…", "Ctrl+E", "books.export_packet",
        "Write the sheets the house gets as PDF"),
    Row("send", "file", "Sen&d the packet…", "Ctrl+Shift+E", "outward.send",
        "Note to whom the packet goes, under its letter, and write it"),
    Row("print", "file", "Prin&t the packet…", "Ctrl+P", "outward.print_packet", "Print the pages the house gets"),
    Row("export", "file", "E&xport for others…", "", "outward.export",
        "Lists, drawings, graph, calendar entry or mail draft as a file"),
    Row("letter", "file", "Packet on &Letter paper", "", "books.set_letter", "Otherwise A4", checks=True),
    Row("feet", "file", "Packet in &feet", "", "books.set_feet", "Otherwise metres", checks=True),
    Row("quit", "file", "&Quit", "Ctrl+Q", "close", "Leave; unsaved work is asked about", break_before=True),
    Row("undo", "edit", "&Undo", "Ctrl+Z", "steps.undo", "Take the last step back"),
    Row("redo", "edit", "&Redo", "Ctrl+Shift+Z", "steps.redo", "Take the step again"),
    Row("steps", "edit", "&Steps taken", "", "", "Every step taken; picking one goes back before it"),
    Row("command", "edit", "Find a &command…", "Ctrl+K", "steps.find_command",
        "Type what you want to do", break_before=True),
    Row("find", "edit", "&Find gear", "Ctrl+F", "steps.find_gear", "Go to the shelf's search"),
    Row("new-gear", "edit", "New gear &type…", "Ctrl+Shift+G", "gear.new", "Describe gear the catalogue lacks",
        break_before=True),
    Row("change-gear", "edit", "Change this &gear type…", "", "gear.change",
        "Change the type of the chosen unit: ports, levels, ways through it"),
    Row("find-on-sheet", "sheet-menu", "&Find on the sheet…", "Ctrl+Shift+F", "sheet.patch(open_find)",
        "Go to a unit, port, channel or finding by its name"),
    Row("trace", "sheet-menu", "&Trace the signal", "Ctrl+Y", "sheet.patch(toggle_trace)",
        "Light the way of the chosen source down to the house"),
    Row("overview", "sheet-menu", "&Overview", "Ctrl+M", "sheet.overview", "The whole sheet small in a corner",
        checks=True),
    Row("zoom-selection", "sheet-menu", "&Zoom to what is chosen", "Ctrl+9", "sheet.edit(zoom_to_selection)",
        "Show the chosen things as large as they fit"),
    Row("copy", "sheet-menu", "&Copy", "Ctrl+C", "sheet.edit(copy)", "Copy the chosen units with their cables",
        break_before=True),
    Row("cut", "sheet-menu", "C&ut", "Ctrl+X", "sheet.edit(cut)", "Take the chosen units out, to be put in elsewhere"),
    Row("paste", "sheet-menu", "&Paste", "Ctrl+V", "sheet.edit(paste)", "Put in what was copied, in any rig"),
    Row("duplicate", "sheet-menu", "&Duplicate", "Ctrl+D", "sheet.edit(duplicate)", "The chosen units once more"),
    Row("align-left", "sheet-menu", "Align &left", "", "sheet.arrange(align left)", "Left edges in one line",
        break_before=True),
    Row("align-top", "sheet-menu", "&Align top", "", "sheet.arrange(align top)", "Upper edges in one line"),
    Row("align-centre", "sheet-menu", "Ali&gn centres", "", "sheet.arrange(align centre)", "Middles in one line"),
    Row("spread-across", "sheet-menu", "&Spread across", "", "sheet.arrange(spread across)", "Equal gaps side by side"),
    Row("spread-down", "sheet-menu", "Sp&read down", "", "sheet.arrange(spread down)", "Equal gaps one below another"),
    Row("tidy", "sheet-menu", "T&idy the sheet", "Ctrl+Shift+L", "sheet.edit(tidy)",
        "Lay all cards in rows, sources above, with few crossings"),
    Row("fold-rack", "sheet-menu", "Fold rac&k", "Ctrl+J", "sheet.fold(fold_rack)",
        "Draw the rack of the chosen unit as one card", break_before=True),
    Row("fold-loom", "sheet-menu", "Fold loo&m", "Ctrl+Shift+J", "sheet.fold(fold_loom)",
        "Draw the loom of the chosen cable as one trunk"),
    Row("unfold", "sheet-menu", "Unfold", "Ctrl+U", "sheet.fold(unfold)",
        "Draw the chosen rack or loom as its units or cables again"),
    Row("over-runs", "sheet-menu", "Stage: cable &runs", "", "sheet.overlay(runs)", "Where each cable runs, how long",
        group="over", break_before=True),
    Row("over-power", "sheet-menu", "Stage: po&wer circuits", "", "sheet.overlay(power)", "What hangs on which one",
        group="over"),
    Row("over-order", "sheet-menu", "Stage: set-up ord&er", "", "sheet.overlay(order)", "What is set up when",
        group="over"),
    Row("over-none", "sheet-menu", "Stage: &nothing laid over", "", "sheet.overlay(none)", "The plan alone",
        group="over"),
    Row("print-view", "sheet-menu", "Stage: as prin&ted", "Ctrl+Shift+P", "sheet.print_view",
        "The page of the packet itself; Esc goes back to the plan", checks=True),
    Row("house-open", "sheet-menu", "Move the &house's things", "", "sheet.open_house",
        "Otherwise they are locked on the Stage sheet", checks=True),
    Row("gig", "gig", "This &gig…", "Ctrl+G", "gigs.edit", "Act, date, time and contact"),
    Row("house", "gig", "The &house…", "Ctrl+H", "gigs.edit_house", "What the house has and has said"),
    Row("fit-keep", "gig", "F&it it", "Ctrl+B", "sheet.fit(fit_it)", "Find a chain for whatever has none",
        break_before=True),
    Row("fit-fresh", "gig", "Fit a&fresh", "Ctrl+Shift+B", "sheet.fit(fit_afresh)", "Forget the landings and fit anew"),
    Row("fit-take", "gig", "Ta&ke the proposal", "Ctrl+Return", "sheet.fit(take_proposal)",
        "Put the proposed landings into the gig, as one step"),
    Row("fit-stop", "gig", "Stop fittin&g", "Ctrl+.", "sheet.fit(stop)", "Stop with the best found so far"),
    Row("fit-tour", "gig", "Tour kit", "Ctrl+Shift+T", "sheet.fit(show_tour)", "The smallest kit for all gigs"),
    Row("reply", "gig", "The house &answers…", "Ctrl+R", "gigs.take_reply",
        "Paste a mail or a table with the house's answers"),
    Row("stock", "gig", "&Stock…", "Ctrl+T", "gigs.edit_stock",
        "Cables, adapters and boxes you own, and what the gig needs of them"),
    Row("new-gig", "gig", "&New gig here…", "Ctrl+Shift+N", "gigs.new", "Bind a rig to a house on a date",
        break_before=True),
    Row("new-rig", "gig", "New &rig", "", "gigs.new_rig", "Begin an empty rig at the house in view"),
    Row("new-house", "gig", "New h&ouse…", "", "gigs.new_house", "Begin a house of which little is known"),
    Row("lifelines", "gig", "If something &dies…", "", "gigs.lifelines",
        "What falls silent, and the shortest way round", break_before=True),
    Row("compare", "gig", "&Compare two gigs…", "", "gigs.compare",
        "What differs in patch, landings, settings and what is carried"),
    Row("plans", "gig", "All gigs, rigs and houses…", "Ctrl+L", "gigs.plans",
        "Copy, rename, put away or remove them"),
    *_SHEET_ROWS,
    Row("findings", "view", "&Findings", "F8", "view.findings", "Go to the worst finding", break_before=True),
    Row("details", "view", "&Details", "F4", "view.details", "Go to the details of the selection"),
    Row("sheet", "view", "S&heet", "F6", "view.focus_sheet", "Go back to the sheet"),
    Row("wide", "view", "Sheet &only", "F9", "view.widen_sheet", "Put the panes away, or show them again", checks=True),
    Row("face-paper", "view", "Pa&per", "", "view.face(paper)", "Light, for a desk by day", "face", break_before=True),
    Row("face-blackout", "view", "&Blackout", "", "view.face(blackout)", "Dark, for the side of a dark stage", "face"),
    Row("face-system", "view", "&As the system", "", "view.face(system)", "Light or dark as the system is set", "face"),
    Row("guide", "help", "&Guide", "F1", "view.guide", "A short illustrated guide for players"),
    Row("first-steps", "help", "&First steps", "", "view.first_steps", "Three things to try"),
    Row("about", "help", "&About and cautions", "", "view.about", "What Loomwright does and does not vouch for"),
)

TOOLS: tuple[str, ...] = ("undo", "redo", "packet")
"""Actions that also have a button in the top bar."""

SHORT = {"undo": "Undo", "redo": "Redo", "packet": "Export packet"}
"""Their words on the button."""


def _words(text: str) -> str:
    return QCoreApplication.translate("actions", text)


def bound(window: QObject, calls: str) -> Callable[..., object]:
    """Return what a row calls, its word filled in.

    Raises
    ------
    AttributeError
        If the window has no such command.
    """
    path, _, word = calls.rstrip(")").partition("(")
    method = functools.reduce(getattr, path.split("."), window)
    return functools.partial(method, word) if word else method


def make_actions(window: QObject) -> dict[str, QAction]:
    """Return an action for each row, bound to the window's methods."""
    actions = {}
    groups: dict[str, QActionGroup] = {}
    for row in ROWS:
        if not row.calls:
            continue
        # Words given to the maker would have the toolkit fetch all it knows of icons; there are none.
        action = QAction(window)
        action.setText(_words(row.words))
        action.setObjectName(row.id)
        if row.shortcut:
            action.setShortcut(QKeySequence(row.shortcut))
        action.setToolTip(_tip(row))
        action.setStatusTip("")
        if row.id in SHORT:
            action.setIconText(_words(SHORT[row.id]))
        method = bound(window, row.calls)
        if row.group:
            action.setCheckable(True)
            group = groups.setdefault(row.group, QActionGroup(window))
            group.addAction(action)
        if row.checks:
            action.setCheckable(True)
            action.toggled.connect(method)
        else:
            action.triggered.connect(lambda _on=False, method=method: method())
        actions[row.id] = action
    return actions


def make_menus(bar: QMenuBar, actions: Mapping[str, QAction]) -> dict[str, QMenu]:
    """Fill the menu bar from the table; returns the menus by id, submenus too."""
    menus = {}
    for menu_id, words in MENUS:
        menus[menu_id] = bar.addMenu(_words(words))
        menus[menu_id].setToolTipsVisible(True)
    for row in ROWS:
        menu = menus[row.menu]
        if row.break_before:
            menu.addSeparator()
        if row.calls:
            menu.addAction(actions[row.id])
        else:
            menus[row.id] = menu.addMenu(_words(row.words))
    return menus


def _tip(row: Row) -> str:
    return f"{_words(row.tip)} ({row.shortcut})" if row.shortcut else _words(row.tip)
