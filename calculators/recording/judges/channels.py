"""Channels against each other, and against silence: dead, copied, upside down, of other level."""

from collections.abc import Iterator

import numpy as np

from calculators.recording.arrays import Flags, Floats
from calculators.recording.calibration import decibels
from calculators.recording.decibels import power_level
from calculators.recording.findings import Finding, finding
from calculators.recording.histogram import LOWEST
from calculators.recording.judges.common import channel_name, low_coherence, sounding, whole
from calculators.recording.quantity import quantity
from calculators.recording.summary import PairMeasures, Summary

DEAF = 20.0
"""dB below the other channel, at every frequency, from which a channel hears nothing: hydrophones
of one pair differ by a few (common practice, no source)."""

HEARS = 0.5
"""Median coherence in ``POLARITY_BAND`` from which the softer channel hears what the other hears,
however far below it lies: many record one hydrophone with two gains. Noise of a recorder alone has
next to none."""

LEAST_SEGMENTS = 20
"""Segments of the low band for that: independent noise has a coherence of one over their number."""

UNEQUAL = 6.0
"""dB between channels that are worth a word: half of an element, a plug that is split."""

FLAT = 1.0
"""dB, the most that a steady white spectrum strays from even over the middle of the band."""

STEADY = 1.5
"""dB between the quietest and the loudest twentieth of the seconds: electronics are that steady.
A band of a second and 200 Hz scatters by 0.3 dB, so that chance has no part in it."""

SOFT = -60.0
"""dB re full scale, above which steady white noise is rather a shower than a converter."""

COPIED = 0.999
"""Part of the frames that must be the same: a copy is the same throughout, but for its ends."""

APART = 3.0
"""m up to which two hydrophones hear sound in ``POLARITY_BAND`` all but together: a quarter of the
wavelength at its upper end."""

POLARITY_BAND = (8.0, 120.0)
"""Hz, where polarity is looked for."""

MAINS_ROOM = 2.5
"""Hz around multiples of 50 Hz and 60 Hz that polarity is not judged by: hum comes by wire."""

ALIKE = 0.2
"""Magnitude-squared coherence from which a frequency says something of polarity."""

UPSIDE_DOWN = -0.7
"""Cosine of the phase, in the median over frequency, below which one channel is turned round."""

LEAST_LINES = 8
"""Lines that must be coherent for that."""


def judge_channels(summary: Summary) -> Iterator[Finding]:
    """Each channel for itself, then each pair."""
    alive = sounding(summary)
    for number in range(summary.channels):
        if number not in alive:
            yield _silent(summary, number)
    for pair in summary.by_pair:
        if all(number in alive for number in pair.channels):
            yield from _pair(summary, pair)
    yield from _own_noise(summary, alive)


def _silent(summary: Summary, number: int) -> Finding:
    value = summary.by_channel[number].mean
    held = "zero" if value == 0 else f"{value:.3g} of full scale"
    what = f"{channel_name(summary, number)} is {held} in every sample."
    return finding("dead", "spoils", "certain", what, whole(number))


def _pair(summary: Summary, pair: PairMeasures) -> Iterator[Finding]:
    frames = max(pair.varied_frames, 1)
    names = f"channels {pair.channels[0] + 1} and {pair.channels[1] + 1}"
    if pair.equal_frames >= COPIED * frames:
        what = f"Every sample of {names} is the same: this is one channel, written twice."
        yield finding("identical", "harms", "certain", what, whole(None))
    elif pair.opposite_frames >= COPIED * frames:
        what = f"Every sample of {names} is the same with its sign changed: one channel, twice."
        yield finding("identical", "harms", "certain", what, whole(None))
    else:
        yield from _levels_of_pair(summary, pair)
        yield from _polarity(summary, pair)


def _levels_of_pair(summary: Summary, pair: PairMeasures) -> Iterator[Finding]:
    """One that is far below the other everywhere hears nothing; a lesser difference is noted."""
    medians = np.array([_median_bands(summary, number) for number in pair.channels])
    known = np.isfinite(medians).any(axis=0) & ~np.isnan(medians).any(axis=0)
    # What is zero in half of the seconds, as noise below a step of the converter, has no level.
    one, two = np.maximum(medians[:, known], LOWEST)
    difference = one - two
    if not difference.size:
        return
    middle = float(np.median(difference))
    softer = pair.channels[0] if middle < 0 else pair.channels[1]
    least = float(np.abs(difference).min())
    same_side = (difference < 0).all() or (difference > 0).all()
    name = channel_name(summary, softer)
    if same_side and least >= DEAF and _hears(summary, pair):
        what = (
            f"{name} is {decibels(abs(middle))} softer than the other, but hears the same. If the "
            "gains were set so, take this off; if not, it hears through cable or recorder what "
            "the other one hears, and nothing by itself."
        )
        yield finding("unequal", "harms", "certain", what, whole(softer))
    elif same_side and least >= DEAF:
        below = (
            "is exactly zero for half of the time or more"
            if min(one.min(), two.min()) <= LOWEST
            else f"lies {decibels(least)} to {decibels(float(np.abs(difference).max()))} below the "
            "other one at every frequency"
        )
        what = f"{name} {below}: it holds noise of the recorder and no sound."
        yield finding("dead", "spoils", "likely", what, whole(softer))
    elif abs(middle) >= UNEQUAL:
        softness = decibels(abs(middle))
        what = f"{name} is {softness} softer than the other, in the median of all bands."
        yield finding("unequal", "note", "certain", what, whole(softer))


def _hears(summary: Summary, pair: PairMeasures) -> bool:
    """Whether both channels hear the same low down."""
    if summary.low_segments < LEAST_SEGMENTS:
        return False
    usable = _within(summary.low_frequencies, POLARITY_BAND)
    usable &= _away_from_mains(summary.low_frequencies)
    coherence = low_coherence(summary, pair.channels[0] // 2)[usable]
    return bool(np.isfinite(coherence).any() and np.nanmedian(coherence) >= HEARS)


def _median_bands(summary: Summary, number: int) -> Floats:
    """Median level of each band over the seconds: loud moments have no part in it."""
    return np.asarray(summary.levels.percentile(50)[number, : len(summary.bands.centres)])


def _polarity(summary: Summary, pair: PairMeasures) -> Iterator[Finding]:
    """By the phase between the channels where both hear the same."""
    frequencies = summary.low_frequencies
    cross = summary.low_cross[pair.channels[0] // 2]
    coherence = low_coherence(summary, pair.channels[0] // 2)
    usable = (
        _within(frequencies, POLARITY_BAND)
        & _away_from_mains(frequencies)
        & (coherence >= ALIKE + 1 / max(summary.low_segments, 1))
    )
    if usable.sum() < LEAST_LINES:
        return
    cosine = float(np.median(cross[usable].real / np.abs(cross[usable])))
    if cosine > UPSIDE_DOWN:
        return
    what = (
        f"Channels {pair.channels[0] + 1} and {pair.channels[1] + 1} hear the same below "
        f"{quantity(POLARITY_BAND[1], 'Hz')}, but with opposite sign, at {int(usable.sum())} "
        f"frequencies. Over less than {quantity(APART, 'm')} sound takes too little time for that."
    )
    yield finding("swapped", "harms", "likely", what, whole(None))


def _within(frequencies: Floats, band: tuple[float, float]) -> Flags:
    return np.asarray((frequencies >= band[0]) & (frequencies <= band[1]))


def _away_from_mains(frequencies: Floats) -> Flags:
    distance = [np.abs(frequencies - mains * np.rint(frequencies / mains)) for mains in (50, 60)]
    return np.asarray(np.minimum(*distance) > MAINS_ROOM)


def _own_noise(summary: Summary, alive: list[int]) -> Iterator[Finding]:
    """Steady, white and soft throughout, in every channel that is not silent."""
    deaf = [number for number in alive if _is_own_noise(summary, number)]
    if not deaf or deaf != alive:
        return
    all_of_it = "Every channel" if len(deaf) > 1 else "The recording"
    what = (
        f"{all_of_it} holds noise that is even over frequency and never changes, as electronics "
        "make it: no sound was heard in it."
    )
    yield finding("own noise", "harms", "possible", what, whole(None))


def _is_own_noise(summary: Summary, number: int) -> bool:
    middle = (summary.frequencies > 0.05 * summary.rate) & (
        summary.frequencies < 0.4 * summary.rate
    )
    spectrum = power_level(summary.density[number, middle])
    # Means over eighths of the band: lines scatter, a tilt or hump shows.
    parts = [float(np.mean(part)) for part in np.array_split(spectrum, 8)]
    quiet, loud = (summary.levels.percentile(p)[number] for p in (5.0, 95.0))
    bands = summary.bands.upper - summary.bands.lower >= 200.0
    known = bands & np.isfinite(quiet[: bands.size])
    swing = loud[: bands.size][known] - quiet[: bands.size][known]
    overall = power_level(np.array(summary.by_channel[number].mean_square))
    return bool(
        max(parts) - min(parts) <= FLAT and swing.size and swing.max() <= STEADY and overall < SOFT
    )
