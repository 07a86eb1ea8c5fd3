"""A book with the classic mistakes, each planted once, and its mended twin.

The scenario is invented: a trio at the Sallow Quay Assembly Room, where
everything that is ever plugged wrong has been. Every mistake is one function that
plants it, or, told so, does it right; what it should be found as stands beside it.
The mistakes themselves lie in ``planted_signal`` and ``planted_rest``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rigcore.book.book import Book
from rigcore.book.edits.rebuild import checked
from rigcore.book.house import PowerDrop, Socket, Stage
from rigcore.book.rig import Unit
from rigcore.rules.rule import Severity, Thing
from tests.rule_samples.plan import Plan

LINES = 16

LEFT = PowerDrop(
    id="left", name="Stage left", x_m=4.0, y_m=4.0, outlets=60, connector="bs1363.f", circuit="A", circuit_a=32.0,
    rcd_ma=300.0,
)
RIGHT = PowerDrop(
    id="right", name="Stage right", x_m=-4.0, y_m=4.0, outlets=8, connector="bs1363.f", circuit="B", circuit_a=32.0,
)
BACK = PowerDrop(
    id="back", name="Back wall", x_m=0.0, y_m=9.0, outlets=4, connector="bs1363.f", circuit="C", circuit_a=10.0,
)

Plant = Callable[[Plan, bool], None]


@dataclass(frozen=True)
class Mistake:
    """One planted mistake: the finding it must give, once, and what plants or mends it.

    ``things`` are the places the finding must name, all of them; ``number`` the
    decisive text of its working.
    """

    rule: str
    severity: Severity
    things: frozenset[Thing]
    number: str
    plant: Plant


class Mistakes(list[Mistake]):
    """Mistakes in the order they are planted, filled by decorating what plants them."""

    def of(self, rule: str, severity: Severity, *, at: str, number: str) -> Callable[[Plant], Plant]:
        """Return a decorator that keeps a mistake. Places are written ``kind:id`` or ``kind:id.port``."""

        def keep(plant: Plant) -> Plant:
            self.append(Mistake(rule, severity, frozenset(_thing(text) for text in at.split()), number, plant))
            return plant

        return keep

    def also(self, rule: str, severity: Severity, *, at: str, number: str) -> None:
        """Keep a second finding of the mistake before: what it comes to besides."""
        self.of(rule, severity, at=at, number=number)(_nothing)


def _nothing(plan: Plan, mended: bool) -> None:
    """Plant nothing: the mistake before has done it."""


def _thing(text: str) -> Thing:
    kind, _, rest = text.partition(":")
    name, _, port = rest.partition(".")
    return Thing(kind.replace("_", " "), name, port)  # type: ignore[arg-type]


def _house(plan: Plan) -> None:
    box = Unit(id="box", name="Stage box", gear="stage-box-16", owner="house")
    inputs = [
        Socket(id=f"in-{n}", unit="box", ports=(f"in-{n}",), direction="in", number=n, label=f"{n}")
        for n in range(1, LINES + 1)
    ]
    plan.house(
        name="Sallow Quay Assembly Room", units=(box,), sockets=tuple(inputs),
        stage=Stage(width_m=10.0, depth_m=10.0, power=(LEFT, RIGHT, BACK)),
    )
    plan.says(
        pa="stereo", phantom="per channel", circuit="A, B and C, not shared", sound_limiter="none", outlets="72",
    )


def made(mistakes: list[Mistake], *, mended: bool) -> Book:
    """Return the book with every mistake planted, or with every one done right."""
    plan = Plan()
    _house(plan)
    for mistake in mistakes:
        mistake.plant(plan, mended)
    numbers = {socket.id: socket.number for socket in plan.book.houses[0].sockets}
    landings = sorted(plan.book.gig().landings, key=lambda one: (numbers[one.socket], one.hand_off))
    plan.order(*(one.hand_off for one in landings))
    title = "The classic mistakes, mended" if mended else "The classic mistakes, each made once"
    return checked(plan.book, title=title)
