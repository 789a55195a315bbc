"""Levels along the chain: from pressure in the water to full scale on the card."""

from math import expm1, log, log10, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.noise import not_negative
from calculators.quantities import (
    Count,
    Decibel,
    Hertz,
    Pascal,
    SensitivityLevel,
    SoundPressureLevel,
    SpectralDensityLevel,
    SystemSensitivityLevel,
    Volt,
    VoltPerRootHertz,
)

LARGEST = 1000.0
"""dB, above any level that means something; keeps powers of ten inside the float range."""


REFERENCE_PRESSURE = 1e-6
"""Pa, of levels in water: ISO 18405."""


def require_level(**arguments: float) -> None:
    """Refuse, by name, any level that no calculation can hold."""
    require_between(-LARGEST, LARGEST, **arguments)


@formula(
    title="Sensitivity behind a gain or a loss",
    symbol="M_1",
    symbols={"sensitivity": "M", "gain": "G"},
    tex=r"M_1 = M + G",
    working="{sensitivity} + ({gain})",
    validity="Where sensitivity and gain are both flat.",
    sources=("fundamentals-sensitivity", "iec-60565-1"),
)
def sensitivity_behind(sensitivity: SensitivityLevel, gain: Decibel) -> SensitivityLevel:
    """Sensitivity level seen from behind one more stage of the chain.

    Args:
        sensitivity: In front of the stage; dB re 1 V/µPa.
        gain: Voltage gain of the stage, a loss below zero; dB.

    Returns:
        dB re 1 V/µPa.

    Raises:
        InputError: If an argument is no usable level.

    Source:
        Gains in dB add.

    >>> sensitivity_behind(sensitivity=-198.0, gain=20.0)
    -178.0
    """
    require_level(sensitivity=sensitivity, gain=gain)
    return sensitivity + gain


@formula(
    title="Full scale at the recorder's input",
    symbol="U_FS",
    symbols={"full_scale": "U_0", "recorder_gain": "g"},
    tex=r"U_\mathrm{FS} = U_0 \, 10^{-g / 20}",
    working="{full_scale} / 10^({recorder_gain} / 20)",
    validity="Peak voltage. A gain that is printed in steps may differ by a decibel: measure it.",
    sources=("ooi-hydrophone-product",),
)
def input_full_scale(full_scale: Volt, recorder_gain: Decibel) -> Volt:
    """Peak voltage at the recorder's input that just reaches full scale, at this gain.

    Args:
        full_scale: The same at a recorder gain of 0 dB; V peak, above zero.
        recorder_gain: As set; dB.

    Returns:
        V peak.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a gain in dB.

    >>> input_full_scale(full_scale=2.0, recorder_gain=20.0)
    0.2
    """
    require_positive(full_scale=full_scale)
    require_level(recorder_gain=recorder_gain)
    return float(full_scale * 10 ** (-recorder_gain / 20))


@formula(
    title="Voltage behind a level in the file",
    symbol="U",
    symbols={"full_scale": "U_FS", "level": "L_FS"},
    tex=r"U = U_\mathrm{FS} \, 10^{L_\mathrm{FS} / 20}",
    working="{full_scale} · 10^({level} / 20)",
    validity="Levels that count from the largest sample: a sine that just fills the scale has "
    "0 dB as peak and −3.01 dB as rms.",
    sources=("ooi-hydrophone-product",),
)
def voltage_of_file_level(full_scale: Volt, level: Decibel) -> Volt:
    """Voltage at the recorder's input that made a level in the file.

    Args:
        full_scale: Peak voltage there that just reaches full scale; V, above zero.
        level: In the file, dB re full scale; peak or rms.

    Returns:
        V, peak for a peak level, rms for an rms level.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a level re full scale.

    >>> voltage_of_file_level(full_scale=2.0, level=-20.0)
    0.2
    """
    require_positive(full_scale=full_scale)
    require_level(level=level)
    return float(full_scale * 10 ** (level / 20))


@formula(
    title="Sensitivity of the whole system",
    symbol="M_s",
    symbols={"sensitivity": "M", "full_scale": "U_FS"},
    tex=r"M_\mathrm{s} = M - 20 \log_{10}\frac{U_\mathrm{FS}}{1\,\mathrm{V}}",
    working="{sensitivity} − 20 · log₁₀({full_scale})",
    validity="Full scale (FS) is the largest sample: 1 in files that count to ±1. "
    "U_FS is a peak voltage at the same place as the sensitivity.",
    sources=("pamguide-calibration", "ooi-hydrophone-product"),
)
def system_sensitivity_level(
    sensitivity: SensitivityLevel, full_scale: Volt
) -> SystemSensitivityLevel:
    """What a pressure of one micropascal makes in the file, in parts of full scale.

    Args:
        sensitivity: Up to the recorder's input; dB re 1 V/µPa.
        full_scale: Peak voltage there that just reaches full scale; V, above zero.

    Returns:
        dB re 1 FS/µPa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Volts a micropascal divided by volts a full scale.

    >>> round(system_sensitivity_level(sensitivity=-180.0, full_scale=0.1), 9)
    -160.0
    """
    require_level(sensitivity=sensitivity)
    require_positive(full_scale=full_scale)
    return sensitivity - 20 * log10(full_scale)


@formula(
    title="Level of the sound that makes a voltage",
    symbol="L",
    symbols={"voltage": "U", "sensitivity": "M"},
    tex=r"L = 20 \log_{10}\frac{U}{1\,\mathrm{V}} - M",
    working="20 · log₁₀({voltage}) − ({sensitivity})",
    validity="A peak voltage gives the zero-to-peak sound pressure level, an rms voltage the "
    "sound pressure level. The two must not be mixed.",
    sources=("iso-18405-terms", "fundamentals-sensitivity"),
)
def sound_level(voltage: Volt, sensitivity: SensitivityLevel) -> SoundPressureLevel:
    """Level in the water that gives a voltage somewhere in the chain.

    Args:
        voltage: Peak or rms, V, above zero.
        sensitivity: Up to the same place; dB re 1 V/µPa.

    Returns:
        dB re 1 µPa: zero-to-peak for a peak voltage, sound pressure level for an rms voltage.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a sensitivity level.

    >>> round(sound_level(voltage=1.0, sensitivity=-180.0), 9)
    180.0
    """
    require_positive(voltage=voltage)
    require_level(sensitivity=sensitivity)
    return 20 * log10(voltage) - sensitivity


@formula(
    title="Sound pressure of a level",
    symbol="p",
    symbols={"level": "L"},
    tex=r"p = 1\,\mathrm{\mu Pa} \cdot 10^{L / 20\,\mathrm{dB}}",
    working="1 µPa · 10^({level} / 20)",
    validity="A zero-to-peak level gives the peak, a sound pressure level the rms value.",
    sources=("iso-18405-terms", "underwater-decibel-page"),
)
def sound_pressure(level: SoundPressureLevel) -> Pascal:
    """Sound pressure in the water, peak or rms as its level is.

    Args:
        level: dB re 1 µPa, within 1000 dB of 0.

    Returns:
        Pa.

    Raises:
        InputError: If the level is out of its range.

    Source:
        Definition of a level.

    >>> round(sound_pressure(level=120.0), 9)
    1.0
    """
    require_level(level=level)
    return float(REFERENCE_PRESSURE * 10 ** (level / 20))


@formula(
    title="Voltage that a sound makes",
    symbol="U",
    symbols={"level": "L", "sensitivity": "M"},
    tex=r"U = 1\,\mathrm{V} \cdot 10^{(L + M) / 20\,\mathrm{dB}}",
    working="1 V · 10^(({level} + ({sensitivity})) / 20)",
    validity="A zero-to-peak level gives the peak, a sound pressure level the rms value.",
    sources=("iso-18405-terms", "fundamentals-sensitivity"),
)
def voltage_of_sound(level: SoundPressureLevel, sensitivity: SensitivityLevel) -> Volt:
    """Voltage somewhere in the chain, peak or rms as the level in the water is.

    Args:
        level: In the water; dB re 1 µPa, within 1000 dB of 0.
        sensitivity: Up to the same place; dB re 1 V/µPa, within 1000 dB of 0.

    Returns:
        V.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a sensitivity level.

    >>> round(voltage_of_sound(level=180.0, sensitivity=-180.0), 9)
    1.0
    """
    require_level(level=level, sensitivity=sensitivity)
    return float(10 ** ((level + sensitivity) / 20))


@formula(
    title="Noise of rounding to bits",
    symbol="U_q",
    symbols={"full_scale": "U_FS", "bits": "N"},
    tex=r"U_\mathrm{q} = \frac{2 U_\mathrm{FS}}{2^N \sqrt{12}}",
    working="2 · {full_scale} / (2^({bits}) · √12)",
    validity="A signal that crosses many steps; spread evenly from zero to half the sample rate. "
    "N need not be whole: effective bits hold the converter's own noise as well.",
    sources=("bennett-1948", "connexions-quantisation"),
)
def quantisation_noise(full_scale: Volt, bits: Count) -> Volt:
    """Noise that rounding to whole steps adds.

    Args:
        full_scale: Peak voltage at full scale; V, above zero.
        bits: Word length, or effective number of bits; 1 to 64.

    Returns:
        V rms, over all frequencies up to half the sample rate.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Error spread evenly over one step: its root mean square is the step over √12.

    >>> round(quantisation_noise(full_scale=1.0, bits=16.0) * 1e6, 4)
    8.8097
    """
    require_positive(full_scale=full_scale)
    require_between(1, 64, bits=bits)
    return float(2 * full_scale / (2**bits * sqrt(12)))


@formula(
    title="Noise of the recording, as a voltage at the recorder's input",
    symbol="U_n",
    symbols={
        "front_end_noise": "e_o",
        "recorder_noise": "e_r",
        "bandwidth": "B",
        "quantisation_noise": "U_q",
    },
    tex=(r"U_\mathrm{n} = \sqrt{(e_\mathrm{o}^2 + e_\mathrm{r}^2) B + U_\mathrm{q}^2}"),
    working="√(({front_end_noise}² + {recorder_noise}²) · {bandwidth} + {quantisation_noise}²)",
    validity="Densities that are means over the band, noises that do not depend on each other; "
    "the rounding noise is counted whole, though a part of it may lie outside the band.",
    sources=("horowitz-hill-2015", "ti-pocket-reference"),
)
def recording_noise(
    front_end_noise: VoltPerRootHertz,
    recorder_noise: VoltPerRootHertz,
    bandwidth: Hertz,
    quantisation_noise: Volt,
) -> Volt:
    """Noise of front end, recorder and rounding together over a band.

    Args:
        front_end_noise: As it arrives at the recorder's input, mean over the band; V/√Hz.
        recorder_noise: Of the recorder, at its input; V/√Hz.
        bandwidth: Hz, above zero.
        quantisation_noise: V rms, zero or more.

    Returns:
        V rms.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Powers of independent noises add.

    >>> round(recording_noise(front_end_noise=3e-9, recorder_noise=4e-9, bandwidth=1e4,
    ...     quantisation_noise=0.0) * 1e9, 6)
    500.0
    """
    not_negative(
        front_end_noise=front_end_noise,
        recorder_noise=recorder_noise,
        quantisation_noise=quantisation_noise,
    )
    require_positive(bandwidth=bandwidth)
    density = front_end_noise * front_end_noise + recorder_noise * recorder_noise
    return sqrt(density * bandwidth + quantisation_noise * quantisation_noise)


@formula(
    title="Mean spectral density level over a band",
    symbol="L_f",
    symbols={"level": "L", "bandwidth": "B"},
    tex=r"L_f = L - 10 \log_{10}\frac{B}{1\,\mathrm{Hz}}",
    working="{level} − 10 · log₁₀({bandwidth})",
    validity="A mean over the band: where the spectrum falls, the density lies above it at the low "
    "end and below it at the high end.",
    sources=("iso-18405-terms", "eco-noise-floor"),
)
def mean_density_level(level: SoundPressureLevel, bandwidth: Hertz) -> SpectralDensityLevel:
    """Level in a band as a mean density a hertz.

    Args:
        level: Sound pressure level in the band; dB re 1 µPa.
        bandwidth: Width of the band; Hz, above zero.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a mean density: mean square divided by bandwidth.

    >>> mean_density_level(level=100.0, bandwidth=10000.0)
    60.0
    """
    require_level(level=level)
    require_positive(bandwidth=bandwidth)
    return level - 10 * log10(bandwidth)


@formula(
    title="Spectral density level inside a band whose level is known",
    symbol="L_f",
    symbols={"level": "L", "band_low": "f_1", "band_high": "f_2", "slope": "s", "frequency": "f"},
    tex=(
        r"L_f = L + s \log_{10}\frac{f}{f_1} - 10 \log_{10}"
        r"\int_{f_1}^{f_2} \left(\frac{x}{f_1}\right)^{s/10} \mathrm{d}x"
    ),
    working="L({level}, {band_low}, {band_high}, {slope}, {frequency})",
    validity="A spectrum that falls or rises evenly, s decibels a decade, between f₁ and f₂; "
    "s from −60 dB to 60 dB. Nothing is said of what lies outside the band.",
    sources=("wetside-derivation-band-slope",),
)
def sloped_density_level(
    level: SoundPressureLevel, band_low: Hertz, band_high: Hertz, slope: Decibel, frequency: Hertz
) -> SpectralDensityLevel:
    """Density at one frequency, from the level in a band and an even slope across it.

    Args:
        level: Sound pressure level in the band; dB re 1 µPa.
        band_low: Lower end of the band; Hz, above zero.
        band_high: Upper end; Hz, above band_low.
        slope: Of the density level; dB a decade, −60 to 60.
        frequency: Hz, inside the band.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The density integrated over the band must give the level.

    >>> round(sloped_density_level(level=100.0, band_low=100.0, band_high=10100.0, slope=0.0,
    ...     frequency=5000.0), 9)
    60.0
    """
    require_level(level=level)
    require_positive(band_low=band_low)
    if not band_low < band_high:
        raise InputError("band_high", f"band_high must be above {band_low!r}, given {band_high!r}")
    require_between(-60, 60, slope=slope)
    require_between(band_low, band_high, frequency=frequency)
    integral = band_low * _power_integral(band_high / band_low, slope / 10)
    return level + slope * log10(frequency / band_low) - 10 * log10(integral)


def sloped_level(
    density: SpectralDensityLevel, band_low: Hertz, band_high: Hertz, slope: Decibel
) -> SoundPressureLevel:
    """Level in a band from the density at its lower end and an even slope; dB re 1 µPa.

    The other way round from ``sloped_density_level``, for adding up curves where no step is shown.

    >>> round(sloped_level(density=60.0, band_low=100.0, band_high=10100.0, slope=0.0), 9)
    100.0
    """
    return density + 10 * log10(band_low * _power_integral(band_high / band_low, slope / 10))


def _power_integral(ratio: float, power: float) -> float:
    """Integral of x to this power from 1 to ``ratio``, exact where the power is close to −1."""
    width = log(ratio)
    grown = (power + 1) * width
    return width if grown == 0 else width * expm1(grown) / grown


@formula(
    title="Dynamic range",
    symbol="D",
    symbols={"clip_level": "L_pk", "noise_floor": "L_n"},
    tex=r"D = L_\mathrm{pk} - 10 \log_{10} 2 - L_\mathrm{n}",
    working="{clip_level} − 10 · log₁₀(2) − {noise_floor}",
    validity="A sine: its sound pressure level lies 3.01 dB below its zero-to-peak level. "
    "Over the band that the noise floor was summed in.",
    sources=("connexions-quantisation", "bennett-1948"),
)
def dynamic_range(clip_level: SoundPressureLevel, noise_floor: SoundPressureLevel) -> Decibel:
    """From the noise floor up to the largest sine that does not clip, both as rms.

    Args:
        clip_level: Zero-to-peak level where the chain clips; dB re 1 µPa.
        noise_floor: Sound pressure level of the noise; dB re 1 µPa.

    Returns:
        dB.

    Raises:
        InputError: If an argument is no usable level.

    Source:
        Root mean square of a sine is its peak over √2.

    >>> round(dynamic_range(clip_level=170.0, noise_floor=80.0), 4)
    86.9897
    """
    require_level(clip_level=clip_level, noise_floor=noise_floor)
    return clip_level - 10 * log10(2) - noise_floor


@formula(
    title="Recorder gain for a peak and its headroom",
    symbol="g",
    symbols={
        "full_scale": "U_0",
        "sensitivity": "M",
        "expected_peak": "L_pk",
        "headroom": "H",
    },
    tex=r"g = 20 \log_{10}\frac{U_0}{1\,\mathrm{V}} - M - L_\mathrm{pk} - H",
    working="20 · log₁₀({full_scale}) − ({sensitivity}) − {expected_peak} − {headroom}",
    validity="Sets the recorder alone: a stage in front of it that clips is not mended by gain.",
    sources=("wetside-derivation-recorder-gain", "ebu-r68"),
)
def recorder_gain_for_peak(
    full_scale: Volt,
    sensitivity: SensitivityLevel,
    expected_peak: SoundPressureLevel,
    headroom: Decibel,
) -> Decibel:
    """Gain of the recorder at which the expected peak stays a headroom below full scale.

    Args:
        full_scale: Peak voltage at the recorder's input for full scale at 0 dB; V, above zero.
        sensitivity: Up to the recorder's input; dB re 1 V/µPa.
        expected_peak: Zero-to-peak level of the loudest sound expected; dB re 1 µPa.
        headroom: dB.

    Returns:
        dB.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Level at full scale set to the expected peak and the headroom, solved for the gain.

    >>> round(recorder_gain_for_peak(full_scale=1.0, sensitivity=-180.0, expected_peak=150.0,
    ...     headroom=10.0), 9)
    20.0
    """
    require_positive(full_scale=full_scale)
    require_level(sensitivity=sensitivity, expected_peak=expected_peak, headroom=headroom)
    return 20 * log10(full_scale) - sensitivity - expected_peak - headroom


@formula(
    title="Level of two sounds together",
    symbol="L",
    symbols={"first": "L_1", "second": "L_2"},
    tex=r"L = 10 \log_{10}\left(10^{L_1 / 10} + 10^{L_2 / 10}\right)",
    working="10 · log₁₀(10^({first} / 10) + 10^({second} / 10))",
    validity="Sounds that have nothing to do with each other, in the same band.",
    sources=("decibel-addition-sheet", "eemua-decibel"),
)
def level_sum(first: SpectralDensityLevel, second: SpectralDensityLevel) -> SpectralDensityLevel:
    """Level of two independent sounds: their powers add, not their decibels.

    Args:
        first: dB re 1 µPa²/Hz.
        second: dB re 1 µPa²/Hz.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is no usable level.

    Source:
        Mean squares of independent signals add.

    >>> round(level_sum(first=60.0, second=60.0), 4)
    63.0103
    """
    require_level(first=first, second=second)
    high, low = max(first, second), min(first, second)
    return high + 10 * log10(1 + 10 ** ((low - high) / 10))
