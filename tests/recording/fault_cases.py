"""Made recordings with one fault each at a known place, and clean ones, by number.

A case stands for a deployment of four files of a quarter of a minute each, two hydrophones or one,
8 kHz: its days are seconds. The water's level and slope, animals, boats and showers are drawn;
what is drawn for a fault is no weaker than the limits stated beside it, so a rate of detection
means "of faults at least so large".
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from calculators.recording import synthetic
from calculators.recording.synthetic import MadeFile, Signal, Stream

RATE = 8000
FILES = 4
SECONDS = 15
FRAMES = RATE * SECONDS
WHOLE = FILES * FRAMES
START = 1_778_274_000.0

GRID = 0.2
"""Hz, either way: the normal operation of a large grid is 49.8 Hz to 50.2 Hz [grid-frequency]."""


LOUDEST = -45.0
"""dB re 1 FS²/Hz at 10 Hz: noise low down that is louder clips, and is another fault."""


@dataclass(frozen=True)
class Truth:
    """What a check has to find: kind; file, channel and seconds in the file where it has them."""

    kind: str
    file: int | None = None
    channel: int | None = None
    start: float | None = None
    lasts: float = 0.0
    """Seconds from ``start`` on within which the fault shows for the first time."""


@dataclass
class Case:
    """A recording in the making: the sound, how its files are written, and what is wrong."""

    random: Stream
    number: int
    channels: int
    water: float
    slope: float
    signal: Signal = field(repr=False)
    own: Signal = field(repr=False)
    truth: list[Truth] = field(default_factory=list)
    writing: dict[int, dict] = field(default_factory=dict)
    cut: dict[int, int] = field(default_factory=dict)
    gaps: dict[int, float] = field(default_factory=dict)
    encoding: str = "int16"

    def density(self, frequency: float) -> float:
        """Of the water there; dB re 1 FS²/Hz."""
        return self.water + self.slope * np.log10(frequency / 1000)

    def channel(self) -> int:
        """Any channel."""
        return int(self.random.randint(self.channels))

    def place(self, edge: int = RATE) -> int:
        """Any frame of the whole, not within ``edge`` of a file's ends."""
        file = int(self.random.randint(FILES))
        return file * FRAMES + int(self.random.randint(edge, FRAMES - edge))

    def files(self) -> list[MadeFile]:
        """The files as a recorder would have left them."""
        made, late = [], 0.0
        for number in range(FILES):
            part = self.signal[:, number * FRAMES : (number + 1) * FRAMES]
            part = part[:, : self.cut.get(number, FRAMES)]
            late += self.gaps.get(number, 0.0)
            started = START + number * SECONDS + late
            data = synthetic.wave_bytes(
                part, RATE, self.encoding, started, **self.writing.get(number, {})
            )
            made.append(MadeFile(f"made-{self.number}-{number}.wav", data, started))
        return made


def at(frame: int) -> tuple[int, float]:
    """File and seconds in it."""
    return frame // FRAMES, frame % FRAMES / RATE


def clean(number: int, channels: int | None = None, loudest: float = 0.1) -> Case:
    """Sloped noise with animals, and in its turn a boat, a shower, or both.

    ``loudest`` is the rms of the loudest boat. It passes within seconds, as the days are seconds
    here, but is heard low down for most of a minute: in a case with a fault it is softer.
    """
    random = synthetic.stream(number, "case")
    channels = channels or int(random.choice((1, 2, 2)))
    water, slope = float(random.uniform(-116, -100)), float(random.uniform(-21, -10))
    signal = synthetic.water(number, channels, WHOLE, RATE, water, slope)
    toads, insects = random.uniform(0, 0.1), random.uniform(0, 0.05)
    signal += synthetic.toads(number, channels, WHOLE, RATE, toads, random.uniform(0, 30))
    signal += synthetic.insects(number, channels, WHOLE, RATE, insects)
    length = FILES * SECONDS
    if number % 2:
        nearest, width = random.uniform(0.1, 0.9) * length, random.uniform(1, 5)
        signal += synthetic.boat(
            number,
            channels,
            WHOLE,
            RATE,
            nearest,
            width,
            loudest * 10 ** random.uniform(-1.5, 0),
            random.uniform(7, 30),
        )
    if number % 3 == 0:
        start, lasts = random.uniform(-10, 40), random.uniform(8, 60)
        level = random.uniform(-100, -80)
        signal += synthetic.rain(number, channels, WHOLE, RATE, start, start + lasts, level)
    own = synthetic.converter_noise(
        number, channels, WHOLE, RATE, float(random.uniform(-132, min(-120, water - 6)))
    )
    return Case(random, number, channels, water, slope, signal, own)


Fault = Callable[[Case], None]
"""Puts a fault into a case. Those of the water come before the noise of the chain is added."""


def flooded(case: Case) -> None:
    """At least 15 dB more than the water at 10 Hz, from the second to the last quarter on."""
    start, channel = _later(case), case.channel()
    level = min(case.density(10.0) + case.random.uniform(15, 40), LOUDEST)
    case.signal = synthetic.flooded(
        case.signal, RATE, start, channel, level, case.random.uniform(0, 20), case.number
    )
    _true(case, "flooded", start, channel)


def quieter(case: Case) -> None:
    """At least 6 dB lost."""
    start, channel = _later(case), case.channel()
    loss = case.random.uniform(6, 20)
    case.signal = synthetic.quieter(case.signal, start, loss, channel)
    _true(case, "gone quiet", start, channel)


def jumps(case: Case) -> None:
    """Four seconds and more with a burst of at least 5 % of full scale."""
    start, channel = int(case.random.randint(WHOLE // 3)), case.channel()
    size = case.random.uniform(0.05, 0.5)
    rate = case.random.uniform(12, 30)
    case.signal = synthetic.jumps(
        case.signal, RATE, start, start + WHOLE // 2, channel, rate, size, case.number
    )
    file, second = at(start)
    case.truth.append(Truth("jumps", file, channel, second, WHOLE / RATE / 2))


def strumming(case: Case) -> None:
    """Lines whose mean square is at least 10 dB above the water's in 1 Hz at the fundamental."""
    fundamental = case.random.uniform(8, 60)
    level = case.density(fundamental) + case.random.uniform(16, 36)
    case.signal = synthetic.strumming(
        case.signal,
        RATE,
        fundamental,
        10 ** (level / 20),
        case.random.uniform(0.04, 0.1),
        case.number,
    )
    case.truth.append(Truth("strumming"))


def flow(case: Case) -> None:
    """At least 12 dB above the water at 10 Hz."""
    level = min(case.density(10.0) + case.random.uniform(12, 35), LOUDEST)
    case.signal = synthetic.flow(case.signal, RATE, level, case.number)
    case.truth.append(Truth("flow"))


def dead(case: Case) -> None:
    """Zeros from end to end."""
    channel = case.channel()
    case.signal, case.own = (synthetic.dead(s, RATE, channel) for s in (case.signal, case.own))
    case.truth.append(Truth("dead", channel=channel))


def deaf(case: Case) -> None:
    """Noise of the converter alone in one of two channels, that of the other 25 dB higher."""
    channel = case.channel()
    case.signal = synthetic.dead(case.signal, RATE, channel)
    case.own[channel] *= 10 ** (-25 / 20)
    case.truth.append(Truth("dead", channel=channel))


def _later(case: Case) -> int:
    """A frame from the second quarter to the end of the third."""
    return int(case.random.uniform(0.2, 0.8) * WHOLE)


def _true(case: Case, kind: str, frame: int, channel: int | None) -> None:
    file, second = at(frame)
    case.truth.append(Truth(kind, file, channel, second))


def clipped(case: Case) -> None:
    """A knock of 1.2 to 4 times full scale."""
    place = case.place()
    case.signal += synthetic.knock(
        case.channels, WHOLE, RATE, place / RATE, case.random.uniform(1.2, 4)
    )
    _true(case, "clipped", place, None)


def flat_tops(case: Case) -> None:
    """A stage that clips so low that at least 40 blocks of 256 samples reach it."""
    loudest = np.sort(np.abs(case.signal).max(axis=0).reshape(-1, 256).max(axis=1))
    ceiling = min(loudest[-int(case.random.uniform(60, 400))], 0.9)
    case.signal = synthetic.clipped(case.signal, ceiling)
    case.own *= 0.1  # what comes after that stage: a hundredth of the power
    case.truth.append(Truth("flat tops"))


def offset(case: Case) -> None:
    """At least 0.5 % of full scale."""
    channel = case.channel()
    amount = case.random.choice((-1, 1)) * 10 ** case.random.uniform(-2.3, -0.5)
    case.signal = synthetic.offset(case.signal, float(amount), channel)
    case.truth.append(Truth("offset", channel=channel))


def identical(case: Case) -> None:
    """One channel twice."""
    case.signal = synthetic.identical(case.signal)
    case.own = synthetic.identical(case.own)
    case.truth.append(Truth("identical"))


def swapped(case: Case) -> None:
    """Wires of one element the wrong way round."""
    case.signal = synthetic.swapped(case.signal, case.channel())
    case.truth.append(Truth("swapped"))


def dropped(case: Case) -> None:
    """At least 8 ms of zeros in all channels, 64 samples at this rate."""
    start, length = case.place(), int(case.random.uniform(0.008, 0.5) * RATE)
    case.signal = synthetic.dropped(case.signal, start, length)
    case.own = synthetic.dropped(case.own, start, length)
    _true(case, "drop-out", start, None)


def repeated(case: Case) -> None:
    """A buffer of 1024 to 4096 frames, written two or three times."""
    start, block = case.place(2 * RATE), int(case.random.choice((1024, 2048, 4096)))
    times = int(case.random.randint(1, 3))
    case.signal = synthetic.repeated(case.signal + case.own, start, block, times)
    case.own = np.zeros_like(case.own)
    _true(case, "repeated", start, None)


def hum(mains: float) -> Fault:
    """Lines of which the first has at least 10 dB over the water's noise in 1 Hz."""

    def fault(case: Case) -> None:
        level = case.density(mains) + case.random.uniform(10, 40)
        off = case.random.uniform(-GRID, GRID)
        channel = case.channel()
        case.signal = synthetic.hum(
            case.signal, RATE, mains + off, 10 ** (level / 20), channel=channel
        )
        case.truth.append(Truth(f"hum {mains:g}", channel=channel))

    return fault


def low_cut(case: Case) -> None:
    """At least of the second order, from 50 Hz to 200 Hz, in every channel."""
    corner, order = case.random.uniform(50, 200), int(case.random.randint(2, 5))
    case.signal = synthetic.low_cut(case.signal, RATE, corner, order)
    case.truth.append(Truth("low cut"))


def band_limited(case: Case) -> None:
    """An edge from 0.3 to 0.8 of half the rate, above which the sound is at least 15 dB softer.

    Written with 24 bits: the rounding of 16 would fill up what was taken out of a quiet water.
    """
    edge = case.random.uniform(0.3, 0.8) * RATE / 2
    case.signal = synthetic.band_limited(case.signal, RATE, edge, case.random.uniform(15, 60))
    case.encoding = "int24"
    case.truth.append(Truth("sharp edge"))


def few_bits(case: Case) -> None:
    """Samples of 16 bits in a file of 24."""
    case.signal = synthetic.coarser(case.signal, 16)
    case.encoding = "int24"
    case.truth.append(Truth("few bits"))


def cut_short(case: Case) -> None:
    """A file that lost at least a twentieth of its end."""
    file = int(case.random.randint(FILES))
    frames = int(FRAMES * case.random.uniform(0.1, 0.95))
    case.cut[file] = frames
    case.writing[file] = {"promised": FRAMES}
    case.truth.append(Truth("cut short", file))


def zero_tail(case: Case) -> None:
    """At least 1.5 s of zeros at the end of a file."""
    file = int(case.random.randint(FILES))
    frames = int(case.random.uniform(1.5, 8) * RATE)
    case.writing[file] = {"zero_tail": frames * case.channels * 2}
    case.truth.append(Truth("zero tail", file, start=SECONDS - frames / RATE))


def unfinished(case: Case) -> None:
    """The last file, of any length."""
    case.cut[FILES - 1] = int(FRAMES * case.random.uniform(0.1, 1))
    case.writing[FILES - 1] = {"finished": False}
    case.truth.append(Truth("never finished", FILES - 1))


def gap(case: Case) -> None:
    """At least 2 s between two files."""
    file = int(case.random.randint(1, FILES))
    case.gaps[file] = float(case.random.uniform(2, 600))
    case.truth.append(Truth("gap", file))


IN_WATER: dict[str, Fault] = {
    "flooded": flooded,
    "gone quiet": quieter,
    "jumps": jumps,
    "strumming": strumming,
    "flow": flow,
    "clipped": clipped,
    "flat tops": flat_tops,
    "dead": dead,
    "deaf": deaf,
}
"""Faults before the noise of the chain."""

IN_RECORDER: dict[str, Fault] = {
    "offset": offset,
    "identical": identical,
    "swapped": swapped,
    "drop-out": dropped,
    "repeated": repeated,
    "hum 50": hum(50.0),
    "hum 60": hum(60.0),
    "cut short": cut_short,
    "zero tail": zero_tail,
    "never finished": unfinished,
    "gap": gap,
    "low cut": low_cut,
    "sharp edge": band_limited,
    "few bits": few_bits,
}
"""Faults after it."""

NEEDS_TWO = frozenset({"identical", "swapped", "deaf"})
"""Faults that only a pair can have."""

KINDS = (*IN_WATER, *IN_RECORDER)


def made(kind: str, number: int) -> Case:
    """The case of a kind with this number; ``"clean"`` for one without a fault."""
    loudest = 0.1 if kind == "clean" else 0.02
    case = clean(number, 2 if kind in NEEDS_TWO else None, loudest)
    if kind in IN_WATER:
        IN_WATER[kind](case)
    if kind == "identical":
        IN_RECORDER[kind](case)
    case = replace(case, signal=case.signal + case.own, own=np.zeros_like(case.own))
    if kind in IN_RECORDER and kind != "identical":
        IN_RECORDER[kind](case)
    return case
