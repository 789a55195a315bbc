"""The files of a deployment in order, and what lies between them: nothing, a gap, an overlap."""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import blake2b
from itertools import pairwise
from typing import Literal

from calculators.recording.errors import RecordingError
from calculators.recording.layout import Layout, format_words
from calculators.recording.name_numbers import by_name, missing_numbers
from calculators.recording.opening import Recording
from calculators.recording.quantity import quantity
from calculators.recording.starts import DRIFT, Origin, Start, find_starts
from calculators.units import with_unit

COMPARED = 1 << 16
"""Bytes at either end of the sound by which two files are held to be the same."""

JointKind = Literal["seamless", "gap", "overlap", "unknown"]
NoteKind = Literal[
    "order by name",  # a start is not known: the order is that of the names
    "start",  # what there is to say of a file's start
    "other order",  # names and starts give different orders
    "duplicate",  # two files with the same sound
    "mixed formats",  # rate, channels or encoding change
    "missing numbers",  # counted names with numbers left out
    "schedule",  # files start at equal distances, with pauses
]


@dataclass(frozen=True)
class SequenceFile:
    """One file: its place among those that were given, and when it started.

    ``seconds`` counts from 1970 by the recorder's clock, without zone; None if it is not known.
    """

    given: int
    name: str
    layout: Layout
    seconds: float | None
    origin: Origin
    step: float
    """How finely the start is told (s)."""


@dataclass(frozen=True)
class Joint:
    """What lies between a file and the next, by their index in the order.

    ``seconds`` is what is missing between them, negative where they overlap; None if a start is
    not known. ``tolerance`` is how far that may be off. Less is seamless as far as clocks tell.
    """

    before: int
    after: int
    kind: JointKind
    seconds: float | None
    tolerance: float
    text: str
    changes: tuple[str, ...] = ()
    """What of the format changes, such as "rate 48000 → 96000 Hz"."""


@dataclass(frozen=True)
class Note:
    """Something to know of the order or of some files, by their index in the order."""

    kind: NoteKind
    text: str
    files: tuple[int, ...] = ()


@dataclass(frozen=True)
class Sequence:
    """The files in order, the joint after each but the last, and notes."""

    files: tuple[SequenceFile, ...]
    joints: tuple[Joint, ...]
    notes: tuple[Note, ...]


def in_sequence(recordings: list[Recording], order: str | None = None) -> Sequence:
    """Put the files of a deployment in order.

    By their starts, if all are known against one another: from the header, else from a date with a
    time in the name. Else by their names, numbers by their value, and that is noted.

    Args:
        recordings: The files, in any order.
        order: "ymd", "dmy" or "mdy": in which order the dates in names stand, if someone knows.
    """
    names = [_base(recording.name) for recording in recordings]
    layouts = [recording.layout for recording in recordings]
    starts = find_starts(names, layouts, order)
    turn = _turn(names, starts)
    files = tuple(_file(given, recordings[given], starts[given]) for given in turn)
    ordered = [starts[given] for given in turn]
    joints = tuple(
        _joint(index, files, ordered[index], ordered[index + 1]) for index in range(len(files) - 1)
    )
    notes = (
        *_notes_of_order(files, ordered),
        *_duplicates([recordings[given] for given in turn]),
        *_mixed(files),
        *(Note("missing numbers", text) for text in missing_numbers([f.name for f in files])),
        *_schedule(ordered, joints),
    )
    return Sequence(files, joints, notes)


def _base(name: str) -> str:
    return re.split(r"[/\\]", name)[-1]


def _turn(names: list[str], starts: list[Start]) -> list[int]:
    """The order, as indices of what was given."""
    places = [start.place for start in starts]
    known = [place for place in places if place is not None]
    if len(known) == len(places):
        return sorted(range(len(names)), key=lambda i: (known[i], by_name(names[i])))
    return sorted(range(len(names)), key=lambda i: by_name(names[i]))


def _file(given: int, recording: Recording, start: Start) -> SequenceFile:
    return SequenceFile(
        given, recording.name, recording.layout, start.seconds, start.origin, start.step
    )


# Joints


def _joint(index: int, files: tuple[SequenceFile, ...], first: Start, second: Start) -> Joint:
    before, after = files[index], files[index + 1]
    changes = tuple(_changes(before.layout, after.layout))
    pair = f"{before.name} and {after.name}"
    if first.place is None or second.place is None:
        text = f"What lies between {pair} is not known: a start is not."
        return Joint(index, index + 1, "unknown", None, 0.0, text, changes)
    length = before.layout.seconds
    missing = second.place - first.place - length
    tolerance = max(first.step, second.step) + DRIFT * length
    kind = _kind(missing, tolerance)
    text = _joint_text(kind, pair, missing, tolerance)
    return Joint(index, index + 1, kind, missing, tolerance, text, changes)


def _kind(missing: float, tolerance: float) -> JointKind:
    if abs(missing) <= tolerance:
        return "seamless"
    return "gap" if missing > 0 else "overlap"


def _joint_text(kind: JointKind, pair: str, missing: float, tolerance: float) -> str:
    about = quantity(tolerance, "s")
    if kind == "seamless":
        return f"{pair} follow one another, as far as the clock tells: within {about}."
    off = f"give or take {about}"
    if kind == "gap":
        return f"{quantity(missing, 's', 6)} are missing between {pair}, {off}."
    return f"{pair} overlap by {quantity(-missing, 's', 6)}, {off}."


def _changes(before: Layout, after: Layout) -> Iterator[str]:
    if before.rate != after.rate:
        yield f"rate {before.rate} → {with_unit(str(after.rate), 'Hz')}"
    if before.channels != after.channels:
        yield f"channels {before.channels} → {after.channels}"
    if before.encoding != after.encoding:
        yield f"encoding {before.encoding} → {after.encoding}"


# Notes


def _notes_of_order(files: tuple[SequenceFile, ...], starts: list[Start]) -> Iterator[Note]:
    unknown = tuple(index for index, start in enumerate(starts) if start.place is None)
    if unknown and len(files) > 1:
        text = (
            f"The start of {len(unknown)} of {len(files)} files is not known: the order is that of"
            " their names."
        )
        yield Note("order by name", text, unknown)
    names = [by_name(_base(file.name)) for file in files]
    if not unknown and names != sorted(names):
        yield Note("other order", "The order by start is not that of the names; the starts count.")
    said: dict[str, list[int]] = defaultdict(list)
    for index, start in enumerate(starts):
        for remark in start.remarks:
            said[remark].append(index)
    for remark, indices in said.items():
        yield Note("start", remark, tuple(indices))


def _duplicates(recordings: list[Recording]) -> Iterator[Note]:
    alike: dict[object, list[int]] = defaultdict(list)
    for index, recording in enumerate(recordings):
        alike[_mark(recording, index)].append(index)
    for indices in alike.values():
        if len(indices) > 1:
            names = ", ".join(recordings[index].name for index in indices)
            text = f"The same sound, in length and at both ends, is in {names}."
            yield Note("duplicate", text, tuple(indices))


def _mark(recording: Recording, index: int) -> object:
    """What is the same in copies; the index where there is nothing to compare."""
    source, layout = recording.source, recording.layout
    end = layout.data_start + layout.frames_before_zeros * layout.frame_bytes
    if end == layout.data_start:
        return index
    last = max(layout.data_start, end - COMPARED)
    try:
        head = source.read(layout.data_start, min(COMPARED, end - layout.data_start))
        ends = head + source.read(last, end - last)
    except RecordingError:
        return index
    return layout.frames, layout.channels, layout.encoding, blake2b(ends).digest()


def _mixed(files: tuple[SequenceFile, ...]) -> Iterator[Note]:
    formats: dict[str, list[int]] = defaultdict(list)
    for index, file in enumerate(files):
        layout = file.layout
        text = format_words(layout)
        formats[text].append(index)
    if len(formats) > 1:
        counts = "; ".join(
            f"{text}: {len(indices)} {'file' if len(indices) == 1 else 'files'}"
            for text, indices in formats.items()
        )
        yield Note("mixed formats", f"The files are not of one format. {counts}.")


def _schedule(starts: list[Start], joints: tuple[Joint, ...]) -> Iterator[Note]:
    """Pauses that a recorder was told to make look like gaps; equal distances tell them apart."""
    places = [start.place for start in starts if start.place is not None]
    pauses = len(joints) > 1 and all(joint.kind == "gap" for joint in joints)
    if not pauses or len(places) < len(starts):
        return
    distances = [after - before for before, after in pairwise(places)]
    if max(distances) - min(distances) <= max(joint.tolerance for joint in joints):
        text = (
            f"Every file starts {quantity(distances[0], 's', 6)} after the one before: this looks"
            " like a schedule with pauses, not like gaps."
        )
        yield Note("schedule", text)
