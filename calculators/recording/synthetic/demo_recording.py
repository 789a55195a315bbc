"""The small recording that comes with the check, with faults to find. It is invented throughout."""

from dataclasses import dataclass
from datetime import UTC, datetime

from calculators.recording.arrays import Signal
from calculators.recording.synthetic import events, faults
from calculators.recording.synthetic.noise import converter_noise, water
from calculators.recording.wave_writing import wave_bytes

RATE = 8000
SECONDS = 10
FILES = 5
SEED = 20260508
LOST = 4.0
"""Seconds that are missing between the second file and the third."""

START = datetime(2026, 5, 8, 21, 0, tzinfo=UTC).timestamp()

CUT = 6.0
"""Seconds of the last file that reached the card."""


@dataclass(frozen=True)
class MadeFile:
    """One file of a made recording: its name, its bytes, when it began (s since 1970)."""

    name: str
    data: bytes
    started: float | None = None


def demo() -> list[MadeFile]:
    """Five files of ten seconds, two channels; some 1.5 MB, the same bytes at every run.

    To find: mains hum of 50 Hz in the right channel and a direct voltage in it, a knock in the
    first file that clips, a hole of 20 ms in the second, 4 s missing before the third, a buffer
    written twice in the third, the right hydrophone flooded from the fourth on, and a last file
    that ends early with a head that was never finished.
    """
    signal = _signal()
    made = []
    length = RATE * SECONDS
    for number in range(FILES):
        part = signal[:, number * length : (number + 1) * length]
        last = number == FILES - 1
        if last:
            part = part[:, : int(CUT * RATE)]
        started = START + number * SECONDS + (LOST if number >= 2 else 0.0)
        name = f"synthetic-{datetime.fromtimestamp(started, UTC):%Y%m%dT%H%M%SZ}.wav"
        made.append(
            MadeFile(name, wave_bytes(part, RATE, started=started, finished=not last), started)
        )
    return made


def _signal() -> Signal:
    frames = RATE * SECONDS * FILES
    signal = water(SEED, 2, frames, RATE)
    signal += events.toads(SEED, 2, frames, RATE, calls_a_minute=20)
    signal += events.insects(SEED, 2, frames, RATE)
    signal += events.knock(2, frames, RATE, at=6.0, peak=1.6)
    signal = faults.flooded(signal, RATE, 3 * SECONDS * RATE, 1, level=-55.0, seed=SEED)
    signal += converter_noise(SEED, 2, frames, RATE)
    signal = faults.hum(signal, RATE, 50.0, 6e-4, channel=1)
    signal = faults.offset(signal, 0.012, channel=1)
    signal = faults.dropped(signal, int(14.2 * RATE), int(0.02 * RATE))
    return faults.repeated(signal, int(25.5 * RATE), 1024)
