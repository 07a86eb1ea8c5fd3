"""Exit codes of the commands; 0 is all well."""

from __future__ import annotations

FAULTS = 1
"""Something is wrong with the gig."""

UNUSABLE = 2
"""What was given could not be used."""
