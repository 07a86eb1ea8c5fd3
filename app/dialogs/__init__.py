"""Dialogs: only where a thing cannot be asked in place."""
