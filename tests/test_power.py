"""Power: integration in time, limits, and what the calculator warns of."""

import pytest

from calculators.cards.power import RUNTIME
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.formulas import power
from calculators.present import answer, work

DEFAULTS = defaults(RUNTIME)


def integrated(energy: float, drain: float, rate: float, step: float) -> float:
    """Time until empty, by fourth-order Runge-Kutta steps on dE/dt = −λE − P."""

    def slope(e: float) -> float:
        return -rate * e - drain

    time = 0.0
    while True:
        a = slope(energy)
        b = slope(energy + step / 2 * a)
        c = slope(energy + step / 2 * b)
        d = slope(energy + step * c)
        after = energy + step / 6 * (a + 2 * b + 2 * c + d)
        if after <= 0:
            return time + step * energy / (energy - after)
        energy, time = after, time + step


@pytest.mark.parametrize("lost", [0.01, 0.05, 0.3])
def test_runtime_agrees_with_an_integration_in_time(lost):
    """Independent: the monthly loss is found from compound decay over the days of a month."""
    rate = 1 - (1 - lost) ** (1 / power.MONTH)
    expected = integrated(energy=50_000, drain=0.02, rate=rate, step=600)
    assert power.runtime(energy=50_000, drain=0.02, self_discharge=lost) == pytest.approx(
        expected, rel=1e-6
    )


def test_nothing_is_left_at_the_end_of_the_runtime():
    """The two formulas are one curve: it meets zero where the runtime says."""
    end = power.runtime(energy=5e4, drain=0.02, self_discharge=0.05)
    before = power.energy_left(energy=5e4, drain=0.02, self_discharge=0.05, time=end * 0.999999)
    after = power.energy_left(energy=5e4, drain=0.02, self_discharge=0.05, time=end * 1.000001)
    assert 0 < before < 0.1
    assert after == 0


def test_a_tiny_drain_lasts_until_self_discharge_has_left_as_little():
    """Limit: what is left by then, by compound decay alone, is worth about a month of the drain."""
    runtime = power.runtime(energy=1e5, drain=1e-6, self_discharge=0.5)
    left = 1e5 * 0.5 ** (runtime / power.MONTH)
    assert left < 1e-6 * power.MONTH * 2


def with_rows(**changed: float | str) -> dict[str, float | str]:
    """Two supplies and two loads, the second load on the second supply."""
    values = defaults(RUNTIME, rows=("battery_kind_2", "load_current_2"))
    return values | {"load_supply_2": 2.0} | changed


def test_the_rig_ends_with_its_first_empty_supply():
    """Two supplies: the answer is the shorter of the two."""
    results = evaluate(RUNTIME, with_rows(load_current_2=0.9))
    assert results["supply_runtime_2"] < results["supply_runtime"]
    assert results["runtime"] == results["supply_runtime_2"]
    assert results["ending_supply"] == 2
    assert evaluate(RUNTIME, with_rows(load_current_2=0.001))["ending_supply"] == 1


def test_loads_on_one_supply_add_up():
    """Energy balance: two loads drain what each drains alone, together."""
    both = evaluate(RUNTIME, with_rows(load_supply_2=1.0, load_current_2=0.1, load_supply=1.0)
                    | {"load_supply_3": 2.0} | {  # a third load keeps supply 2 in use
                        f"{n}_3": DEFAULTS[n] for n in
                        ("load_known_by", "load_power", "load_current", "load_voltage",
                         "load_duty")})  # fmt: skip
    assert both["supply_drain"] == pytest.approx((0.18 + 0.1) * 5 / 0.85)


def test_current_and_power_describe_the_same_load():
    """180 mA at 5 V is 0.9 W."""
    by_power = DEFAULTS | {"load_known_by": "power", "load_power": 0.9}
    assert evaluate(RUNTIME, by_power) == pytest.approx(evaluate(RUNTIME, DEFAULTS))


def test_a_load_on_a_supply_that_is_not_there_is_refused():
    """Named by the load's own field."""
    with pytest.raises(InputError, match="there is only one") as refused:
        evaluate(RUNTIME, DEFAULTS | {"load_supply": 2.0})
    assert refused.value.name == "load_supply"


def test_a_supply_without_a_load_is_refused():
    """It would last for ever: nothing to answer."""
    with pytest.raises(InputError, match="Supply 2 has no load") as refused:
        evaluate(RUNTIME, with_rows(load_supply_2=1.0))
    assert refused.value.name == "battery_capacity_2"


def cautions(**changed: float | str) -> set[str]:
    """Titles of the cautions for changed defaults."""
    shown = answer(work(RUNTIME, Given(DEFAULTS | changed), "metric"))
    return {caution["title"] for caution in shown["cautions"]}


def test_cautions_stand_where_they_apply():
    """Lithium, cold charging, alkaline gas, switch-off, heavy load: each at its condition."""
    assert any("sealed case" in c for c in cautions())
    assert any("below 0 °C" in c for c in cautions(temperature=-1.0))
    assert not any("below 0 °C" in c for c in cautions(temperature=0.0))
    assert any("hydrogen" in c for c in cautions(battery_kind="alkaline"))
    assert not any("sealed case" in c for c in cautions(battery_kind="alkaline"))
    assert any("hydrogen" in c for c in cautions(battery_kind="nickel-metal-hydride"))
    assert not any("hydrogen" in c for c in cautions())
    own = cautions(battery_kind="own")
    assert all(any(words in c for c in own) for words in ("sealed case", "below 0", "hydrogen"))
    assert any("switch itself off" in c for c in cautions(shutoff_current=0.2))
    assert not any("switch itself off" in c for c in cautions(shutoff_current=0.1))
    assert any("switch itself off" in c for c in cautions(shutoff_current=0.1, load_duty=0.5))
    assert any("heavier" in c for c in cautions(rated_current=0.1))


def test_common_practice_a_recorder_runs_for_days_from_a_power_bank():
    """Common practice, no source: days from a power bank, hours from its own small cell."""
    bank = evaluate(RUNTIME, DEFAULTS)["runtime"]
    own_cell = evaluate(RUNTIME, DEFAULTS | {"battery_capacity": 1.0 * 3600})["runtime"]
    assert bank > 2 * 86400
    assert 3600 < own_cell < 12 * 3600


def test_what_goes_in_comes_out():
    """Energy balance: what a supply gives is what the loads get and what is lost on the way."""
    results = evaluate(RUNTIME, with_rows(self_discharge=0.2, converter_efficiency_2=1.0))
    for end in ("", "_2"):
        assert results[f"delivered_energy{end}"] + results[f"lost_energy{end}"] == pytest.approx(
            results[f"supply_energy{end}"]
        )
    # No converter and 3 % a month: only self-discharge is lost, far less than 3 % in some days.
    assert 0 < results["lost_energy_2"] < 0.03 * results["supply_energy_2"]


def test_steps_are_labelled_by_what_they_gave_not_by_equal_numbers():
    """Without a converter load and drain are the same number, but not the same step."""
    shown = answer(work(RUNTIME, Given(with_rows(converter_efficiency_2=1.0)), "metric"))
    labels = [step["label"] for step in shown["working"]]
    assert labels.count("Power drawn from supply 2") == 1
    assert "Power of a load 2" in labels
    assert "Runtime of supply 1" in labels
    assert "Runtime of the rig" not in labels  # picked from the supplies, not calculated
