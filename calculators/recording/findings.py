"""What a check finds: the kinds of findings, what they may come from, and what to do."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

Weight = Literal["spoils", "harms", "note"]
Sure = Literal["certain", "likely", "possible"]

WEIGHTS: tuple[Weight, ...] = ("spoils", "harms", "note")
"""The gravest first: a part can't be used; it can be used with care; good to know."""

SURE: tuple[Sure, ...] = ("certain", "likely", "possible")

MOST_SPANS = 20
"""Places that one finding lists; its words say how many there are."""


@dataclass(frozen=True)
class Span:
    """A stretch of a recording: index of the file and channel, None for all; seconds in the file.

    Where ``file`` is None, ``start`` counts from the start of the whole recording; where
    ``seconds`` is 0 besides, the whole of it is meant.
    """

    file: int | None
    channel: int | None
    start: float
    seconds: float


@dataclass(frozen=True)
class Finding:
    """One thing that was found: what, where, how sure, what it may come from, what to do.

    ``weight`` says what it does to the recording, ``page`` where the handbook has more.
    """

    kind: str
    weight: Weight
    sure: Sure
    title: str
    what: str
    where: tuple[Span, ...]
    causes: tuple[str, ...]
    todo: tuple[str, ...]
    page: str


@dataclass(frozen=True)
class Item:
    """What a report tells as one: findings of a kind that are as grave and as sure as each other.

    They differ in what they say of each channel or file, and where.
    """

    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """The one that stands for what all of them have in common."""
        return self.findings[0]

    @property
    def says(self) -> tuple[str, ...]:
        """What each of them says, one after another."""
        return tuple(one.what for one in self.findings)

    @property
    def where(self) -> tuple[Span, ...]:
        """The places of all of them, in the order of time."""
        return tuple(sorted((s for one in self.findings for s in one.where), key=_in_time))


def _in_time(span: Span) -> tuple[int, float, int]:
    whole = -1  # of the recording, or all channels: first
    file = whole if span.file is None else span.file
    return file, span.start, whole if span.channel is None else span.channel


@dataclass(frozen=True)
class Kind:
    """What is the same for all findings of a kind: causes the commonest first."""

    title: str
    causes: tuple[str, ...]
    todo: tuple[str, ...]
    page: str


_HEADER = "listen/trouble.md#none"
_UNCLOSED = "deploy/copies.md#unclosed"
_SPLITS = "plan/recording-format.md#splits-and-gaps"
_HOME = "deploy/setting-level.md#home"
_DEAF = "listen/trouble.md#deaf"

KINDS: dict[str, Kind] = {
    "header only": Kind(
        "A file without sound",
        ("the supply died as the file was opened", "the card was full"),
        ("Look at the cells and at the space on the card.", "Leave the card as it is."),
        _HEADER,
    ),
    "cut short": Kind(
        "A file that ends early",
        ("the copy was broken off", "the card was pulled or worn", "the supply died"),
        ("Compare its size with that on the card, and copy it again.",),
        _UNCLOSED,
    ),
    "never finished": Kind(
        "A file whose head was never finished",
        ("the supply died while it was open", "the card was pulled while recording"),
        (
            "Its sound was read to the end; other programs may call it empty.",
            "Mend a copy, never the card.",
        ),
        _UNCLOSED,
    ),
    "wrong sizes": Kind(
        "A head that contradicts its file",
        ("a recorder that passes 4 GiB", "a program that edited the file"),
        ("Mend a copy: its sound was read as far as the file goes.",),
        "plan/recording-format.md#file-limits",
    ),
    "zero tail": Kind(
        "The file ends in zeros",
        ("the supply died before the last blocks reached the card", "the input was switched off"),
        ("Count the recording only up to there.", "Look at the runtime of the cells."),
        _UNCLOSED,
    ),
    "damaged": Kind(
        "A file that is damaged inside",
        ("a worn or false card", "the copy was broken off"),
        ("Copy it again and compare.", "Prove the card before it goes out again."),
        "plan/recording-format.md#prove-the-card",
    ),
    "header": Kind(
        "A head that is not quite by the rules",
        ("a habit of this recorder", "a program that edited the file"),
        ("Nothing: it was read all the same.",),
        _HEADER,
    ),
    "unreadable": Kind(
        "A file that can't be read",
        ("not a recording", "a worn or false card", "pulled while writing"),
        ("Look at it on the card itself; copy it again.",),
        _HEADER,
    ),
    "mixed": Kind(
        "Files that are not alike",
        ("settings changed or fell back to their defaults", "files of two recorders together"),
        ("Check them apart: levels of one are not those of the other.",),
        "deploy/setting-level.md#written",
    ),
    "duplicate": Kind(
        "The same sound in two files",
        ("a file copied twice, under another name",),
        ("Leave one of them out: each is counted now.",),
        "deploy/copies.md#checksums",
    ),
    "missing file": Kind(
        "A number is missing among the files",
        ("a file was not copied", "a file was deleted", "a recorder that skips numbers"),
        ("Look for it on the card.",),
        "deploy/copies.md#checksums",
    ),
    "clock": Kind(
        "The times of the files are doubtful",
        ("the clock was never set", "a program that renamed the files", "a time zone in the name"),
        ("Hold the clock against a good one before its times are used.",),
        "plan/recording-format.md#names-and-clock",
    ),
    "gap": Kind(
        "Time is missing between files",
        (
            "the recorder needs time to change files",
            "a file is missing, or was not copied",
            "it was switched off, or its supply failed for a while",
            "the clock was set on the way",
        ),
        (
            "Look for the file on the card.",
            "Write the gap into the log.",
            "Was it to pause? Give the rig with its schedule.",
        ),
        _SPLITS,
    ),
    "overlap": Kind(
        "Files overlap in time",
        ("the clock was set back", "times in names are cut to whole minutes", "a copy of a copy"),
        ("Look at the clock's log; sort the files by their order on the card.",),
        "plan/recording-format.md#names-and-clock",
    ),
    "too short": Kind(
        "Shorter than planned",
        ("cells at their end", "the card was full", "files are missing", "stopped early"),
        ("Compare with runtime and recording time of the rig.",),
        _HEADER,
    ),
    "start": Kind(
        "It began at another time than planned",
        ("the clock shows another time zone", "the clock was never set", "started by hand"),
        ("Hold the clock against a good one, and write its error down.",),
        "plan/recording-format.md#names-and-clock",
    ),
    "other format": Kind(
        "Recorded otherwise than the rig says",
        ("settings fell back to their defaults", "the rig was written down for another trip"),
        ("Correct the rig, or find out what else fell back: gain, low cut.",),
        "deploy/setting-level.md#written",
    ),
    "clipped": Kind(
        "Clipped",
        (
            "recorder gain too high for the loudest sound",
            "a knock, a hand, a boat close by",
            "automatic gain, or a low supply",
        ),
        ("Leave these moments out of levels, and say so.", "Less gain the next time."),
        _HOME,
    ),
    "flat tops": Kind(
        "Flat tops below full scale",
        (
            "the front end clips before the recorder",
            "the recorder's input clips before its gain",
            "a limiter of the recorder, or automatic gain",
            "cells at their end",
            "a pinger, a tag or a test tone that is always as loud: then nothing clips",
        ),
        (
            "Find the stage: half the recorder's gain leaves the tops as flat as they are.",
            "Treat these moments as clipped.",
        ),
        "calculators/level-chain.md#three-places-to-clip",
    ),
    "beyond full scale": Kind(
        "Samples beyond full scale",
        ("a recorder that writes floating point with room above full scale",),
        ("Nothing: they are whole. Look whether the stages before were driven too far.",),
        _HOME,
    ),
    "not a number": Kind(
        "Samples that are no numbers",
        ("a program that failed on this file", "a damaged copy"),
        ("They were taken as zero. Take the file from the card again.",),
        "deploy/copies.md#checksums",
    ),
    "offset": Kind(
        "A direct voltage in the samples",
        ("the converter's own", "a leaking output capacitor", "a virtual ground that has moved"),
        ("Harmless if small: it was taken off. Measure the virtual ground if it is large.",),
        _HOME,
    ),
    "dead": Kind(
        "A channel without sound",
        ("cable or plug", "supply of the front end off", "input not chosen"),
        ("Capacitance at the cable's end, then the middle voltage.",),
        _DEAF,
    ),
    "own noise": Kind(
        "Steady noise and nothing else",
        (
            "no hydrophone at the input, or its supply off",
            "the water is quieter than the chain",
            "gain at zero",
        ),
        (
            "Tap test, by the meter and not by ear.",
            "Noise-floor test with a capacitor for the element.",
        ),
        "deploy/setting-level.md#floor",
    ),
    "identical": Kind(
        "Two channels with the same samples",
        ("the recorder set to mono", "a mono plug", "one input copied to both"),
        ("Take it as one channel.", "Menu and plug before the next trip."),
        _HOME,
    ),
    "swapped": Kind(
        "A channel upside down",
        (
            "the two wires of one element the wrong way round",
            "one screen and core swapped",
            "elements that lie opposite ways on a frame that shakes",
        ),
        ("Turn one channel round before anything is compared or added.", "Tap and press test."),
        "test/bench-test.md#polarity",
    ),
    "unequal": Kind(
        "Channels of different level",
        ("another gain", "meant so", "cable or plug", "a leak at one element", "a cracked element"),
        ("Capacitance of both, then the pair test.",),
        "test/bench-test.md#pair",
    ),
    "drop-out": Kind(
        "Holes of exact zeros",
        ("the card was too slow for a moment", "a recorder that mutes while it changes files"),
        ("Leave these moments out.", "Another card, proved before it goes out."),
        "plan/recording-format.md#prove-the-card",
    ),
    "repeated": Kind(
        "A piece written twice",
        ("the card was too slow, so that a buffer came again",),
        ("Leave these moments out: time goes wrong there too.", "Another card."),
        "plan/recording-format.md#prove-the-card",
    ),
    "stuck": Kind(
        "A value that stands still",
        ("a converter that hangs", "an input at its rail", "a wire that came off"),
        ("Leave these moments out; look for the loose wire.",),
        "plan/recording-format.md#prove-the-card",
    ),
    "hum": Kind(
        "Mains hum",
        (
            "mains near by: a cable, a pump, a charger",
            "a screen that is open at one end",
            "the water is the other plate: no water electrode",
            "sound in the water: a pump, a transformer, a ship that makes its own current",
        ),
        (
            "Leave the lines out of levels.",
            "Find which of them by the tests: a rig on its own cells, far from the mains, hears it "
            "as sound.",
        ),
        "build/cable-and-shield.md#find-the-hum",
    ),
    "strumming": Kind(
        "A row of lines low down",
        (
            "a boat that passes or stays about",
            "a line or cable that strums in the current",
            "a pump or another machine",
            "fish that hum in chorus",
        ),
        (
            "Compare with the current: a line's row goes with it.",
            "Was it a line? Cut below its row, and quiet the line the next time.",
        ),
        "listen/field-noise.md#strum",
    ),
    "flow": Kind(
        "Noise low down that falls very steeply",
        ("water that streams past the hydrophone", "waves overhead", "wind on buoy and line"),
        ("Use levels from above it only, and say from where.", "Lee, foam, deeper."),
        "listen/field-noise.md#flow",
    ),
    "low cut": Kind(
        "Low sounds fall off at all times",
        (
            "the recorder's low cut is on",
            "the low corner of the chain: bias resistor, output capacitor, input of the recorder",
            "a leak at the element, which raises that corner",
            "water too shallow for low sounds",
        ),
        (
            "Look at the menu; measure the corner.",
            "Give levels from above it only, and say from where.",
        ),
        "deploy/setting-level.md#low-cut",
    ),
    "sharp edge": Kind(
        "Nothing above a sharp edge",
        (
            "squeezed on the way, as by MP3, and made a WAVE file again",
            "a lower sample rate, converted by a program or by the recorder",
            "a filter of the recorder that goes with a lower rate",
        ),
        (
            "Look for the first file, as the recorder wrote it.",
            "Give levels up to the edge only; was it squeezed, then none: it is for hearing.",
        ),
        "plan/recording-format.md#sample-rate",
    ),
    "few bits": Kind(
        "Fewer bits than the file has room for",
        (
            "a recorder that converts fewer bits than it writes",
            "a program that read 16 bits and wrote 24",
        ),
        ("Harmless by itself. Count the rounding noise as that of the fewer bits.",),
        "plan/recording-format.md#bit-depth",
    ),
    "gone quiet": Kind(
        "Suddenly softer, to the end",
        (
            "a cable or plug that let go in part",
            "water in plug or hydrophone",
            "gain that something turned",
            "the water itself grew quieter: rain or a machine that stopped",
            "sand or weed over the hydrophone",
        ),
        ("Levels after this moment count only if a known sound proves them.",),
        "test/calibration.md#again",
    ),
    "flooded": Kind(
        "Noisy low down, to the end",
        (
            "water in the hydrophone or its cable",
            "a connector that leaks",
            "current or weed at this hydrophone",
            "it fell over",
        ),
        (
            "Leave the channel out from there on, unless it comes and goes with the current.",
            "If the case may be wet too, see first whether it is safe to open.",
            "Insulation, wet and dried, before anything is opened.",
        ),
        "seal/cable.md#strands",
    ),
    "jumps": Kind(
        "Bursts low down in one channel",
        ("a cable or plug that fails", "an animal or weed at the hydrophone", "cable on stones"),
        ("Listen to some of them; bend the cable along its length ashore.",),
        "build/cable-and-shield.md#handling-noise",
    ),
    "buried": Kind(
        "The chain hears itself",
        ("the water is quieter than the chain", "gain too low before the recorder"),
        ("Report the chain's noise beside the levels; say what could not be heard.",),
        "listen/counts-to-micropascal.md#own",
    ),
    "too quiet": Kind(
        "Quieter than the rig can be",
        ("gain or pad other than stated", "no hydrophone at the input", "a rig of another trip"),
        ("Find the gain that was set: until then there are no levels in µPa.",),
        "calculators/level-chain.md",
    ),
    "clips early": Kind(
        "It clips below the level that the rig predicts",
        ("cells lower than stated", "another gain", "an input limit that was guessed"),
        ("Measure where it clips with a known voltage.",),
        "calculators/level-chain.md#three-places-to-clip",
    ),
    "unlike the water": Kind(
        "Another level than the water was expected to have",
        ("a sensitivity that is wrong", "another gain", "weather, current or animals"),
        ("Insertion check; then the log's weather.",),
        "calculators/ambient-noise.md",
    ),
}
"""Every kind of finding, by name."""


def finding(
    kind: str, weight: Weight, sure: Sure, what: str, where: Iterable[Span] = ()
) -> Finding:
    """A finding with the words of its kind; of its places no more than ``MOST_SPANS``."""
    known = KINDS[kind]
    spans = tuple(where)[:MOST_SPANS]
    words = known.causes, known.todo, known.page
    return Finding(kind, weight, sure, known.title, what, spans, *words)


def ordered(found: Iterable[Finding]) -> list[Finding]:
    """The gravest first, and of equal ones the surest; else as they were found."""
    return sorted(found, key=lambda f: (WEIGHTS.index(f.weight), SURE.index(f.sure)))


def items_of(found: Iterable[Finding]) -> list[Item]:
    """Findings as a report tells them: what is alike but for channel or file is one item.

    Items are in the order of their first findings.
    """
    alike: dict[Finding, list[Finding]] = {}
    for one in found:
        alike.setdefault(replace(one, what="", where=()), []).append(one)
    return [Item(tuple(group)) for group in alike.values()]
