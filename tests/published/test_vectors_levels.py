"""Vectors LV, IM, DI and GR: levels, loads, transformers, noise of a screen. Sources stand in vectors.json."""

from __future__ import annotations

import pytest

from rigcore.quantities import electrical as e
from rigcore.quantities import full_scale, microphone, screens, transformer
from tests.published.test_vectors_common import VECTORS, Adapter, Values, check


def _from_dbu(given: Values) -> Values:
    volts = e.volts_from_dbu(given["dBu"])
    return {"V_rms": volts, "dBV": e.dbv_from_dbu(given["dBu"]), "W_in_600_ohm": e.watts(volts, 600.0)}


def _from_dbv(given: Values) -> Values:
    level = e.dbu_from_dbv(given["dBV"])
    return {"dBu": level, "V_rms": e.volts_from_dbu(level)}


def _gap(given: Values) -> Values:
    assert (given["a_dBu"], given["b_dBV"]) == (e.PROFESSIONAL_NOMINAL_DBU, e.CONSUMER_NOMINAL_DBV)
    return {"gap_dB": e.professional_to_consumer_gap_db()}


def _alignment(given: Values) -> Values:
    full = full_scale.full_scale_dbu(given["align_dBFS"], given["align_dBu"])
    return {"0dBFS_dBu": full, "V_rms": e.volts_from_dbu(full)}


def _overload(given: Values) -> Values:
    peak = full_scale.dbu_from_dbfs(given["peak_dBFS"], given["source_0dBFS_dBu"])
    over = full_scale.overload_db(peak, given["input_clip_dBu"])
    return {"overload_dB": over, "pad_needed_dB": over}


def _microphone(given: Values) -> Values:
    if "sens_mV_per_Pa" in given:
        sensitivity = microphone.sensitivity_dbv_per_pa(given["sens_mV_per_Pa"])
    else:
        sensitivity = given["sens_dBV_per_Pa"]
    level = microphone.output_dbu(sensitivity, given["spl_dB"])
    return {
        "out_dBV": microphone.output_dbv(sensitivity, given["spl_dB"]),
        "out_dBu": level,
        "out_V": e.volts_from_dbu(level),
        "gain_to_0dBu_dB": microphone.gain_needed_db(level),
    }


def _headphone(given: Values) -> Values:
    volts = e.loaded_v(given["emf_V"], given["Rs_ohm"], given["Rl_ohm"])
    return {"V_load": volts, "dBu": e.dbu_from_volts(volts), "mW": e.watts(volts, given["Rl_ohm"]) * 1000}


def _load(given: Values) -> Values:
    loads = given.get("loads_ohm") or [given["Rl_ohm"]]
    source, load = given["Rs_ohm"], e.parallel_ohm(loads)
    loss = e.divider_loss_db(source, load)
    return {
        "ratio": e.loaded_v(1.0, source, load),
        "loss_dB": loss,
        "Rl_ohm": load,
        "extra_vs_one_load_dB": loss - e.divider_loss_db(source, loads[0]),
        "bridging_ok": e.is_bridged(source, load),
    }


def _transformer(given: Values) -> Values:
    ratio = given["turns_ratio"]
    found = {"loss_dB": transformer.turns_loss_db(ratio), "impedance_ratio": transformer.impedance_ratio(ratio)}
    if "Rl_ohm" in given:
        found["Z_reflected_ohm"] = transformer.reflected_ohm(ratio, given["Rl_ohm"])
    return found


def _di(given: Values) -> Values:
    loss = transformer.di_loss_db(given["Rs_ohm"], given["turns_ratio"], given["Rl_ohm"])
    source = given["source_dBu"] if "source_dBu" in given else given["source_emf_dBu"]
    return {"total_loss_dB": loss, "out_dBu": source - loss}


def _screen(given: Values) -> Values:
    noise = screens.screen_noise_uv(given["I_shield_uA"], given["R_shield_ohm"])
    return {"noise_uV": noise, "snr_dB": screens.signal_over_noise_db(e.dbu_from_dbv(given["signal_dBV"]), noise)}


ADAPTERS: dict[str, Adapter] = {
    **dict.fromkeys(("LV-01", "LV-02", "LV-06"), _from_dbu),
    **dict.fromkeys(("LV-03", "LV-05"), _from_dbv),
    "LV-04": _gap,
    **dict.fromkeys(("LV-07", "LV-08"), _alignment),
    "LV-09": _overload,
    **dict.fromkeys(("LV-10", "LV-11", "LV-12"), _microphone),
    **dict.fromkeys(("LV-13", "LV-14"), _headphone),
    **dict.fromkeys((f"IM-{number:02}" for number in range(1, 10)), _load),
    **dict.fromkeys(("DI-01", "DI-02", "DI-03", "DI-04"), _transformer),
    **dict.fromkeys(("DI-05", "DI-06"), _di),
    "GR-01": _screen,
}


@pytest.mark.parametrize("name", ADAPTERS)
def test_vector(name: str) -> None:
    """The source of each vector stands beside it in vectors.json."""
    vector = VECTORS[name]
    found = ADAPTERS[name](vector["inputs"])
    check(vector, {key: found[key] for key in vector["expected"]})
