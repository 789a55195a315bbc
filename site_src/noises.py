"""Spectra of noises, computed at build: the same made-up water each time, and one noise more.

The sounds are those of ``calculators.recording.synthetic``, the measuring that of the recording
check, and what draws them what draws its pictures.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from calculators.recording import synthetic
from calculators.recording.axes import Scale, frequency_ticks, level_ticks
from calculators.recording.engine import PartCheck
from calculators.recording.opening import open_recording
from calculators.recording.panels import Key, Panel, cells, put_axes, put_keys, put_title
from calculators.recording.settings import Settings
from calculators.recording.source import BytesSource
from calculators.recording.spectrum_charts import thinned
from calculators.recording.summary import Summary, summarise
from calculators.recording.svg import CARE, QUIET, Picture, Points

RATE = 48_000
SECONDS = 20
SEED = 7
FRAMES = RATE * SECONDS

WIDTH = 350.0
"""CSS pixels: the narrowest page, so that its type is never scaled down."""

LEVELS = (-140.0, -30.0)
"""Ends of the level axis, the same in all pictures; dB re 1 FS²/Hz."""

FREQUENCIES = (2.0, RATE / 2)
"""Ends of the frequency axis; Hz."""

CEILING = 0.04
"""Where the loud strumming clips, in full scale."""

Signal = NDArray[np.float64]


@dataclass(frozen=True)
class Noise:
    """One noise: its title, what the picture shows in words, and how it comes into the water."""

    title: str
    words: str
    water: Callable[[Signal], Signal] = lambda quiet: quiet
    """From the quiet water to the water with the noise; shape (1, frames)."""

    recorder: Callable[[Signal], Signal] = lambda signal: signal
    """What happens after the chain has added its own noise."""


def _animals(quiet: Signal) -> Signal:
    calls = synthetic.toads(SEED, 1, FRAMES, RATE, calls_a_minute=20)
    return quiet + calls + synthetic.insects(SEED, 1, FRAMES, RATE, rows_a_minute=60)


def _boat(quiet: Signal) -> Signal:
    return quiet + synthetic.boat(SEED, 1, FRAMES, RATE, nearest=SECONDS / 2)


def _strummed(quiet: Signal) -> Signal:
    return synthetic.strumming(quiet, RATE, 12.0, 0.05, seed=SEED)


def _clipped(quiet: Signal) -> Signal:
    return synthetic.clipped(_strummed(quiet), upper=CEILING)


def _dropped(signal: Signal) -> Signal:
    for second in range(SECONDS):
        signal = synthetic.dropped(signal, int((second + 0.3) * RATE), RATE // 50)
    return signal


NOISES = {
    "floor": Noise(
        "Water, and the chain’s own noise",
        "The water falls with frequency until it meets the flat noise of the chain.",
    ),
    "rain": Noise(
        "Light rain",
        "A hump stands over the water, with its top near 14 kHz.",
        lambda quiet: quiet + synthetic.drizzle(SEED, 1, FRAMES, RATE),
    ),
    "boat": Noise(
        "A boat that passes",
        "A comb of lines below 200 Hz, and a slope far above the water up to the highest "
        "frequencies.",
        _boat,
    ),
    "animals": Noise(
        "Toads and water insects",
        "A narrow hump near 1.3 kHz and a broad one above 12 kHz.",
        _animals,
    ),
    "hum": Noise(
        "Mains hum of 50 Hz",
        "Sharp lines at multiples of 50 Hz, the water between them unchanged.",
        lambda quiet: synthetic.hum(quiet, RATE, 50.0, 1e-3),
    ),
    "strum": Noise(
        "A line that strums",
        "Broad lines below 100 Hz, evenly spaced.",
        lambda quiet: synthetic.strumming(quiet, RATE, 12.0, 4e-3, seed=SEED),
    ),
    "flow": Noise(
        "Water that streams past",
        "A slope much steeper than that of the water, below 100 Hz.",
        lambda quiet: synthetic.flow(quiet, RATE, -50.0, SEED),
    ),
    "clipping": Noise(
        "Loud strumming, clipped",
        "Lines below 100 Hz as before, and above them a slope of new ones up to 1 kHz.",
        _clipped,
    ),
    "dropouts": Noise(
        "A drop-out each second",
        "Both lines are the same: in the spectrum the holes do not show.",
        recorder=_dropped,
    ),
    "flooded": Noise(
        "Water in the hydrophone",
        "A slope that is steeper than that of the water stands above it up to some kilohertz.",
        lambda quiet: synthetic.flooded(quiet, RATE, 0, 0, level=-60.0, seed=SEED),
    ),
}


def noise_svg(name: str) -> str:
    """The picture of one noise, as inline SVG."""
    noise = NOISES[name]
    picture = Picture(f"noise-{name}", WIDTH, noise.title, noise.words)
    put_title(picture, "Spectral density, dB re 1 FS²/Hz, over frequency, Hz")
    keys = [Key("line", QUIET, "water and chain")]
    if name != "floor":
        keys.append(Key("line", CARE, "with the noise"))
    put_keys(picture, keys)
    [(left, right, top, bottom)] = cells(picture, 1, 210.0, 30.0)
    across = Scale(*FREQUENCIES, left, right, logarithmic=True)
    panel = Panel(across, Scale(*LEVELS, bottom, top))
    put_axes(picture, panel, frequency_ticks(panel.x), level_ticks(panel.y))
    picture.line(_points(panel, "floor"), QUIET, thick=1.2)
    if name != "floor":
        picture.line(_points(panel, name), CARE, thick=1.4)
    return picture.svg()


def _points(panel: Panel, name: str) -> Points:
    frequencies, levels = levels_of(name)
    inside = frequencies >= FREQUENCIES[0]
    return thinned(panel, frequencies[inside], levels[inside])


@cache
def levels_of(name: str) -> tuple[Signal, Signal]:
    """Frequencies, Hz, and density levels, dB re 1 FS²/Hz: the low band first, then the rest."""
    summary = _measured(name)
    above = summary.frequencies > summary.low_frequencies[-1]
    frequencies = np.concatenate([summary.low_frequencies, summary.frequencies[above]])
    density = np.concatenate([summary.low_density[0], summary.density[0, above]])
    with np.errstate(divide="ignore"):
        return frequencies, 10 * np.log10(density)


def _measured(name: str) -> Summary:
    noise = NOISES[name]
    water = noise.water(synthetic.water(SEED, 1, FRAMES, RATE))
    signal = noise.recorder(water + synthetic.converter_noise(SEED, 1, FRAMES, RATE))
    file = f"{name}.wav"
    source = BytesSource(synthetic.wave_bytes(signal, RATE, "int24"), file)
    layout = open_recording(source).layout
    check = PartCheck(layout, Settings(), 0, layout.frames, None)
    while (wanted := check.wants()) is not None:
        check.add(np.frombuffer(source.read(*wanted), np.uint8))
    return summarise(check.partial(), [(file, layout, None)])
