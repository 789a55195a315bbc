"""Against the rig: its own noise, its water. Where it clips is judged with the clipping."""

from collections.abc import Iterator

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.calibration import decibels
from calculators.recording.decibels import power_level
from calculators.recording.expected import Curve, Expected, Range
from calculators.recording.findings import Finding, finding
from calculators.recording.judges.common import channel_name, sounding, whole
from calculators.recording.quantity import hertz
from calculators.recording.summary import Summary

QUIET = 5.0
"""The percentile that stands for the quietest that there was."""

OWN = 3.0
"""dB above the predicted noise of the chain, at which the water is no louder than the chain: two
equal noises together."""

BELOW = 3.0
"""dB below the low end of the predicted noise: the quietest twentieth of seconds lies below the
mean of steady noise too, by 1 dB or 2 dB in narrow bands."""

MOST = 0.5
"""Part of the bands for which something must hold."""

BEYOND = 6.0
"""dB beyond the range that the water was expected to have."""

LEAST_BANDS = 4

FROM = 50.0
"""Hz: below it flow, lines and the high-pass rule, and no prediction holds."""


def judge_rig(summary: Summary, expected: Expected) -> Iterator[Finding]:
    """Each channel that has sound, in the bands for which the rig says something."""
    for number in sounding(summary):
        if expected.self_noise:
            yield from _against_noise(summary, number, expected.self_noise)
        if expected.water and expected.full_scale:
            yield from _against_water(summary, number, expected.water, expected.full_scale)


def _predicted(summary: Summary, curve: Curve) -> tuple[np.ndarray, list[Range]]:
    """Bands, by index, in which a curve says something, and its levels as levels of the bands."""
    found = []
    for index, centre in enumerate(summary.bands.centres):
        density = curve.at(float(centre)) if centre >= FROM else None
        if density is not None:
            width = power_level(summary.bands.upper[index] - summary.bands.lower[index])
            ends = (density.value, density.low, density.high)
            found.append((index, Range(*(float(end + width) for end in ends))))
    return np.array([index for index, _ in found], dtype=int), [level for _, level in found]


def _sides(curve: list[Range]) -> tuple[Floats, Floats, Floats]:
    return (
        np.array([r.value for r in curve]),
        np.array([r.low for r in curve]),
        np.array([r.high for r in curve]),
    )


def _against_noise(summary: Summary, number: int, noise: Curve) -> Iterator[Finding]:
    bands, curve = _predicted(summary, noise)
    if bands.size < LEAST_BANDS:
        return
    value, low, _ = _sides(curve)
    quiet, middle = (summary.levels.percentile(p)[number, bands] for p in (QUIET, 50.0))
    name = channel_name(summary, number)
    below = quiet < low - BELOW
    if below.mean() >= MOST:
        deepest = float(np.median((low - quiet)[below]))
        what = (
            f"{name} is quieter than the chain of this rig can be: its quietest seconds lie "
            f"{decibels(deepest)} below the least noise predicted, in {int(below.sum())} of "
            f"{bands.size} bands."
        )
        yield finding("too quiet", "harms", "likely", what, whole(number))
        return
    own = middle <= value + OWN
    if own.mean() >= MOST:
        centres = summary.bands.centres[bands[own]]
        what = (
            f"Half of the time {name[0].lower() + name[1:]} is within {decibels(OWN)} of the noise "
            f"predicted for the chain, in {int(own.sum())} of {bands.size} bands from "
            f"{hertz(float(centres.min()))} to {hertz(float(centres.max()))}: the water is quieter "
            "than this chain."
        )
        yield finding("buried", "note", "likely", what, whole(number))


def _against_water(
    summary: Summary, number: int, water: Curve, full_scale: Range
) -> Iterator[Finding]:
    bands, curve = _predicted(summary, water)
    if bands.size < LEAST_BANDS:
        return
    _, low, high = _sides(curve)
    middle = summary.levels.percentile(50.0)[number, bands]
    above = middle + full_scale.low - high
    under = low - (middle + full_scale.high)
    name = channel_name(summary, number)
    for part, words in ((under, "below"), (above, "above")):
        if (part >= BEYOND).mean() >= MOST:
            what = (
                f"{name} lies {decibels(float(np.median(part)))} {words} the range that the water "
                f"was expected to have, in the median of {bands.size} bands and with the "
                "tolerance of the sensitivity counted."
            )
            yield finding("unlike the water", "note", "possible", what, whole(number))
