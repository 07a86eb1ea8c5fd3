"""Where digital full scale lies in dBu, and by how much one converter overloads the next input.

Not here: what a given unit is set to; that is stated by its gear type.
"""

from __future__ import annotations

SMPTE_ALIGNMENT = (-20.0, 4.0)
"""Alignment in dBFS and dBu: SMPTE RP 155 (-20 dBFS), with the usual studio practice of +4 dBu."""

EBU_ALIGNMENT = (-18.0, 0.0)
"""Alignment in dBFS and dBu: EBU R 68-2000 (-18 dBFS), set at 0 dBu."""


def full_scale_dbu(alignment_dbfs: float, alignment_dbu: float) -> float:
    """Return the level in dBu of 0 dBFS.

    Parameters
    ----------
    alignment_dbfs
        Alignment level on the digital side, in dBFS: zero or below.
    alignment_dbu
        The same level on the analogue side, in dBu.

    Raises
    ------
    ValueError
        If the alignment lies above full scale.

    Examples
    --------
    >>> full_scale_dbu(*SMPTE_ALIGNMENT), full_scale_dbu(*EBU_ALIGNMENT)
    (24.0, 18.0)

    Source
    ------
    SMPTE RP 155; EBU R 68-2000.
    """
    if not alignment_dbfs <= 0:
        raise ValueError("an alignment level must be at or below 0 dBFS")
    return alignment_dbu - alignment_dbfs


def dbu_from_dbfs(level_dbfs: float, zero_dbfs_dbu: float) -> float:
    """Return the analogue level in dBu of a digital level.

    Parameters
    ----------
    level_dbfs
        Digital level in dBFS.
    zero_dbfs_dbu
        Level of 0 dBFS at the converter, in dBu.

    Examples
    --------
    >>> dbu_from_dbfs(-18.0, 22.0)
    4.0

    Source
    ------
    Definition of dBFS.
    """
    return zero_dbfs_dbu + level_dbfs


def overload_db(level_dbu: float, clip_dbu: float) -> float:
    """Return by how many dB a level passes what an input bears; the pad needed is at least this much.

    Parameters
    ----------
    level_dbu
        Highest level that arrives, in dBu.
    clip_dbu
        Level at which the input clips, in dBu.

    Returns
    -------
    float
        The excess in dB; 0 if the input bears the level.

    Examples
    --------
    >>> overload_db(24.0, 18.0), overload_db(4.0, 18.0)
    (6.0, 0.0)

    Source
    ------
    Difference of two levels.
    """
    return max(0.0, level_dbu - clip_dbu)
