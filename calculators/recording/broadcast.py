"""The start of a recording, from the broadcast extension chunk (``bext``)."""

import re
from datetime import UTC, datetime, timedelta

from calculators.recording.layout import Fault
from calculators.recording.quantity import quantity

LEAST_BYTES = 346
"""Up to the end of TimeReference."""

TOLERANCE = 2.0
"""The written time and the count of samples may differ by this (s): one is cut to whole seconds."""

_DATE = slice(320, 330)
_TIME = slice(330, 338)
_COUNT = slice(338, 346)
_DAY = 86_400
_DIGITS = re.compile(r"(\d{4})\D(\d\d)\D(\d\d)(\d\d)\D(\d\d)\D(\d\d)", re.ASCII)


def read_start(body: bytes, rate: int, place: int) -> tuple[float | None, tuple[Fault, ...]]:
    """Start in seconds since 1970, without zone, and what is wrong with it.

    The date and time are those of OriginationDate and OriginationTime. TimeReference, the samples
    since midnight, refines the time where both agree; where they contradict each other, the
    written time counts and both are named. Zero stands for a count that was not written.

    Args:
        body: Of the chunk, from its first byte, at least ``LEAST_BYTES`` of it.
        rate: Frames a second.
        place: Byte of the file where the body starts.
    """
    if len(body) < LEAST_BYTES or not body[_DATE.start : _TIME.stop].strip(b"\0 "):
        return None, ()
    written = _written(body)
    if written is None:
        text = body[_DATE.start : _TIME.stop].decode("latin-1").strip("\0 ")
        text = "".join(letter if letter.isprintable() else "?" for letter in text)
        text = f"The start that the recorder wrote, “{text}”, is no date and time."
        return None, (Fault("start time", text, place + _DATE.start),)
    counted = int.from_bytes(body[_COUNT], "little") / rate
    return _refined(written, counted, place)


def _written(body: bytes) -> datetime | None:
    found = _DIGITS.fullmatch(body[_DATE.start : _TIME.stop].decode("latin-1"))
    if found is None:
        return None
    year, month, day, hour, minute, second = map(int, found.groups())
    try:
        return datetime(year, month, day, hour, minute, second, tzinfo=UTC)
    except ValueError:
        return None


def _refined(written: datetime, counted: float, place: int) -> tuple[float, tuple[Fault, ...]]:
    start = written.timestamp()
    if counted == 0:
        return start, ()
    midnight = start - start % _DAY
    nearest = round((start - midnight - counted) / _DAY) * _DAY
    fine = midnight + counted + nearest
    if abs(fine - start) <= TOLERANCE and counted < _DAY:
        return fine, ()
    text = (
        f"The recorder wrote {written:%H:%M:%S} as its start, but counts"
        f" {quantity(round(counted), 's', 6)} since midnight{_clock(counted)}. The written time is"
        " used."
    )
    return start, (Fault("start time", text, place + _COUNT.start),)


def _clock(seconds: float) -> str:
    if seconds >= _DAY:
        return ", more than a day"
    return f", {datetime.fromtimestamp(0, UTC) + timedelta(seconds=seconds):%H:%M:%S}"
