"""Calculators of power."""

import math
from collections.abc import Callable
from typing import Any

from calculators.cards.common import PLANNED_TIME, lasts_as_planned
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Group,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Shown,
    Values,
    row_key,
)
from calculators.errors import InputError
from calculators.formulas import power
from calculators.units import format_display

Row = dict[str, Any]

LEAST_LOAD = 1e-9
"""Watts below which a supply counts as having no load: any cell loses more by itself."""


def _runtime(supply: list[Row], load: list[Row], planned_time: float) -> dict[str, Any]:
    answers = [
        _one_supply(row, [x for x in load if x["load_supply"] == n], n)
        for n, row in enumerate(supply, 1)
    ]
    times = [answer["supply_runtime"] for answer in answers]
    return {
        "runtime": min(times),
        "ending_supply": 1.0 + times.index(min(times)),
        **{name: [answer[name] for answer in answers] for name in answers[0]},
    }


def _one_supply(row: Row, loads: list[Row], number: int) -> dict[str, float]:
    at_loads = sum(_load_power(x) for x in loads)
    if at_loads < LEAST_LOAD:
        raise InputError(
            row_key("battery_capacity", number), f"Supply {number} has no load of 1 nW or more."
        )
    drain = power.supply_drain(
        load_power=at_loads, converter_efficiency=row["converter_efficiency"]
    )
    energy = power.supply_energy(
        capacity=row["battery_capacity"],
        voltage=row["battery_voltage"],
        usable_fraction=_usable(row),
        temperature_factor=_cold_factor(row),
        ageing_factor=1 - row["ageing_loss"],
    )
    time = power.runtime(energy=energy, drain=drain, self_discharge=row["self_discharge"])
    delivered = power.delivered_energy(power=at_loads, time=time)
    return {
        "supply_runtime": time,
        "supply_energy": energy,
        "delivered_energy": delivered,
        "lost_energy": energy - delivered,
        "supply_drain": drain,
        "battery_current": power.battery_current(drain=drain, voltage=row["battery_voltage"]),
    }


def _load_power(row: Row) -> float:
    if row["load_known_by"] == "power":
        return power.mean_power(power=row["load_power"], duty=row["load_duty"])
    return power.load_power(
        current=row["load_current"], voltage=row["load_voltage"], duty=row["load_duty"]
    )


def _cold_factor(row: Row) -> float:
    if row["battery_kind"] == "own":
        return float(row["cold_fraction"])
    return power.temperature_factor(kind=row["battery_kind"], temperature=row["temperature"])


def _usable(row: Row) -> float:
    used = float(row["usable_fraction"])
    if row["battery_kind"] != "alkaline":
        return used
    return used * power.alkaline_cutoff_factor(cutoff_voltage=row["cutoff_voltage"])


def _numbers(values: Values, name: str) -> list[Any]:
    """The values of one grouped input, row by row."""
    keys = [name]
    while (following := row_key(name, len(keys) + 1)) in values:
        keys.append(following)
    return [values[key] for key in keys]


def _energy_over_time(values: Values, results: Results, system: str) -> Plot:
    plan = float(values["planned_time"])
    count = len(_numbers(values, "battery_capacity"))
    end = 1.1 * max(plan, *(results[row_key("supply_runtime", n)] for n in range(1, count + 1)))
    kinds: tuple[Any, ...] = ("main", "second", "third")
    lines = [
        Line(
            name=f"Supply {n}",
            points=[(end * i / 60, _left(values, results, n, end * i / 60)) for i in range(61)],
            kind=kinds[(n - 1) % 3],
        )
        for n in range(1, count + 1)
    ]
    ends = [
        (
            results[row_key("supply_runtime", n)],
            f"supply {n} {format_display(results[row_key('supply_runtime', n)], 's', 3, system)}",
        )
        for n in range(1, count + 1)
    ]
    return Plot(
        title="Energy left",
        description=(
            "Energy left in each supply over time, as a part of what it starts with: "
            + "; ".join(f"{label} until empty" for _, label in ends)
            + f". The plan is {format_display(plan, 's', 3, system)}."
        ),
        x=Axis(label="Time", unit="d", domain=(0, end)),
        y=Axis(label="Energy left", unit="%", domain=(0, 1.05)),
        lines=lines,
        marks=[*ends, (plan, f"plan {format_display(plan, 's', 3, system)}")],
    )


def _left(values: Values, results: Results, n: int, time: float) -> float:
    energy = results[row_key("supply_energy", n)]
    return (
        power.energy_left(
            energy=energy,
            drain=results[row_key("supply_drain", n)],
            self_discharge=float(values[row_key("self_discharge", n)]),
            time=time,
        )
        / energy
    )


def _may_be_lithium(values: Values, results: Results) -> bool:
    kinds = _numbers(values, "battery_kind")
    return any(kind == "own" or kind.startswith("lithium") for kind in kinds)


def _may_be_cold_lithium(values: Values, results: Results) -> bool:
    """Own figures come without a temperature: they may be for a cold pack."""
    kinds = _numbers(values, "battery_kind")
    temperatures = _numbers(values, "temperature")
    return any(
        kind == "own" or (kind == "lithium-ion" and temperature < 0)
        for kind, temperature in zip(kinds, temperatures, strict=True)
    )


def _may_give_hydrogen(values: Values, results: Results) -> bool:
    kinds = _numbers(values, "battery_kind")
    return any(kind in ("alkaline", "nickel-metal-hydride", "own") for kind in kinds)


def _rows_where(values: Values, name: str, test: Callable[[int], bool]) -> bool:
    return any(test(n) for n in range(1, len(_numbers(values, name)) + 1))


def _below_shutoff(values: Values, results: Results) -> bool:
    """A power bank sees the current at its socket; the lightest moment decides."""
    return _rows_where(
        values,
        "shutoff_current",
        lambda n: _lightest(values, n) < float(values[row_key("shutoff_current", n)]),
    )


def _lightest(values: Values, supply: int) -> float:
    """Current of the loads that are always on: what is left when the others pause."""
    names = ("load_supply", "load_known_by", "load_current", "load_power", "load_voltage")
    rows = zip(*(_numbers(values, name) for name in (*names, "load_duty")), strict=True)
    return math.fsum(
        power_ / voltage if known_by == "power" else current
        for on, known_by, current, power_, voltage, duty in rows
        if on == supply and duty == 1
    )


def _above_rating(values: Values, results: Results) -> bool:
    return _rows_where(
        values,
        "rated_current",
        lambda n: (
            results[row_key("battery_current", n)] > float(values[row_key("rated_current", n)])
        ),
    )


RUNTIME = Calculator(
    id="runtime",
    title="Runtime of the rig",
    question="How long do the batteries last, and which one ends the deployment?",
    stage="plan",
    groups=(
        Group(name="supply", label="Supply", most=3),
        Group(name="load", label="Load", most=6),
    ),
    inputs=(
        Choice(
            name="battery_kind",
            label="Kind of battery",
            group="supply",
            options=(
                Option(value="lithium-ion", label="lithium-ion, also in a power bank"),
                Option(value="alkaline", label="alkaline manganese"),
                Option(value="lithium-primary", label="lithium iron disulfide, not rechargeable"),
                Option(value="nickel-metal-hydride", label="nickel-metal hydride"),
                Option(value="own", label="own figures"),
            ),
            default="lithium-ion",
            hint="sets what is left in the cold",
            rig="power.supply.battery_kind",
        ),
        Number(
            name="battery_capacity",
            label="Rated capacity",
            group="supply",
            unit="Ah",
            default="20 Ah",
            low="1 mAh",
            high="10000 Ah",
            why="a button cell to a battery room",
            hint="of the cells, not of the socket; alkaline: down to 0.8 V a cell",
            tolerance="±10 %",
            rig="power.supply.capacity",
        ),
        Number(
            name="rated_current",
            label="… stated for a current of",
            group="supply",
            unit="A",
            default="4 A",
            low="1 µA",
            high="1000 A",
            why="as capacities are stated",
            hint="from the cell's data sheet; only judges the answer",
            rig="power.supply.rated_current",
        ),
        Number(
            name="battery_voltage",
            label="Mean voltage of the cells",
            group="supply",
            unit="V",
            default="3.6 V",
            low="0.8 V",
            high="100 V",
            why="one cell to a long pack",
            hint="at which the capacity is rated",
            rig="power.supply.voltage",
        ),
        Number(
            name="usable_fraction",
            label="Used before the load stops",
            group="supply",
            unit="%",
            default="90 %",
            low="1 %",
            high="100 %",
            why="nearly nothing to all",
            hint="what protection and the last converter leave behind is lost",
            tolerance="±5 %",
            rig="power.supply.usable_fraction",
        ),
        Number(
            name="cutoff_voltage",
            label="Voltage of one cell at which the load stops",
            group="supply",
            unit="V",
            default="0.9 V",
            low="0.8 V",
            high="1.3 V",
            why="as far as the table goes",
            hint="lowest supply voltage ÷ cells in series",
            shown=Shown(input="battery_kind", values=("alkaline",)),
            rig="power.supply.cell_cutoff_voltage",
        ),
        Number(
            name="temperature",
            label="Temperature of the cells",
            group="supply",
            unit="°C",
            default="20 °C",
            low="-20 °C",
            high="60 °C",
            why="as far as the table goes",
            hint="the water's, after some hours",
            shown=Shown(
                input="battery_kind",
                values=("lithium-ion", "alkaline", "lithium-primary", "nickel-metal-hydride"),
            ),
            rig="power.supply.temperature",
            rig_otherwise="site.water_temperature",
        ),
        Number(
            name="cold_fraction",
            label="Capacity left at this temperature",
            group="supply",
            unit="%",
            default="100 %",
            low="1 %",
            high="100 %",
            why="nearly nothing to all",
            hint="from your own test or the cell's data sheet",
            shown=Shown(input="battery_kind", values=("own",)),
            rig="power.supply.cold_fraction",
        ),
        Number(
            name="ageing_loss",
            label="Lost by age",
            group="supply",
            unit="%",
            default="0 %",
            low="0 %",
            high="90 %",
            why="new to worn out",
            hint="new cells: 0 %",
            rig="power.supply.ageing_loss",
        ),
        Number(
            name="self_discharge",
            label="Self-discharge",
            group="supply",
            unit="%/month",
            default="3 %/month",
            low="0 %/month",
            high="90 %/month",
            why="none to a failing cell",
            hint="with the quiescent current of its protection",
            rig="power.supply.self_discharge",
        ),
        Number(
            name="converter_efficiency",
            label="Efficiency of the converter",
            group="supply",
            unit="%",
            default="85 %",
            low="5 %",
            high="100 %",
            why="a bad one at a tiny load, to none at all",
            hint="100 % where the load hangs on the cells directly",
            tolerance="±5 %",
            rig="power.supply.converter_efficiency",
        ),
        Number(
            name="shutoff_current",
            label="Switches itself off below",
            group="supply",
            unit="mA",
            default="0 mA",
            low="0 mA",
            high="1 A",
            why="never, to a thirsty power bank",
            hint="power banks, at the socket; 0 for never",
            rig="power.supply.shutoff_current",
        ),
        Choice(
            name="load_known_by",
            label="Known by its",
            group="load",
            options=(
                Option(value="current", label="current"),
                Option(value="power", label="power"),
            ),
            default="current",
            rig="power.load.known_by",
        ),
        Number(
            name="load_power",
            label="Power",
            group="load",
            unit="W",
            default="0.9 W",
            low="0 W",
            high="1 kW",
            why="none to a winch",
            hint="mean while it is on, card writes included",
            tolerance="±10 %",
            shown=Shown(input="load_known_by", values=("power",)),
            rig="power.load.power",
        ),
        Number(
            name="load_current",
            label="Current",
            group="load",
            unit="mA",
            default="180 mA",
            low="0 mA",
            high="100 A",
            why="none to a winch",
            hint="mean while it is on, card writes included",
            tolerance="±10 %",
            shown=Shown(input="load_known_by", values=("current",)),
            rig="power.load.current",
        ),
        Number(
            name="load_voltage",
            label="Voltage at the load",
            group="load",
            unit="V",
            default="5 V",
            low="0.5 V",
            high="100 V",
            why="a core supply to a long pack",
            hint="the cells' voltage where there is no converter",
            rig="power.load.voltage",
        ),
        Number(
            name="load_duty",
            label="On for",
            group="load",
            unit="%",
            default="100 %",
            low="0 %",
            high="100 %",
            why="never to always",
            hint="part of the time",
            rig="power.load.duty",
        ),
        Number(
            name="load_supply",
            label="Hangs on supply",
            group="load",
            unit="1",
            default="1",
            low="1",
            high="3",
            why="the supplies of this rig",
            integer=True,
            refers_to="supply",
            rig="power.load.supply",
        ),
        PLANNED_TIME,
    ),
    outputs=(
        Output(
            name="runtime",
            label="Runtime of the rig",
            unit="s",
            help="until the first supply is empty",
            verdict=lasts_as_planned(),
            rig="power.runtime",
        ),
        Output(
            name="ending_supply",
            label="Supply that ends it",
            unit="1",
            help="the number of the supply that is empty first",
        ),
        Output(
            name="supply_runtime",
            label="Runtime of supply",
            unit="s",
            group="supply",
            help="the shortest ends the deployment",
        ),
        Output(
            name="supply_energy",
            label="Energy to be had from supply",
            unit="Wh",
            group="supply",
            help="after cold, age and what is left behind",
        ),
        Output(
            name="delivered_energy",
            label="… of which reaches the loads of supply",
            unit="Wh",
            group="supply",
            help="until this supply is empty",
        ),
        Output(
            name="lost_energy",
            label="… of which is lost in supply",
            unit="Wh",
            group="supply",
            help="in the converter and by self-discharge",
        ),
        Output(
            name="supply_drain",
            label="Power drawn from supply",
            unit="W",
            group="supply",
            help="the loads, through the converter",
        ),
        Output(
            name="battery_current",
            label="Current in the cells of supply",
            unit="A",
            group="supply",
            help="mean, to hold against the current the capacity is stated for",
        ),
    ),
    in_rig_for="deployment-window",
    compute=_runtime,
    plot=_energy_over_time,
    cautions=(
        Caution(
            title="Lithium cells in a sealed case can burst it.",
            text="A shorted, flooded, overheated or overcharged cell vents hot, toxic, burning "
            "gas. Use protected cells with a fuse at the pack, never charge inside a closed "
            "case, fit a pressure relief, and follow the cell maker's sheet, transport rules and "
            "local codes.",
            when=_may_be_lithium,
        ),
        Caution(
            title="Do not charge lithium-ion cells below 0 °C.",
            text="Lithium plates out as metal and the cell becomes dangerous later. Warm the cells "
            "first, and discharge them only within the maker's range of temperature. Follow the "
            "cell maker's sheet and local codes.",
            when=_may_be_cold_lithium,
        ),
        Caution(
            title="Cells can give off hydrogen, which explodes in a tight case.",
            text="Alkaline and nickel cells do when they are overcharged, run backwards or leak. "
            "Do not mix old and new cells, take empty ones out at once, and open a recovered "
            "case slowly, away from the face and from flames. Follow the cell maker's sheet and "
            "local codes.",
            when=_may_give_hydrogen,
        ),
        Caution(
            title="This load may let the power bank switch itself off.",
            text="Loads that pause or draw less than its threshold end the recording in silence. "
            "Test it for the length of the trip, or use a supply that stays on.",
            when=_below_shutoff,
        ),
        Caution(
            title="The load is heavier than the one the capacity is stated for.",
            text="Cells give less at heavier loads; how much less, no general formula tells: "
            "take the capacity from the data sheet at this current, or measure it.",
            when=_above_rating,
        ),
    ),
)
