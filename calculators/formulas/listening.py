"""How far off a sound is heard: the passive sonar equation for one hydrophone in shallow water."""

from math import inf, log, log10

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.levels import require_level
from calculators.quantities import (
    Decibel,
    DecibelPerMetre,
    Hertz,
    Metre,
    PropagationLoss,
    Ratio,
    SoundPressureLevel,
    SourceLevel,
    SpectralDensityLevel,
)

NEAREST, FARTHEST = 0.01, 1e6
"""m, between which a range is looked for."""


@formula(
    title="Level over a band",
    symbol="L_B",
    symbols={"density_level": "L_f", "bandwidth": "B"},
    tex=r"L_\mathrm{B} = L_f + 10 \log_{10}\frac{B}{1\,\mathrm{Hz}}",
    working="{density_level} + 10 · log₁₀({bandwidth} / 1 Hz)",
    validity="A spectral density that is even over the band, or its mean.",
    sources=("iso-18405-terms", "sonar-slides"),
)
def band_level(density_level: SpectralDensityLevel, bandwidth: Hertz) -> SoundPressureLevel:
    """Level of a noise over a band.

    Args:
        density_level: dB re 1 µPa²/Hz.
        bandwidth: Hz, above zero.

    Returns:
        dB re 1 µPa.

    Raises:
        InputError: If an argument is no usable level or not above zero.

    Source:
        Mean squares add over the band.

    >>> band_level(density_level=30.0, bandwidth=10_000.0)
    70.0
    """
    require_level(density_level=density_level)
    require_positive(bandwidth=bandwidth)
    return density_level + 10 * log10(bandwidth)


@formula(
    title="Transition range",
    symbol="r_t",
    symbols={"water_depth": "H", "transition_ratio": "k"},
    tex=r"r_\mathrm{t} = k H",
    working="{transition_ratio} · {water_depth}",
    validity="Sound that meets the bottom at less than an angle ψ is thrown back, steeper sound "
    "is lost: k = 1/(2ψ), ψ in radians. 1 for sand, where ψ is about 28°; 0.3 where all is "
    "thrown back; more over mud.",
    sources=("wetside-derivation-transition",),
)
def transition_range(water_depth: Metre, transition_ratio: Ratio) -> Metre:
    """Where spreading between surface and bottom takes over from spreading in all directions.

    Args:
        water_depth: m, above zero.
        transition_ratio: Above zero.

    Returns:
        Range in m.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Power through a sphere, as far as the bottom throws it back, over that through a cylinder.

    >>> transition_range(water_depth=4, transition_ratio=1.5)
    6.0
    """
    require_positive(water_depth=water_depth, transition_ratio=transition_ratio)
    return transition_ratio * water_depth


@formula(
    title="Propagation loss",
    symbol="N_PL",
    symbols={
        "distance": "r",
        "transition": "r_t",
        "excess_loss": "e",
        "absorption": "α",
    },
    tex=(
        r"N_\mathrm{PL} = \begin{cases} 20 \log_{10} r + \alpha r & r \le r_\mathrm{t} \\"
        r" 20 \log_{10} r_\mathrm{t} + (10 + e) \log_{10}\dfrac{r}{r_\mathrm{t}} + \alpha r"
        r" & r > r_\mathrm{t} \end{cases}"
    ),
    working=(
        "20 · log₁₀(min({distance}, {transition}) / 1 m)"
        " + (10 + {excess_loss}) · log₁₀(max(1, {distance} / {transition}))"
        " + {absorption} · {distance}"
    ),
    validity="On the average over depth and over some wavelengths of range, above the cut-off of "
    "the depth. e is 0 where nothing is lost at surface and bottom, 5 by the rule of 15 log r, "
    "10 where it goes on as in open water.",
    sources=("dosits-spreading", "six-decibel-page", "line-source-page", "mediterranean-decay"),
)
def propagation_loss(
    distance: Metre, transition: Metre, excess_loss: Decibel, absorption: DecibelPerMetre
) -> PropagationLoss:
    """How much lower than the source level the sound has become.

    Args:
        distance: m, above zero.
        transition: Transition range; m, above zero.
        excess_loss: Over that of a cylinder, for a tenfold range; dB, 0 to 60.
        absorption: dB/m, 0 to 10.

    Returns:
        dB re 1 m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Spherical spreading, then cylindrical spreading with losses at bottom and surface.

    >>> propagation_loss(distance=1000, transition=10, excess_loss=5, absorption=0.001)
    51.0
    """
    require_positive(distance=distance, transition=transition)
    require_between(0, 60, excess_loss=excess_loss)
    require_between(0, 10, absorption=absorption)
    near = 20 * log10(min(distance, transition))
    far = (10 + excess_loss) * log10(max(1.0, distance / transition))
    return near + far + absorption * distance


@formula(
    title="Level at the hydrophone",
    symbol="L_p",
    symbols={"source_level": "L_S", "propagation_loss": "N_PL"},
    tex=r"L_p = L_\mathrm{S} - N_\mathrm{PL}",
    working="{source_level} − {propagation_loss}",
    validity="Far from the source against its size and the wavelength. Of the same kind as the "
    "source level: rms stays rms, peak stays peak.",
    sources=("iso-18405-terms", "sonar-slides"),
)
def received_level(
    source_level: SourceLevel, propagation_loss: PropagationLoss
) -> SoundPressureLevel:
    """What is left of a sound at the hydrophone.

    Args:
        source_level: dB re 1 µPa·m.
        propagation_loss: dB re 1 m.

    Returns:
        dB re 1 µPa.

    Raises:
        InputError: If an argument is no usable level.

    Source:
        Definition of the propagation loss.

    >>> received_level(source_level=130.0, propagation_loss=50.0)
    80.0
    """
    require_level(source_level=source_level, propagation_loss=propagation_loss)
    return source_level - propagation_loss


@formula(
    title="Propagation loss that may be",
    symbol="N_max",
    symbols={"source_level": "L_S", "noise_level": "L_N", "wanted_margin": "M"},
    tex=r"N_\mathrm{max} = L_\mathrm{S} - L_\mathrm{N} - M",
    working="{source_level} − {noise_level} − {wanted_margin}",
    validity="One hydrophone that hears all round. The trade calls it the figure of merit.",
    sources=("sonar-slides",),
)
def allowed_loss(
    source_level: SourceLevel, noise_level: SoundPressureLevel, wanted_margin: Decibel
) -> PropagationLoss:
    """How much may be lost before the sound sinks to the margin over the noise.

    Args:
        source_level: dB re 1 µPa·m.
        noise_level: In the band of the sound; dB re 1 µPa.
        wanted_margin: By how much the sound must rise above the noise; dB.

    Returns:
        dB re 1 m.

    Raises:
        InputError: If an argument is no usable level.

    Source:
        Passive sonar equation, as in [sonar-slides].

    >>> allowed_loss(source_level=130.0, noise_level=70.0, wanted_margin=10.0)
    50.0
    """
    require_level(source_level=source_level, noise_level=noise_level, wanted_margin=wanted_margin)
    return source_level - noise_level - wanted_margin


@formula(
    title="Signal excess",
    symbol="ΔL",
    symbols={"received_level": "L_p", "noise_level": "L_N", "wanted_margin": "M"},
    tex=r"\Delta L = L_p - L_\mathrm{N} - M",
    working="{received_level} − {noise_level} − {wanted_margin}",
    validity="Above zero: heard with the margin that is wanted.",
    sources=("sonar-slides",),
)
def signal_excess(
    received_level: SoundPressureLevel, noise_level: SoundPressureLevel, wanted_margin: Decibel
) -> Decibel:
    """By how much a sound lies above what is needed.

    Args:
        received_level: dB re 1 µPa.
        noise_level: dB re 1 µPa.
        wanted_margin: dB.

    Returns:
        dB.

    Raises:
        InputError: If an argument is no usable level.

    Source:
        Passive sonar equation, as in [sonar-slides].

    >>> signal_excess(received_level=80.0, noise_level=60.0, wanted_margin=6.0)
    14.0
    """
    require_level(
        received_level=received_level, noise_level=noise_level, wanted_margin=wanted_margin
    )
    return received_level - noise_level - wanted_margin


@formula(
    title="Listening range",
    symbol="r",
    symbols={
        "allowed_loss": "N_max",
        "transition": "r_t",
        "excess_loss": "e",
        "absorption": "α",
    },
    tex=r"N_\mathrm{PL}(r) = N_\mathrm{max} \quad \text{solved for } r",
    working="solution of N_PL(r, {transition}, {excess_loss}, {absorption}) = {allowed_loss}",
    validity="From 1 cm to 1000 km; refused beyond. The loss grows with range, so that there is "
    "one solution.",
    sources=("six-decibel-page", "newton-range-page"),
)
def listening_range(
    allowed_loss: PropagationLoss,
    transition: Metre,
    excess_loss: Decibel,
    absorption: DecibelPerMetre,
) -> Metre:
    """Range at which the propagation loss has grown to what may be.

    Args:
        allowed_loss: dB re 1 m.
        transition: Transition range; m, above zero.
        excess_loss: Over that of a cylinder, for a tenfold range; dB, 0 to 60.
        absorption: dB/m, 0 to 10.

    Returns:
        Range in m.

    Raises:
        InputError: If an argument is out of its range, or the range is below 1 cm or beyond
            1000 km.

    Source:
        Propagation loss, solved by Newton's method over decades of range.

    >>> round(listening_range(51.0, transition=10, excess_loss=5, absorption=0.001), 6)
    1000.0
    """
    require_level(allowed_loss=allowed_loss)
    require_positive(transition=transition)
    require_between(0, 60, excess_loss=excess_loss)
    require_between(0, 10, absorption=absorption)
    edge, slope = log10(transition), 10 + excess_loss

    def loss(decades: float) -> float:
        spread = 20 * decades if decades <= edge else 20 * edge + slope * (decades - edge)
        reach: float = 10.0**decades
        return spread + absorption * reach

    near, far = log10(NEAREST), log10(FARTHEST)
    if not loss(near) <= allowed_loss <= loss(far):
        raise InputError(
            "allowed_loss", f"allowed_loss must give a range of 1 cm to 1000 km: {allowed_loss!r}"
        )
    # Beside its bend the loss is convex: from beyond the answer every step comes nearer and none
    # overshoots, until what is left is rounding. Without absorption the answer lies beyond.
    base, slope = (0.0, 20.0) if allowed_loss <= loss(edge) else (20 * edge - slope * edge, slope)
    decades, ahead = inf, min(far, (allowed_loss - base) / slope)
    while ahead < decades:
        decades = ahead
        absorbed: float = absorption * 10.0**decades
        rest = base + slope * decades + absorbed - allowed_loss
        ahead = decades - rest / (slope + log(10) * absorbed)
    return float(10**decades)
