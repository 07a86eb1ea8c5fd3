"""Samples of the family ``stage``: over the edge, and two in one place."""

from __future__ import annotations

from rigcore.book.edits.units import move_on_stage
from rigcore.book.house import Stage
from tests.rule_samples.plan import Kind, Plan, Samples

SAMPLES = Samples()


def _stand(p: Plan, unit: str, x_m: float, y_m: float) -> None:
    p.book = move_on_stage(p.book, "rig", unit, (x_m, y_m, 0.0))


@SAMPLES.of(
    "stage.off-stage",
    bad="A piano half over the stage left edge of a small stage",
    good="The piano in the middle of the small stage",
    near_miss="The piano at the very edge of the small stage, whole",
)
def off_stage(p: Plan, kind: Kind) -> None:
    p.house(stage=Stage(width_m=3.0, depth_m=2.0))
    p.unit("piano", "stage-piano-88", "Piano")
    _stand(p, "piano", {"bad": 1.5, "good": 0.0, "near_miss": 0.84}[kind], 1.0)


@SAMPLES.of(
    "stage.in-another",
    bad="A piano and a loudspeaker drawn in the same place",
    good="The loudspeaker beside the piano",
    near_miss="Two keyboards in the same place, one above the other",
)
def in_another(p: Plan, kind: Kind) -> None:
    p.house(stage=Stage(width_m=6.0, depth_m=4.0))
    p.unit("piano", "stage-piano-88", "Piano")
    _stand(p, "piano", 0.0, 1.5)
    if kind == "near_miss":
        p.unit("synth", "synth-61", "Synth")
        _stand(p, "synth", 0.0, 1.5)
        return
    p.unit("speaker", "powered-monitor", "Speaker")
    _stand(p, "speaker", *((0.3, 1.55) if kind == "bad" else (1.2, 1.5)))
