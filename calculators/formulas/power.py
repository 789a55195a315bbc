"""Power: what a load draws, what a battery gives in the cold, and how long that lasts."""

from bisect import bisect_right
from math import expm1, inf, log1p

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Ampere,
    Celsius,
    Coulomb,
    Joule,
    PerMonth,
    Ratio,
    Second,
    Volt,
    Watt,
)

MONTH: Second = 30.4375 * 86_400
"""One twelfth of a year of 365.25 days."""

Table = tuple[tuple[float, float], ...]

COLD: dict[str, Table] = {
    "lithium-ion": ((-20, 0.60), (-10, 0.75), (0, 0.90), (10, 0.96), (20, 1.0)),
    "alkaline": ((-20, 0.50), (-10, 0.70), (0, 0.86), (10, 0.94), (20, 1.0)),
    "lithium-primary": ((-20, 0.88), (-10, 0.93), (0, 0.97), (10, 1.0), (20, 1.0)),
    "nickel-metal-hydride": ((-20, 0.60), (-10, 0.80), (0, 0.90), (10, 0.96), (20, 1.0)),
}
"""Part of the capacity at 20 °C that a light load still gets, by temperature in °C.

The alkaline row is printed for one large cell at a light load [datalogger-alkaline]; smaller cells
at the same current get less. The lithium-ion row lies near a public test matrix [nrel-ssc]; the
others are from memory. Good to about 0.1 at 0 °C, 0.15 at −10 °C and 0.2 at −20 °C: a first guess,
not a promise of any cell.
"""

ALKALINE_CUTOFF: Table = (
    (0.8, 1.0),
    (0.9, 0.96),
    (1.0, 0.90),
    (1.1, 0.78),
    (1.2, 0.55),
    (1.3, 0.30),
)
"""Part of an alkaline cell's charge given before it falls to a voltage, light load, 20 °C.

From memory, good to about 0.08 against a model of a measured cell [siegel-alkaline-model]; 1 is
the charge given down to 0.8 V.
"""


@formula(
    title="Power of a load",
    symbol="P_l",
    symbols={"current": "I", "voltage": "U", "duty": "d"},
    tex=r"P_\mathrm{l} = I \, U \, d",
    working="{current} · {voltage} · {duty}",
    validity="Mean current while it is on; peaks count only through the mean.",
    sources=("iec-60050-131",),
)
def load_power(current: Ampere, voltage: Volt, duty: Ratio) -> Watt:
    """Mean power that a load takes.

    Args:
        current: Mean current while the load is on; A, zero or more.
        voltage: Voltage at the load; V, above zero.
        duty: Part of the time it is on, 0 to 1.

    Returns:
        Power in W.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of electric power and of a duty cycle.

    >>> load_power(current=0.2, voltage=5, duty=0.5)
    0.5
    """
    require_between(0, inf, current=current)
    require_positive(voltage=voltage)
    require_between(0, 1, duty=duty)
    return current * voltage * duty


@formula(
    title="Mean power of a load",
    symbol="P_l",
    symbols={"power": "P", "duty": "d"},
    tex=r"P_\mathrm{l} = P \, d",
    working="{power} · {duty}",
    validity="Mean power while it is on; peaks count only through the mean.",
    sources=("iec-60050-131",),
)
def mean_power(power: Watt, duty: Ratio) -> Watt:
    """Mean power of a load that is known by its power.

    Args:
        power: Mean power while the load is on; W, zero or more.
        duty: Part of the time it is on, 0 to 1.

    Returns:
        Power in W.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a duty cycle.

    >>> mean_power(power=0.8, duty=0.25)
    0.2
    """
    require_between(0, inf, power=power)
    require_between(0, 1, duty=duty)
    return power * duty


@formula(
    title="Current in the cells",
    symbol="I",
    symbols={"drain": "P", "voltage": "U"},
    tex=r"I = \frac{P}{U}",
    working="{drain} / {voltage}",
    validity="Mean current at the mean voltage of discharge; it rises as the voltage sinks.",
    sources=("iec-60050-131",),
)
def battery_current(drain: Watt, voltage: Volt) -> Ampere:
    """Mean current in the cells of a supply.

    Args:
        drain: Mean power drawn from them; W, zero or more.
        voltage: Their mean voltage; V, above zero.

    Returns:
        Current in A.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of electric power.

    >>> battery_current(drain=1.8, voltage=3.6)
    0.5
    """
    require_between(0, inf, drain=drain)
    require_positive(voltage=voltage)
    return drain / voltage


@formula(
    title="Energy that reaches the loads",
    symbol="E_l",
    symbols={"power": "P_l", "time": "t"},
    tex=r"E_\mathrm{l} = P_\mathrm{l} \, t",
    working="{power} · {time}",
    validity="Steady mean power over the whole time.",
    sources=("iec-60050-131",),
)
def delivered_energy(power: Watt, time: Second) -> Joule:
    """Energy that a mean power takes in a time.

    Args:
        power: Mean power of the loads; W, zero or more.
        time: s, zero or more.

    Returns:
        Energy in J.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of energy.

    >>> delivered_energy(power=2, time=1800)
    3600
    """
    require_between(0, inf, power=power, time=time)
    return power * time


@formula(
    title="Part of the capacity left at this temperature",
    symbol="k_t",
    symbols={"kind": "kind", "temperature": "ϑ"},
    tex=r"k_\mathrm{t} = \text{table}(\text{kind}, \vartheta)",
    working="table({kind}, {temperature})",
    validity=(
        "Light loads, from −20 °C; 1 at and above 20 °C. Read between the rows of a table that is "
        "good to about 0.1 at 0 °C and 0.2 at −20 °C: measure your own cells where it matters."
    ),
    sources=("wetside-cold-table", "datalogger-alkaline", "nrel-ssc"),
)
def temperature_factor(kind: str, temperature: Celsius) -> Ratio:
    """Part of a battery's capacity at 20 °C that it still gives at another temperature.

    Args:
        kind: A key of ``COLD``.
        temperature: Of the cells, °C, −20 to 60.

    Returns:
        A ratio above 0, at most 1.

    Raises:
        InputError: If the kind is unknown or the temperature out of range.

    Source:
        ``COLD``: published or from memory by its row, see the ledger.

    >>> round(temperature_factor(kind="alkaline", temperature=-5), 3)
    0.78
    """
    if kind not in COLD:
        raise InputError("kind", f"kind must be one of {', '.join(COLD)}, given {kind!r}")
    require_between(-20, 60, temperature=temperature)
    return _between(COLD[kind], temperature)


@formula(
    title="Part of the charge given down to the cut-off",
    symbol="k_u",
    symbols={"cutoff_voltage": "U"},
    tex=r"k_\mathrm{u} = \text{table}(U)",
    working="table({cutoff_voltage})",
    validity=(
        "Alkaline cells at a load that empties them in about a day, 20 °C, 0.8 V to 1.3 V a cell; "
        "good to about 0.08. It goes with a capacity that is stated down to 0.8 V a cell."
    ),
    sources=("wetside-cutoff-table", "siegel-alkaline-model"),
)
def alkaline_cutoff_factor(cutoff_voltage: Volt) -> Ratio:
    """Part of an alkaline cell's charge that is used when the load stops at a voltage.

    Args:
        cutoff_voltage: Voltage of one cell at which the load stops, 0.8 to 1.3 V.

    Returns:
        A ratio from 0.30 to 1.

    Raises:
        InputError: If the voltage is out of range.

    Source:
        ``ALKALINE_CUTOFF``: from memory, compared with published values in the ledger.

    >>> round(alkaline_cutoff_factor(cutoff_voltage=1.05), 3)
    0.84
    """
    require_between(0.8, 1.3, cutoff_voltage=cutoff_voltage)
    return _between(ALKALINE_CUTOFF, cutoff_voltage)


@formula(
    title="Energy to be had from a supply",
    symbol="E",
    symbols={
        "capacity": "Q",
        "voltage": "U",
        "usable_fraction": "u",
        "temperature_factor": "k_t",
        "ageing_factor": "k_a",
    },
    tex=r"E = Q \, U \, u \, k_\mathrm{t} \, k_\mathrm{a}",
    working=("{capacity} · {voltage} · {usable_fraction} · {temperature_factor} · {ageing_factor}"),
    validity="Loads no heavier than the one the capacity is stated for; mean voltage of discharge.",
    sources=("cfr-171-8",),
)
def supply_energy(
    capacity: Coulomb,
    voltage: Volt,
    usable_fraction: Ratio,
    temperature_factor: Ratio,
    ageing_factor: Ratio,
) -> Joule:
    """Energy that a battery gives before its load stops.

    Args:
        capacity: Rated charge, C (1 Ah is 3600 C), above zero.
        voltage: Mean voltage during discharge at which the charge is rated; V, above zero. A power
            bank's charge is rated at its cells, not at its socket.
        usable_fraction: Part of the charge given before the load stops, above 0 to 1.
        temperature_factor: Part left at the temperature, above 0 to 1.
        ageing_factor: Part left of a battery that is not new, above 0 to 1.

    Returns:
        Energy in J.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition: charge times mean voltage, reduced by each part that is lost.

    >>> supply_energy(capacity=3600, voltage=3.6, usable_fraction=1,
    ...               temperature_factor=1, ageing_factor=0.5)
    6480.0
    """
    require_positive(
        capacity=capacity,
        voltage=voltage,
        usable_fraction=usable_fraction,
        temperature_factor=temperature_factor,
        ageing_factor=ageing_factor,
    )
    require_between(
        0,
        1,
        usable_fraction=usable_fraction,
        temperature_factor=temperature_factor,
        ageing_factor=ageing_factor,
    )
    return capacity * voltage * usable_fraction * temperature_factor * ageing_factor


@formula(
    title="Power drawn from a supply",
    symbol="P",
    symbols={"load_power": "P_l", "converter_efficiency": "η"},
    tex=r"P = \frac{P_\mathrm{l}}{\eta}",
    working="{load_power} / {converter_efficiency}",
    validity="Efficiency at this load; converters do worse at small ones.",
    sources=("iec-60050-551",),
)
def supply_drain(load_power: Watt, converter_efficiency: Ratio) -> Watt:
    """Power that leaves the battery so that the loads get theirs.

    Args:
        load_power: Mean power of all loads on the supply; W, zero or more.
        converter_efficiency: Output power over input power of the converter between, above 0 to 1.
            A linear regulator's is its output voltage over its input voltage.

    Returns:
        Power in W.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of efficiency.

    >>> supply_drain(load_power=1.7, converter_efficiency=0.85)
    2.0
    """
    require_between(0, inf, load_power=load_power)
    require_positive(converter_efficiency=converter_efficiency)
    require_between(0, 1, converter_efficiency=converter_efficiency)
    return load_power / converter_efficiency


@formula(
    title="Runtime",
    symbol="t",
    symbols={"energy": "E", "drain": "P", "self_discharge": "s"},
    tex=(
        r"t = \frac{1}{\lambda} \ln\left(1 + \frac{\lambda E}{P}\right)"
        r",\quad \lambda = \frac{-\ln(1 - s)}{1\,\text{month}}"
    ),
    working="ln(1 + λ · {energy} / {drain}) / λ, with λ for {self_discharge}",
    validity="Steady mean drain; self-discharge in proportion to what is left. s = 0 gives E / P.",
    sources=("wetside-derivation-runtime",),
)
def runtime(energy: Joule, drain: Watt, self_discharge: PerMonth) -> Second:
    """Time until a supply that also loses charge by itself is empty.

    Args:
        energy: Energy at the start; J, above zero.
        drain: Mean power drawn; W, above zero.
        self_discharge: Part of what is left that is lost in a month without load, 0 to below 1.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        dE/dt = −λE − P solved for E = 0; see the ledger for an integration in time.

    >>> runtime(energy=3600, drain=1, self_discharge=0)
    3600.0
    """
    require_positive(energy=energy, drain=drain)
    require_between(0, 0.999999, self_discharge=self_discharge)
    rate = -log1p(-self_discharge) / MONTH
    return energy / drain if rate == 0 else log1p(rate * energy / drain) / rate


@formula(
    title="Energy left",
    symbol="E",
    symbols={"energy": "E_0", "drain": "P", "self_discharge": "s", "time": "t"},
    tex=(
        r"E = \left(E_0 + \frac{P}{\lambda}\right) e^{-\lambda t} - \frac{P}{\lambda}"
        r",\quad \lambda = \frac{-\ln(1 - s)}{1\,\text{month}}"
    ),
    working="({energy} + {drain} / λ) · exp(−λ · {time}) − {drain} / λ, λ for {self_discharge}",
    validity="As for the runtime; 0 once the supply is empty. s = 0 gives E₀ − P t.",
    sources=("wetside-derivation-runtime",),
)
def energy_left(energy: Joule, drain: Watt, self_discharge: PerMonth, time: Second) -> Joule:
    """Energy left in a supply after a time, zero once it is used up.

    Args:
        energy: Energy at the start; J, above zero.
        drain: Mean power drawn; W, above zero.
        self_discharge: Part of what is left that is lost in a month without load, 0 to below 1.
        time: s, zero or more.

    Returns:
        Energy in J.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        dE/dt = −λE − P; see the ledger for an integration in time.

    >>> energy_left(energy=3600, drain=1, self_discharge=0, time=600)
    3000
    """
    require_positive(energy=energy, drain=drain)
    require_between(0, 0.999999, self_discharge=self_discharge)
    require_between(0, inf, time=time)
    rate = -log1p(-self_discharge) / MONTH
    if rate == 0:
        return max(0.0, energy - drain * time)
    return max(0.0, energy + (energy + drain / rate) * expm1(-rate * time))


def _between(table: Table, x: float) -> float:
    """Read a table between its rows; beyond its last row the last value holds."""
    xs = [row[0] for row in table]
    i = bisect_right(xs, x)
    if i == len(table):
        return table[-1][1]
    (x0, y0), (x1, y1) = table[i - 1], table[i]
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
