"""Rigs, houses and gigs as wholes: copy, rename, put away, take out again, remove."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, get_args

from rigcore.book.book import Book
from rigcore.book.edits.gigs import remove_gig
from rigcore.book.edits.houses import remove_house
from rigcore.book.edits.rebuild import checked, put_gig, put_house, put_rig
from rigcore.book.gig import Gig
from rigcore.book.house import House
from rigcore.book.ids import new_id
from rigcore.book.rig import Rig
from rigcore.errors import EditRefused

Kind = Literal["gig", "rig", "house"]
KINDS: tuple[Kind, ...] = get_args(Kind)

Plan = Gig | Rig | House


def plans(book: Book, kind: Kind) -> tuple[Plan, ...]:
    """Return the gigs, rigs or houses of a book, those put away too."""
    if kind == "gig":
        return book.gigs
    return book.rigs if kind == "rig" else book.houses


def plan_of(book: Book, kind: Kind, plan_id: str) -> Plan:
    """Return one gig, rig or house.

    Raises
    ------
    UnknownThing
        If there is none of that id.
    """
    if kind == "gig":
        return book.gig(plan_id)
    return book.rig(plan_id) if kind == "rig" else book.house(plan_id)


def rename(book: Book, kind: Kind, plan_id: str, name: str) -> Book:
    """Return the book with another name on a gig, rig or house.

    Raises
    ------
    EditRefused
        If the name is empty or too long.
    """
    if not name.strip():
        raise EditRefused(f"a {kind} needs a name", [plan_id])
    return _put(book, checked(plan_of(book, kind, plan_id), name=name.strip()))


def put_away(book: Book, kind: Kind, plan_id: str, away: bool = True) -> Book:
    """Return the book with a gig, rig or house put away in the archive, or taken out of it."""
    return _put(book, checked(plan_of(book, kind, plan_id), archived=away))


def copy(book: Book, kind: Kind, plan_id: str) -> tuple[Book, str]:
    """Return the book with a copy of a gig, rig or house beside it, and the copy's id.

    A copied gig keeps its landings; what was sent of the old one, and its date, are not the new one's.
    """
    old = plan_of(book, kind, plan_id)
    everyone = plans(book, kind)
    name = _new_name(old.name, {one.name for one in everyone})
    copy_id = new_id(name, {one.id for one in everyone})
    if isinstance(old, Gig):
        new: Plan = checked(old, id=copy_id, name=name, date=None, valid_until=None, letters=(), archived=False)
        return checked(book, gigs=_after(book.gigs, old, new)), copy_id
    new = checked(old, id=copy_id, name=name, archived=False)
    if isinstance(old, Rig):
        return checked(book, rigs=_after(book.rigs, old, new)), copy_id
    return checked(book, houses=_after(book.houses, old, new)), copy_id


def why_kept(book: Book, kind: Kind, plan_id: str) -> str:
    """Return why something cannot be removed, or nothing."""
    plan = plan_of(book, kind, plan_id)
    if kind == "gig":
        return "" if len(book.gigs) > 1 else "it is the only gig of the book"
    using = [one.name for one in book.gigs if plan_id in (one.rig if kind == "rig" else one.house,)]
    if not using:
        return ""
    return f"{plan.name} is used by {_listed(using)}; remove {'that gig' if len(using) == 1 else 'those gigs'} first"


def remove(book: Book, kind: Kind, plan_id: str) -> Book:
    """Return the book without a gig, rig or house; with a gig go its accepted risks.

    Raises
    ------
    EditRefused
        If a gig still needs it, or it is the last gig.
    """
    reason = why_kept(book, kind, plan_id)
    if reason:
        raise EditRefused(reason, [plan_id])
    if kind == "house":
        return remove_house(book, plan_id)
    if kind == "rig":
        return checked(book, rigs=tuple(one for one in book.rigs if one.id != plan_id))
    kept = tuple(one for one in book.accepted if one.gig != plan_id)
    return checked(remove_gig(book, plan_id), accepted=kept)


def _put(book: Book, plan: Plan) -> Book:
    if isinstance(plan, Gig):
        return put_gig(book, plan)
    return put_rig(book, plan) if isinstance(plan, Rig) else put_house(book, plan)


def _new_name(name: str, taken: Iterable[str]) -> str:
    known = set(taken)
    number = 2
    while (candidate := f"{name[:110]} {number}") in known:
        number += 1
    return candidate


def _after(plans: tuple[Plan, ...], old: Plan, new: Plan) -> tuple[Plan, ...]:
    place = plans.index(old) + 1
    return (*plans[:place], new, *plans[place:])


def _listed(names: list[str]) -> str:
    quoted = [f"'{name}'" for name in names[:3]]
    return ", ".join(quoted) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
