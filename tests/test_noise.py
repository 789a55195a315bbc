"""Noise of the front end against complex arithmetic, integration and what must be so."""

import math

import pytest
from scipy.constants import Boltzmann
from scipy.integrate import quad

from calculators.cards.noise import FRONT_END_NOISE, PARTS
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas.band_noise import (
    current_band_noise,
    ktc_noise,
    source_band_noise,
    voltage_band_noise,
)
from calculators.formulas.noise import (
    amplifier_voltage_noise,
    bias_noise_resistance,
    equivalent_noise_level,
    loss_noise_resistance,
    noise_before_gain,
    source_impedance,
    thermal_noise_density,
    total_noise,
)
from site_src.examples import load as load_examples
from site_src.paths import DOCS
from tests.test_calculators import texts

# Bias resistance, element capacitance, loss tangent, load capacitance.
SOURCES = [
    (4.7e6, 8.2e-9, 0.004, 492e-12),
    (10e3, 1e-12, 0.0, 0.0),
    (100e9, 10e-6, 1.0, 1e-6),
    (100e6, 150e-12, 0.02, 30e-12),
]


def admittance(source, frequency):
    """Of the node, from its parts, as a complex number."""
    resistance, element, loss, load = source
    omega = 2 * math.pi * frequency
    lossy = 1j * omega * element * complex(1, -loss)
    return 1 / resistance + lossy + 1j * omega * load


@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("frequency", [0.1, 37.0, 1e3, 5e5])
def test_impedance_and_both_real_parts_are_those_of_the_complex_impedance(source, frequency):
    """Independent: one over the complex admittance."""
    resistance, element, loss, load = source
    whole = 1 / admittance(source, frequency)
    impedance = source_impedance(
        frequency=frequency,
        bias_resistance=resistance,
        element_capacitance=element,
        loss_tangent=loss,
        load_capacitance=load,
    )
    bias = bias_noise_resistance(impedance=impedance, bias_resistance=resistance)
    lost = loss_noise_resistance(
        impedance=impedance, frequency=frequency, element_capacitance=element, loss_tangent=loss
    )
    assert impedance == pytest.approx(abs(whole), rel=1e-12)
    # Re Z is a small difference where Z is nearly a capacitor's: so much of |Z| is rounding.
    assert bias + lost == pytest.approx(whole.real, rel=1e-9, abs=1e-14 * abs(whole))


@pytest.mark.parametrize("source", SOURCES)
@pytest.mark.parametrize("band", [(0.01, 1e6), (10.0, 20e3), (999.0, 1000.0)])
def test_the_sums_over_a_band_are_the_integrals_of_the_densities(source, band):
    """Reference library: scipy.integrate.quad over the logarithm of frequency."""
    resistance, element, loss, load = source
    named = {
        "bias_resistance": resistance,
        "element_capacitance": element,
        "loss_tangent": loss,
        "load_capacitance": load,
        "band_low": band[0],
        "band_high": band[1],
    }

    def thermal(x: float) -> float:
        y = admittance(source, math.exp(x))
        return 4 * Boltzmann * 283.15 * y.real / abs(y) ** 2 * math.exp(x)

    def current(x: float) -> float:
        f = math.exp(x)
        return (1 + 300 / f) / abs(admittance(source, f)) ** 2 * f

    ends = tuple(math.log(f) for f in band)
    power = quad(thermal, *ends, epsabs=0, epsrel=1e-10, limit=400)[0]
    assert source_band_noise(**named, temperature=10) == pytest.approx(math.sqrt(power), rel=1e-8)
    squares = quad(current, *ends, epsabs=0, epsrel=1e-10, limit=400)[0]
    answer = current_band_noise(current_noise=1.0, current_noise_corner=300, **named)
    assert answer == pytest.approx(math.sqrt(squares), rel=1e-6)


@pytest.mark.parametrize("part", [1e-15, 1e-12, 1e-9, 1e-7])
@pytest.mark.parametrize("low", [0.03, 2.684494974998637, 440.0, 9e4])
@pytest.mark.parametrize("source", [*SOURCES, (10.68e3, 48.2e-12, 0.159, 0.0)])
def test_a_band_of_next_to_no_width_has_its_density_times_that_width(source, low, part):
    """To a part in 1e15 of all noise there is; rounding once left less than nothing, and no root.

    So narrow a band is tried when the end of a band is solved for.
    """
    resistance, capacitance, loss_tangent, load = source
    high = low * (1 + part)
    answer = source_band_noise(
        bias_resistance=resistance,
        element_capacitance=capacitance,
        loss_tangent=loss_tangent,
        load_capacitance=load,
        band_low=low,
        band_high=high,
        temperature=10,
    )
    y = admittance(source, low)
    power = 4 * Boltzmann * 283.15 * y.real / abs(y) ** 2 * (high - low)
    all_noise = Boltzmann * 283.15 / (capacitance + load)
    assert answer**2 == pytest.approx(power, rel=1e-6, abs=1e-15 * all_noise)


def test_all_noise_of_the_resistor_is_kt_over_c_whatever_its_value():
    """Limit: from nearly zero to nearly infinite frequency, without loss."""
    for resistance in (1e5, 4.7e6, 1e9):
        answer = source_band_noise(
            bias_resistance=resistance,
            element_capacitance=8.2e-9,
            loss_tangent=0,
            load_capacitance=0.5e-9,
            band_low=1e-9,
            band_high=1e15,
            temperature=10,
        )
        assert answer == pytest.approx(ktc_noise(capacitance=8.7e-9, temperature=10), rel=1e-6)


def test_neighbouring_bands_add_up():
    """Powers: 10 Hz to 1 kHz and 1 kHz to 20 kHz are 10 Hz to 20 kHz."""
    named = {"voltage_noise": 5e-9, "noise_corner": 70}
    parts = [
        voltage_band_noise(**named, band_low=low, band_high=high)
        for low, high in ((10, 1e3), (1e3, 20e3))
    ]
    whole = voltage_band_noise(**named, band_low=10, band_high=20e3)
    assert math.hypot(*parts) == pytest.approx(whole, rel=1e-12)


def test_above_the_corner_a_larger_bias_resistor_is_quieter_and_below_it_louder():
    """The trap: with R the noise of R grows in the open, and falls where the element shorts it."""
    values = defaults(FRONT_END_NOISE) | {"voltage_noise": 0.1e-9, "recorder_input_noise": 0.0}
    small = evaluate(FRONT_END_NOISE, values | {"bias_resistance": 1e6, "frequency": 1e3})
    large = evaluate(FRONT_END_NOISE, values | {"bias_resistance": 4e6, "frequency": 1e3})
    assert large["input_noise"] < small["input_noise"]
    parts = [r["bias_share"] ** 0.5 * r["input_noise"] for r in (small, large)]
    assert parts[0] / parts[1] == pytest.approx(2, rel=1e-3)
    far_below = {"frequency": 0.1, "element_capacitance": 100e-12, "cable_capacitance": 0.0}
    open_small = evaluate(FRONT_END_NOISE, values | far_below | {"bias_resistance": 1e6})
    open_large = evaluate(FRONT_END_NOISE, values | far_below | {"bias_resistance": 4e6})
    assert open_large["input_noise"] / open_small["input_noise"] == pytest.approx(2, rel=0.01)
    # Divided by the response it is quieter at every frequency.
    assert open_large["level_at_frequency"] < open_small["level_at_frequency"]


@pytest.mark.parametrize("frequency", [0.1, 20.0, 1e3, 1e6])
def test_the_shares_of_all_sources_add_up_to_one(frequency):
    """The parts are parts of one whole."""
    values = defaults(FRONT_END_NOISE) | {"frequency": frequency}
    results = evaluate(FRONT_END_NOISE, values)
    shares = [results[name.replace("_noise", "_share")] for name in PARTS]
    assert sum(shares) == pytest.approx(1, rel=1e-12)


def test_the_first_answer_stays_at_one_kilohertz():
    """The figure by which chains are compared does not move with the frequency asked about."""
    values = defaults(FRONT_END_NOISE)
    at_kilohertz = evaluate(FRONT_END_NOISE, values | {"frequency": 1e3})
    elsewhere = evaluate(FRONT_END_NOISE, values | {"frequency": 30.0})
    name = "equivalent_noise_level"
    assert at_kilohertz[name] == at_kilohertz["level_at_frequency"] == elsewhere[name]
    assert elsewhere["level_at_frequency"] > elsewhere[name]


def test_gain_hides_the_recorder_and_nothing_else():
    """20 dB of gain leave a hundredth of the recorder's noise power, seen from the input."""
    values = defaults(FRONT_END_NOISE)
    without = evaluate(FRONT_END_NOISE, values)
    with_gain = evaluate(FRONT_END_NOISE, values | {"gain": 20.0})
    recorder = [r["recorder_share"] * r["input_noise"] ** 2 for r in (without, with_gain)]
    others = [(1 - r["recorder_share"]) * r["input_noise"] ** 2 for r in (without, with_gain)]
    assert recorder[0] / recorder[1] == pytest.approx(100)
    assert others[0] == pytest.approx(others[1])
    ratio = with_gain["recorder_noise"] / with_gain["input_noise"]
    assert ratio == pytest.approx(10)


def test_the_level_is_the_noise_over_the_response_over_the_sensitivity():
    """Independent: complex voltage divider, pressure in µPa, by hand."""
    values = defaults(FRONT_END_NOISE) | {"frequency": 6.0}
    results = evaluate(FRONT_END_NOISE, values)
    load = values["cable_capacitance"] + values["input_capacitance"]
    source = (
        values["bias_resistance"],
        values["element_capacitance"],
        values["loss_tangent"],
        load,
    )
    own = 2j * math.pi * 6.0 * source[1] * complex(1, -source[2])
    response = abs(own / admittance(source, 6.0))
    volts_per_micropascal = 10 ** (values["sensitivity_level"] / 20)
    pressure = results["input_noise"] / response / volts_per_micropascal
    assert results["level_at_frequency"] == pytest.approx(20 * math.log10(pressure), abs=1e-9)


def test_the_picture_shows_the_total_above_its_largest_parts():
    """The total is never below a part, and passes through both answers."""
    values = defaults(FRONT_END_NOISE) | {"frequency": 100.0}
    results = evaluate(FRONT_END_NOISE, values)
    plot = FRONT_END_NOISE.plot(values, results, "metric")
    total, *parts = plot.lines
    assert len(parts) == 2
    levels = dict(total.points)
    for part in parts:
        assert all(level <= levels[f] + 1e-9 for f, level in part.points)
    nearest = min(total.points, key=lambda point: abs(math.log(point[0] / 1e3)))
    assert nearest[1] == pytest.approx(results["equivalent_noise_level"], abs=0.2)
    assert "bias resistor" in plot.description or "recorder" in plot.description


def test_the_figures_that_the_example_prints_itself():
    """Independent: 57.2 dB over 100 Hz to 12 kHz per hertz, and two corners by their capacitances.

    Printed in docs/examples/under-ice-noise.md: about 16 dB, some 20 dB, nearly five times.
    """
    page = (DOCS / "examples" / "under-ice-noise.md").read_text(encoding="utf-8")
    per_hertz = 57.2 - 10 * math.log10(12e3 - 100)
    assert "is about 16 dB re 1 µPa²/Hz" in page
    assert per_hertz == pytest.approx(16, abs=0.5)
    examples = load_examples()
    mended = examples["under-ice-noise-mended"].worked.output("equivalent_noise_level")["value"]
    assert "some 20 dB above that" in page
    assert mended - per_hertz == pytest.approx(20, abs=2.5)
    first, tarn = (
        examples[name].worked.output("input_corner")["value"]
        for name in ("under-ice-noise-first", "tarn-noise")
    )
    assert "nearly five times lower" in page
    assert 4.5 < first / (tarn * 4.7e6 / 220e3) < 5


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: thermal_noise_density(resistance=-1, temperature=20), "resistance"),
        (lambda: thermal_noise_density(resistance=1, temperature=-274), "temperature"),
        (lambda: thermal_noise_density(resistance=math.nan, temperature=20), "resistance"),
        (
            lambda: loss_noise_resistance(
                impedance=1, frequency=1, element_capacitance=1e-9, loss_tangent=-0.01
            ),
            "loss_tangent",
        ),
        (
            lambda: source_impedance(
                frequency=0,
                bias_resistance=1,
                element_capacitance=1,
                loss_tangent=0,
                load_capacitance=0,
            ),
            "frequency",
        ),
        (
            lambda: amplifier_voltage_noise(voltage_noise=1e-9, noise_corner=-1, frequency=1),
            "noise_corner",
        ),
        (
            lambda: voltage_band_noise(
                voltage_noise=1e-9, noise_corner=1, band_low=100, band_high=10
            ),
            "band_high",
        ),
        (lambda: ktc_noise(capacitance=0, temperature=20), "capacitance"),
        (lambda: noise_before_gain(noise=math.inf, gain=0), "noise"),
        (
            lambda: equivalent_noise_level(noise=0, transfer_level=0, sensitivity_level=-190),
            "noise",
        ),
        (
            lambda: total_noise(
                bias_noise=1, loss_noise=1, voltage_noise=-1, current_noise=1, recorder_noise=1
            ),
            "voltage_noise",
        ),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name):
    """The formula names the argument and the rule."""
    with pytest.raises(InputError, match=f"^{name} must be") as refused:
        call()
    assert refused.value.name == name


@pytest.mark.parametrize(
    ("name", "text", "accepted"),
    [
        ("loss_tangent", "-0.02", "0 to 1"),
        ("bias_resistance", "0 MΩ", "10 kΩ to 100 GΩ"),
        ("voltage_noise", "0 nV/√Hz", "100 pV/√Hz to 10 µV/√Hz"),
        ("element_capacitance", "-8 nF", "1 pF to 10 µF"),
        ("frequency", "0 Hz", "0.1 Hz to 1 MHz"),
    ],
)
def test_an_impossible_input_is_refused_with_the_accepted_range(name, text, accepted):
    """The form names field, value and what is accepted."""
    with pytest.raises(FormError) as refused:
        read(FRONT_END_NOISE, texts(FRONT_END_NOISE) | {name: text}, {}, "metric")
    (error,) = refused.value.errors
    assert error.name == name
    assert accepted.replace(" ", "") in "".join(error.message.split())


def test_a_wrong_unit_is_refused():
    """Noise is a density: volts alone are not."""
    fields = texts(FRONT_END_NOISE) | {"voltage_noise": "5 nV"}
    with pytest.raises(FormError) as refused:
        read(FRONT_END_NOISE, fields, {}, "metric")
    assert refused.value.errors[0].name == "voltage_noise"


@pytest.mark.parametrize("band", [(20e3, 10.0), (1e3, 1e3)])
def test_a_band_upside_down_or_empty_is_refused_with_both_ends_named(band):
    """Nothing is turned round in silence."""
    low, high = band
    with pytest.raises(InputError, match="The band must end above where it begins") as refused:
        evaluate(FRONT_END_NOISE, defaults(FRONT_END_NOISE) | {"band_from": low, "band_to": high})
    assert refused.value.name == "band_to"
