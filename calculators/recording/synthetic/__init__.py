"""Recordings that nobody made: seeded sound, faults at known places, and WAVE files of both.

For the demo, for tests and for benches. A signal is a float64 array of shape (channels, frames)
where 1.0 is full scale; it may go beyond, and the writer then clips it as a converter does.
Every part draws from a stream of its own (``stream``), so a change to one leaves the others be.
"""

from calculators.recording.arrays import Signal
from calculators.recording.synthetic.demo_recording import MadeFile, demo
from calculators.recording.synthetic.events import boat, drizzle, insects, knock, rain, toads
from calculators.recording.synthetic.faults import (
    band_limited,
    clipped,
    coarser,
    dead,
    dropped,
    flooded,
    flow,
    hum,
    identical,
    jumps,
    low_cut,
    offset,
    quieter,
    repeated,
    strumming,
    swapped,
)
from calculators.recording.synthetic.noise import (
    Stream,
    converter_noise,
    shaped,
    stream,
    water,
)
from calculators.recording.wave_writing import ENCODINGS, wave_bytes

__all__ = [
    "ENCODINGS",
    "MadeFile",
    "Signal",
    "Stream",
    "band_limited",
    "boat",
    "clipped",
    "coarser",
    "converter_noise",
    "dead",
    "demo",
    "drizzle",
    "dropped",
    "flooded",
    "flow",
    "hum",
    "identical",
    "insects",
    "jumps",
    "knock",
    "low_cut",
    "offset",
    "quieter",
    "rain",
    "repeated",
    "shaped",
    "stream",
    "strumming",
    "swapped",
    "toads",
    "water",
    "wave_bytes",
]
