"""Taking in what a player really has: spreadsheets of units and cables, and plain text for gear and house."""

from rigcore.book.sheets.plan import import_plan

__all__ = ["import_plan"]
