"""Vectors PD and RO: pads, and the roll-off of cables. Sources stand in vectors.json."""

from __future__ import annotations

import pytest

from rigcore.quantities import cables, geometry, pads
from tests.published.test_vectors_common import VECTORS, Adapter, Values, check


def _l_pad(given: Values) -> Values:
    arms = (given["R1_ohm"], given["R2_ohm"])
    return {
        "loss_dB": pads.l_pad_loss_db(*arms, given["Rl_ohm"]),
        "Zin_ohm": pads.l_pad_input_ohm(*arms, given["Rl_ohm"]),
        "Zout_ohm": pads.l_pad_output_ohm(*arms),
    }


def _h_pad(given: Values) -> Values:
    arms = pads.matched_h(given["Z_ohm"], given["loss_dB"])
    return {"R_series_each_ohm": arms.series_ohm, "R_shunt_ohm": arms.shunt_ohm}


def _u_pad(given: Values) -> Values:
    arms = (given["R_series_each_ohm"], given["R_shunt_out_ohm"])
    return {"Zin_ohm": pads.u_pad_input_ohm(*arms), "loss_dB_unloaded": pads.u_pad_loss_db(*arms)}


def _o_pad(given: Values) -> Values:
    return {"R_shunt_in_ohm": pads.o_pad_shunt_ohm(given["Zin_actual_ohm"], given["Zin_wanted_ohm"])}


def _minimum_loss(given: Values) -> Values:
    arms = pads.minimum_loss_l(given["Z1_ohm"], given["Z2_ohm"])
    return {
        "loss_dB": pads.minimum_loss_db(given["Z1_ohm"], given["Z2_ohm"]),
        "R_series_ohm": arms.series_ohm,
        "R_shunt_ohm": arms.shunt_ohm,
    }


def _thumb(given: Values) -> Values:
    return {"loss_dB": [pads.l_pad_loss_db(ratio, 1.0) for ratio in given["R1_over_R2"]]}


def _roll_off(given: Values) -> Values:
    if "ft" in given:
        per_m = given["pF_per_ft"] / geometry.METRES_PER_FOOT
        total = cables.capacitance_pf(per_m, geometry.metres_from_feet(given["ft"]))
    else:
        total = cables.capacitance_pf(given["pF_per_m"], given["m"])
    return {"C_pF": total, "f3dB_Hz": cables.roll_off_hz(given["Rs_ohm"], total)}


ADAPTERS: dict[str, Adapter] = {
    **dict.fromkeys(("PD-01", "PD-02"), _l_pad),
    **dict.fromkeys(("PD-03", "PD-04", "PD-05"), _h_pad),
    "PD-06": _u_pad,
    "PD-07": _o_pad,
    "PD-08": _minimum_loss,
    "PD-09": _thumb,
    **dict.fromkeys(("RO-01", "RO-02", "RO-03", "RO-04"), _roll_off),
}


@pytest.mark.parametrize("name", ADAPTERS)
def test_vector(name: str) -> None:
    """The source of each vector stands beside it in vectors.json."""
    vector = VECTORS[name]
    found = ADAPTERS[name](vector["inputs"])
    check(vector, {key: found[key] for key in vector["expected"]})
