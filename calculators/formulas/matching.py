"""Sound through a layer: water, resin, what lies behind, and a film of gas that should not be."""

from cmath import exp
from math import e, floor, log, log1p, log10, pi

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Decibel,
    DecibelPerMetre,
    Hertz,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Pascal,
    PascalSecondPerMetre,
    Ratio,
)

DECIBELS_PER_NEPER = 20 * log10(e)

MOST_ATTENUATION: DecibelPerMetre = 1e6


@formula(
    title="Acoustic impedance",
    symbol="Z",
    symbols={"density": "ρ", "sound_speed": "c"},
    tex=r"Z = \rho c",
    working="{density} · {sound_speed}",
    validity="Plane waves in a medium without much loss.",
    sources=("kinsler-2000",),
)
def acoustic_impedance(
    density: KilogramPerCubicMetre, sound_speed: MetrePerSecond
) -> PascalSecondPerMetre:
    """Pressure that goes with a particle velocity of 1 m/s in a plane wave.

    Args:
        density: kg/m³, above zero.
        sound_speed: Of the longitudinal wave; m/s, above zero.

    Returns:
        Characteristic acoustic impedance in Pa·s/m.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of the characteristic impedance of a medium.

    >>> acoustic_impedance(density=1000, sound_speed=1480)
    1480000
    """
    require_positive(density=density, sound_speed=sound_speed)
    return density * sound_speed


@formula(
    title="Reflection of pressure at an interface",
    symbol="R",
    symbols={"front_impedance": "Z_1", "back_impedance": "Z_2"},
    tex=r"R = \frac{Z_2 - Z_1}{Z_2 + Z_1}",
    working="({back_impedance} − {front_impedance}) / ({back_impedance} + {front_impedance})",
    validity="A plane wave straight onto a wide, flat interface.",
    sources=("kinsler-2000", "impedance-page"),
)
def pressure_reflection(
    front_impedance: PascalSecondPerMetre, back_impedance: PascalSecondPerMetre
) -> Ratio:
    """Reflected over incident pressure; below zero where the reflection is upside down.

    Args:
        front_impedance: Of the medium that the sound comes from; Pa·s/m, above zero.
        back_impedance: Of the medium that it meets; Pa·s/m, above zero.

    Returns:
        Ratio, −1 to 1.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Pressure and particle velocity are the same on both sides.

    >>> round(pressure_reflection(front_impedance=1.5e6, back_impedance=3e6), 4)
    0.3333
    """
    require_positive(front_impedance=front_impedance, back_impedance=back_impedance)
    return (back_impedance - front_impedance) / (back_impedance + front_impedance)


@formula(
    title="Loss at an interface",
    symbol="L",
    symbols={"front_impedance": "Z_1", "back_impedance": "Z_2"},
    tex=r"L = -10 \log_{10} \frac{4 Z_1 Z_2}{(Z_1 + Z_2)^2}",
    working=(
        "−10 · log₁₀(4 · {front_impedance} · {back_impedance}"
        " / ({front_impedance} + {back_impedance})²)"
    ),
    validity="Energy of a plane wave straight onto a wide, flat interface.",
    sources=("kinsler-2000",),
)
def interface_loss(
    front_impedance: PascalSecondPerMetre, back_impedance: PascalSecondPerMetre
) -> Decibel:
    """Energy that does not pass an interface, as a loss in dB.

    Args:
        front_impedance: Of the medium that the sound comes from; Pa·s/m, above zero.
        back_impedance: Of the medium that it meets; Pa·s/m, above zero.

    Returns:
        Loss in dB, zero or above.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        The part of the energy that is not reflected: one less the square of the reflection.

    >>> round(interface_loss(front_impedance=1.5e6, back_impedance=2.9e6), 4)
    0.4636
    """
    require_positive(front_impedance=front_impedance, back_impedance=back_impedance)
    ratio = front_impedance / back_impedance
    # (1 + r)² / 4r written as 1 + (1 − r)² / 4r: no digits are lost where the two are alike.
    return 10 / log(10) * log1p((1 - ratio) ** 2 / (4 * ratio))


@formula(
    title="Frequency at which a layer is a quarter wave thick",
    symbol="f",
    symbols={"sound_speed": "c", "thickness": "d"},
    tex=r"f = \frac{c}{4 d}",
    working="{sound_speed} / (4 · {thickness})",
    validity=(
        "A flat layer. It is half a wave thick at twice the frequency, and quarter and half waves "
        "follow each other from there on."
    ),
    sources=("kinsler-2000",),
)
def quarter_wave_frequency(sound_speed: MetrePerSecond, thickness: Metre) -> Hertz:
    """Lowest frequency at which a layer between two like media loses most.

    Args:
        sound_speed: In the layer; m/s, above zero.
        thickness: Of the layer; m, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Wavelength is speed over frequency.

    >>> quarter_wave_frequency(sound_speed=1600, thickness=0.004)
    100000.0
    """
    require_positive(sound_speed=sound_speed, thickness=thickness)
    return sound_speed / (4 * thickness)


@formula(
    title="Loss through a layer",
    symbol="L",
    symbols={
        "frequency": "f",
        "front_impedance": "Z_1",
        "layer_density": "ρ",
        "layer_sound_speed": "c",
        "thickness": "d",
        "attenuation": "a",
        "attenuation_frequency": "f_a",
        "back_impedance": "Z_3",
    },
    tex=(
        r"L = a \frac{f}{f_\mathrm{a}} d + 10 \log_{10} \frac{Z_3}{Z_1}"
        r" + 20 \log_{10} \frac{1}{4} \left| \left( 1 + \frac{Z_1}{Z} \right)"
        r" \left( 1 + \frac{Z}{Z_3} \right) + \left( 1 - \frac{Z_1}{Z} \right)"
        r" \left( 1 - \frac{Z}{Z_3} \right) e^{-2 i k d} \right|, \quad"
        r" Z = \frac{2 \pi f \rho}{k}, \quad k = \frac{2 \pi f}{c}"
        r" - i \frac{a f / f_\mathrm{a}}{20 \log_{10} e}"
    ),
    working=(
        "L({frequency}; {front_impedance} | {layer_density}, {layer_sound_speed}, {thickness}, "
        "{attenuation} at {attenuation_frequency} | {back_impedance})"
    ),
    validity=(
        "A plane wave straight onto a wide, flat layer that carries no shear wave. Attenuation "
        "grows in proportion to frequency, as in most polymers."
    ),
    sources=("kinsler-2000", "ono-2020"),
)
def layer_loss(
    frequency: Hertz,
    front_impedance: PascalSecondPerMetre,
    layer_density: KilogramPerCubicMetre,
    layer_sound_speed: MetrePerSecond,
    thickness: Metre,
    attenuation: DecibelPerMetre,
    attenuation_frequency: Hertz,
    back_impedance: PascalSecondPerMetre,
) -> Decibel:
    """Energy that does not come through a layer between two media, as a loss in dB.

    Args:
        frequency: Hz, above zero.
        front_impedance: Of the medium that the sound comes from; Pa·s/m, above zero.
        layer_density: kg/m³, above zero.
        layer_sound_speed: m/s, above zero.
        thickness: Of the layer; m, above zero.
        attenuation: In the layer; dB/m, 0 to 1e6.
        attenuation_frequency: At which the attenuation is stated; Hz, above zero.
        back_impedance: Of the medium behind the layer; Pa·s/m, above zero.

    Returns:
        Loss in dB; without attenuation zero or above.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Waves both ways in the layer, pressure and velocity continuous at both faces. Written with
        the wave that goes forward as a factor, so that a thick layer overflows nothing.

    >>> round(layer_loss(frequency=50e3, front_impedance=1.5e6, layer_density=1160,
    ...     layer_sound_speed=2500, thickness=0.01, attenuation=0, attenuation_frequency=1e6,
    ...     back_impedance=1.5e6), 4)
    1.624
    """
    require_positive(
        frequency=frequency,
        front_impedance=front_impedance,
        layer_density=layer_density,
        layer_sound_speed=layer_sound_speed,
        thickness=thickness,
        attenuation_frequency=attenuation_frequency,
        back_impedance=back_impedance,
    )
    require_between(0, MOST_ATTENUATION, attenuation=attenuation)
    angular = 2 * pi * frequency
    here = attenuation * frequency / attenuation_frequency
    wave_number = angular / layer_sound_speed - 1j * here / DECIBELS_PER_NEPER
    layer = angular * layer_density / wave_number
    front, back = front_impedance / layer, layer / back_impedance
    round_trip = exp(-2j * wave_number * thickness)
    sum_of_waves = abs((1 + front) * (1 + back) + (1 - front) * (1 - back) * round_trip) / 4
    mismatch = 10 * log10(back_impedance / front_impedance)
    return here * thickness + mismatch + 20 * log10(sum_of_waves)


def worst_frequencies(highest: Hertz, sound_speed: MetrePerSecond, thickness: Metre) -> list[Hertz]:
    """Where a layer can lose most up to ``highest``: there, and at its last quarter and half wave.

    Between these the loss rises or falls steadily, and absorption makes the last the worst.

    >>> worst_frequencies(highest=350e3, sound_speed=1600, thickness=0.004)
    [350000.0, 300000.0, 200000.0]
    """
    quarter = quarter_wave_frequency(sound_speed=sound_speed, thickness=thickness)
    last = floor(highest / quarter)
    return [highest, *(n * quarter for n in (last, last - 1) if n > 0)]


@formula(
    title="Frequency at which a film of gas costs 3 dB",
    symbol="f_h",
    symbols={
        "film_thickness": "h",
        "gas_stiffness": "K",
        "front_impedance": "Z_1",
        "back_impedance": "Z_3",
    },
    tex=r"f_\mathrm{h} = \frac{K}{2 \pi h} \, \frac{Z_1 + Z_3}{Z_1 Z_3}",
    working=(
        "{gas_stiffness} / (2π · {film_thickness}) · ({front_impedance} + {back_impedance})"
        " / ({front_impedance} · {back_impedance})"
    ),
    validity=(
        "A film as wide as what lies behind it, thinner than a twentieth of the wavelength in the "
        "gas: 0.1 mm up to 170 kHz."
    ),
    sources=("kinsler-2000", "wetside-derivation-gas-film"),
)
def film_corner(
    film_thickness: Metre,
    gas_stiffness: Pascal,
    front_impedance: PascalSecondPerMetre,
    back_impedance: PascalSecondPerMetre,
) -> Hertz:
    """Frequency from which on a film of gas keeps more than half of the energy back.

    Args:
        film_thickness: m, above zero.
        gas_stiffness: Bulk modulus of the gas; Pa, above zero.
        front_impedance: Of the medium that the sound comes from; Pa·s/m, above zero.
        back_impedance: Of what lies behind the film; Pa·s/m, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        The film is a spring across the wave: pressure is the same on both sides, velocity is not.

    >>> round(film_corner(film_thickness=1e-4, gas_stiffness=141855,
    ...     front_impedance=1.5e6, back_impedance=1.5e6), 1)
    301.0
    """
    require_positive(
        film_thickness=film_thickness,
        gas_stiffness=gas_stiffness,
        front_impedance=front_impedance,
        back_impedance=back_impedance,
    )
    admittance = 1 / front_impedance + 1 / back_impedance
    return gas_stiffness * admittance / (2 * pi * film_thickness)


@formula(
    title="Loss at a film of gas",
    symbol="L",
    symbols={"frequency": "f", "corner": "f_h"},
    tex=r"L = 10 \log_{10} \left( 1 + \left( \frac{f}{f_\mathrm{h}} \right)^2 \right)",
    working="10 · log₁₀(1 + ({frequency} / {corner})²)",
    validity="As for the frequency at which the film costs 3 dB; beside the loss without the film.",
    sources=("kinsler-2000", "wetside-derivation-gas-film"),
)
def film_loss(frequency: Hertz, corner: Hertz) -> Decibel:
    """Energy that a film of gas keeps back, as a loss in dB over that without the film.

    Args:
        frequency: Hz, above zero.
        corner: At which the film costs 3 dB; Hz, above zero.

    Returns:
        Loss in dB, above zero.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        A spring across the wave.

    >>> round(film_loss(frequency=10e3, corner=300), 2)
    30.46
    """
    require_positive(frequency=frequency, corner=corner)
    return 10 * log10(1 + (frequency / corner) ** 2)


@formula(
    title="Level that a closed gap of gas lets through",
    symbol="ΔL",
    symbols={
        "gap_thickness": "h",
        "gas_stiffness": "K",
        "shear_modulus": "G",
        "bulk_modulus": "B",
        "element_diameter": "D",
        "coat_thickness": "t",
        "shape": "shape",
    },
    tex=(
        r"\Delta L = -20 \log_{10} \left( 1 + (1 - \xi) \frac{2 h S}{K D} \right)"
        r",\quad \xi = \left( \frac{D}{D + 2 t} \right)^n,\quad"
        r" (n, S) = \begin{cases} 2, \ \frac{2 G}{1 + \xi G / (B + G / 3)} & \text{tube} \\"
        r" 3, \ \frac{4 G}{1 + 4 \xi G / (3 B)} & \text{sphere} \end{cases}"
    ),
    working=(
        "ΔL({gap_thickness}, {gas_stiffness}; {shear_modulus}, {bulk_modulus};"
        " {element_diameter}, {coat_thickness}; {shape})"
    ),
    validity=(
        "A long tube, or a sphere, with gas all round it in a coat of even thickness, far below "
        "every resonance. The element counts as rigid: in stiff epoxy a ceramic tube with a wall "
        "of a seventh of its radius gives way too, and 2 dB more gets through."
    ),
    sources=("wetside-derivation-gas-gap",),
)
def gap_level(
    gap_thickness: Metre,
    gas_stiffness: Pascal,
    shear_modulus: Pascal,
    bulk_modulus: Pascal,
    element_diameter: Metre,
    coat_thickness: Metre,
    shape: str,
) -> Decibel:
    """Pressure on an element that its coat has let go of all round, over that without the gap.

    Args:
        gap_thickness: m, above zero.
        gas_stiffness: Bulk modulus of the gas; Pa, above zero.
        shear_modulus: Of the coat; Pa, zero for a liquid.
        bulk_modulus: Of the coat; Pa, above zero.
        element_diameter: m, above zero.
        coat_thickness: m, above zero.
        shape: "tube" (long: the coat gives way across its axis only) or "sphere".

    Returns:
        Level in dB, zero or below.

    Raises:
        InputError: If an argument is out of its range, or the shape is not known.

    Source:
        The coat holds itself up by its shear, as a vault does, and the soft gas is pressed only as
        far as the vault gives way: Lamé's displacement of a thick wall.

    >>> coat = dict(gap_thickness=1e-4, gas_stiffness=141855, shear_modulus=4e8,
    ...     bulk_modulus=1e15, element_diameter=0.022, coat_thickness=10)
    >>> round(gap_level(**coat, shape="tube"), 1), round(gap_level(**coat, shape="sphere"), 1)
    (-34.4, -40.3)
    """
    require_positive(
        gap_thickness=gap_thickness,
        gas_stiffness=gas_stiffness,
        bulk_modulus=bulk_modulus,
        element_diameter=element_diameter,
        coat_thickness=coat_thickness,
    )
    require_between(0, 1e12, shear_modulus=shear_modulus)
    ratio = element_diameter / (element_diameter + 2 * coat_thickness)
    if shape == "tube":
        share = ratio**2
        stiffness = (
            2 * shear_modulus / (1 + share * shear_modulus / (bulk_modulus + shear_modulus / 3))
        )
    elif shape == "sphere":
        share = ratio**3
        stiffness = 4 * shear_modulus / (1 + 4 / 3 * share * shear_modulus / bulk_modulus)
    else:
        raise InputError("shape", f"shape must be tube or sphere, given {shape!r}")
    held = (1 - share) * 2 * gap_thickness * stiffness / (gas_stiffness * element_diameter)
    return -20 * log10(1 + held)
