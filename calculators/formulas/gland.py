"""An O-ring in its groove: how far it is stretched, squeezed, and how full the groove is."""

from math import inf, pi, sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Celsius, Metre, PerKelvin, Ratio

MEASURED_TO = 0.25
"""The published curve of the loss of section ends at this stretch."""


@formula(
    title="Stretch of a ring",
    symbol="s",
    symbols={"free_diameter": "d", "fitted_diameter": "D"},
    tex=r"s = \frac{D - d}{d}",
    working="({fitted_diameter} − {free_diameter}) / {free_diameter}",
    validity="The inner diameter on a floor or an inner wall, or the outer one in an outer wall; "
    "below zero the ring is pressed together, or lies loose.",
    sources=("seal-guide-dimensions", "groove-advice"),
)
def stretch(free_diameter: Metre, fitted_diameter: Metre) -> Ratio:
    """How much longer a ring is made by what it lies on.

    Args:
        free_diameter: Of the ring by itself, m, above zero.
        fitted_diameter: Of what it lies against, m, above zero.

    Returns:
        Ratio: 0.02 is 2 % longer.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of the trade: inner diameter over inner diameter.

    >>> round(stretch(free_diameter=0.1, fitted_diameter=0.103), 4)
    0.03
    """
    require_positive(free_diameter=free_diameter, fitted_diameter=fitted_diameter)
    return (fitted_diameter - free_diameter) / free_diameter


@formula(
    title="Section of a stretched ring, at constant volume",
    symbol="d₂′",
    symbols={"section": "d_2", "stretch": "s"},
    tex=r"d_2' = \frac{d_2}{\sqrt{1 + s}}",
    working="{section} / √(1 + {stretch})",
    validity="The section stays round; a ring much wider than its section, else too thin by up "
    "to a few per cent.",
    sources=("seal-guide-squeeze",),
)
def stretched_section(section: Metre, stretch: Ratio) -> Metre:
    """Thickness of a stretched ring whose volume does not change.

    Args:
        section: Thickness of the free ring, m, above zero.
        stretch: Above −1.

    Returns:
        Thickness, m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The same volume over a longer ring.

    >>> round(1000 * stretched_section(section=3.53e-3, stretch=0.05), 4)
    3.4449
    """
    require_positive(section=section)
    require_positive(length=1 + stretch)
    return section / sqrt(1 + stretch)


@formula(
    title="Section of a stretched ring, as measured",
    symbol="d₂′",
    symbols={"section": "d_2", "stretch": "s"},
    tex=(
        r"d_2' = d_2 \left(1 - \frac{R}{100}\right), \quad x = 100\,s, \quad R = \begin{cases}"
        r"-0.005 + 1.19 x - 0.19 x^2 - 0.001 x^3 + 0.008 x^4 & x \le 3 \\"
        r"0.56 + 0.59 x - 0.0046 x^2 & 3 < x \le 25 \end{cases}"
    ),
    working="{section} · (1 − R({stretch}) / 100)",
    validity="Stretch of 0 to 25 %; beyond that the volume is kept from 25 % on. The second part "
    "starts 0.2 points below the end of the first, which counts until it is passed.",
    sources=("stretch-curve",),
)
def measured_section(section: Metre, stretch: Ratio) -> Metre:
    """Height of a stretched ring by a published curve, which loses more than constant volume.

    The part that lies on the floor flattens, so that less of it stands up to be squeezed.

    Args:
        section: Thickness of the free ring, m, above zero.
        stretch: 0 or more.

    Returns:
        Height, m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Two polynomials fitted to measurements.

    >>> round(1000 * measured_section(section=3.53e-3, stretch=0.05), 4)
    3.4102
    """
    require_positive(section=section)
    require_between(0, inf, stretch=stretch)
    x = 100 * min(stretch, MEASURED_TO)
    low = min(x, 3.0)
    loss = -0.005 + 1.19 * low - 0.19 * low**2 - 0.001 * low**3 + 0.008 * low**4
    if x > low:  # the second part starts 0.2 points lower than the first ends: the larger counts
        loss = max(loss, 0.56 + 0.59 * x - 0.0046 * x**2)
    kept = 1 - max(loss, 0) / 100  # without stretch the curve would gain 0.005 %
    beyond = max(stretch, MEASURED_TO)
    return section * kept * sqrt((1 + MEASURED_TO) / (1 + beyond))


@formula(
    title="Section at another temperature",
    symbol="d₂",
    symbols={"section": "d_2", "expansion": "α", "measured_at": "t_0", "temperature": "t"},
    tex=r"d_2(t) = d_2 \left(1 + \alpha\,(t - t_0)\right)",
    working="{section} · (1 + {expansion} · ({temperature} − {measured_at}))",
    validity="A few tens of kelvin; the groove is taken as unchanged.",
    sources=("callister-2007",),
)
def section_at(
    section: Metre, expansion: PerKelvin, measured_at: Celsius, temperature: Celsius
) -> Metre:
    """Thickness of a ring that has been cooled or warmed.

    Args:
        section: Thickness as measured, m, above zero.
        expansion: Linear, 1/K, 0 to 0.001.
        measured_at: Where it was measured, °C, −100 to 300.
        temperature: Where it works, °C, −100 to 300.

    Returns:
        Thickness, m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Linear thermal expansion.

    >>> cold = section_at(section=3.53e-3, expansion=160e-6, measured_at=20, temperature=0)
    >>> round(1000 * cold, 4)
    3.5187
    """
    require_positive(section=section)
    require_between(0, 1e-3, expansion=expansion)
    require_between(-100, 300, measured_at=measured_at, temperature=temperature)
    return section * (1 + expansion * (temperature - measured_at))


@formula(
    title="Squeeze",
    symbol="q",
    symbols={"section": "d₂′", "gland_depth": "h"},
    tex=r"q = \frac{d_2' - h}{d_2'}",
    working="({section} − {gland_depth}) / {section}",
    validity="Any ring between two faces; below zero it does not touch the second one.",
    sources=("static-glands", "seal-guide-glands", "groove-advice"),
)
def squeeze(section: Metre, gland_depth: Metre) -> Ratio:
    """The part of a ring's thickness that the gland takes away.

    Args:
        section: Thickness of the ring as it lies in the groove, m, above zero.
        gland_depth: From the groove's floor to the face opposite, m, zero or more.

    Returns:
        Ratio: 0.2 is squeezed by 20 %.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the trade.

    >>> round(squeeze(section=2.62e-3, gland_depth=2.06e-3), 4)
    0.2137
    """
    require_positive(section=section)
    require_between(0, inf, gland_depth=gland_depth)
    return (section - gland_depth) / section


@formula(
    title="Fill of the groove",
    symbol="φ",
    symbols={"section": "d₂′", "groove_width": "b", "gland_depth": "h"},
    tex=r"\varphi = \frac{\pi d_2'^2}{4\, b\, h}",
    working="π · {section}² / (4 · {groove_width} · {gland_depth})",
    validity="A rectangular groove; corner radii and sloped walls make it a little fuller.",
    sources=("oring-chapter", "oring-notes"),
)
def fill(section: Metre, groove_width: Metre, gland_depth: Metre) -> Ratio:
    """The part of the gland's section that the ring takes.

    Args:
        section: Thickness of the ring as it lies in the groove, m, above zero.
        groove_width: m, above zero.
        gland_depth: From the groove's floor to the face opposite, m, above zero.

    Returns:
        Ratio: above 1 the gland cannot be closed.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Area of a circle over that of the gland.

    >>> round(fill(section=2.62e-3, groove_width=3.6e-3, gland_depth=2.06e-3), 4)
    0.727
    """
    require_positive(section=section, groove_width=groove_width, gland_depth=gland_depth)
    return pi * section**2 / (4 * groove_width * gland_depth)


@formula(
    title="Fill of the groove, hot and swollen",
    symbol="φ_h",
    symbols={
        "fill": "φ",
        "swell": "w",
        "expansion": "α",
        "measured_at": "t_0",
        "temperature": "t",
    },
    tex=r"\varphi_\mathrm{h} = \varphi\,(1 + w)\left(1 + \alpha\,(t - t_0)\right)^3",
    working="{fill} · (1 + {swell}) · (1 + {expansion} · ({temperature} − {measured_at}))³",
    validity="The groove is taken as unchanged, so this is a little too much.",
    sources=("wetside-derivation-hot-fill",),
)
def hot_fill(
    fill: Ratio, swell: Ratio, expansion: PerKelvin, measured_at: Celsius, temperature: Celsius
) -> Ratio:
    """What the fill becomes when the rubber has taken up a liquid and is warm.

    Args:
        fill: As assembled, above zero.
        swell: Gain of volume in the liquid, −0.5 to 5.
        expansion: Linear, of the rubber, 1/K, 0 to 0.001.
        measured_at: When it was assembled and measured, °C, −100 to 300.
        temperature: Hottest, °C, −100 to 300.

    Returns:
        Ratio.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Both change the volume of the ring, which the groove keeps in its place.

    >>> hot = hot_fill(fill=0.8, swell=0.05, expansion=160e-6, measured_at=20, temperature=50)
    >>> round(hot, 4)
    0.8522
    """
    require_positive(fill=fill)
    require_between(-0.5, 5, swell=swell)
    require_between(0, 1e-3, expansion=expansion)
    require_between(-100, 300, measured_at=measured_at, temperature=temperature)
    return fill * (1 + swell) * (1 + expansion * (temperature - measured_at)) ** 3
