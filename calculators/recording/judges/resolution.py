"""How fine the samples are: one step of what was converted, which may be coarser than the file."""

from collections.abc import Iterator
from math import frexp

from calculators.recording.findings import Finding, finding
from calculators.recording.judges.common import whole
from calculators.recording.layout import SAMPLE_BYTES, Encoding
from calculators.recording.quantity import quantity
from calculators.recording.scale import BITS
from calculators.recording.summary import Summary

SPARE = 14.0
"""Bits of the extremes, all channels together, that must be zero beyond chance: in whole samples
of all bits that happens in one of 16,000 recordings (worked out here: 2 to the power of −14)."""

COARSE = 20
"""Bits up to which it is worth a word: converters of 24 bits have as many that carry sound (common
practice, no source), and files of 32 bits often hold 24."""

FINEST: dict[Encoding, int] = {
    encoding: 8 * size - 1 for encoding, size in SAMPLE_BYTES.items() if encoding != "float32"
}
"""Binary places of the samples, as parts of full scale; of floating point it is the value's own."""

FLOAT_BITS = 24
"""Of the significand of a 32-bit float."""


def judge_resolution(summary: Summary) -> Iterator[Finding]:
    """Whether the low bits are empty."""
    places = found_places(summary)
    if places is None or places + 1 > COARSE:
        return
    encoding = summary.files[0].layout.encoding
    if FINEST.get(encoding) == places:
        return
    floating = encoding == "float32"
    room = "32-bit floating point" if floating else quantity(FINEST[encoding] + 1, "bits")
    used = quantity(places + 1, "bits")
    what = (
        f"The file has {room}, but its largest and smallest samples are whole steps of {used}: the "
        f"rest is empty, and the rounding noise is that of {used}."
    )
    yield finding("few bits", "note", "likely", what, whole(None))


def step_of(summary: Summary) -> float | None:
    """One step of the samples, FS: as found, else as the coarsest file has it; None for floats."""
    found = found_places(summary)
    encodings = {file.layout.encoding for file in summary.files}
    bits = min((BITS[e] for e in encodings if e in BITS), default=None)
    written = None if bits is None else bits - 1
    places = min((p for p in (found, written) if p is not None), default=None)
    return None if places is None else 2.0**-places


def found_places(summary: Summary) -> int | None:
    """Binary places after which the samples are empty; None where that can't be told.

    Only the extremes of each channel are known, sample by sample. Each is a multiple of a coarser
    step by chance in one of two to the power of the bits that are spared.
    """
    encodings = {file.layout.encoding for file in summary.files}
    if len(encodings) != 1:
        return None
    (encoding,) = encodings
    extremes = {abs(v) for c in summary.by_channel for v in (c.lowest, c.highest)}
    # The lowest sample of a clipped file is a whole number of any steps.
    told = {value for value in extremes if 0 < value < 1}
    if not told:
        return None
    places = max(_places(value) for value in told)
    spared = sum(_finest(value, encoding) - places for value in told)
    return places if spared >= SPARE else None


def _places(value: float) -> int:
    """Binary places that a value needs."""
    return max(0, (value.as_integer_ratio()[1] - 1).bit_length())


def _finest(value: float, encoding: Encoding) -> int:
    """Binary places that it might need."""
    return FINEST.get(encoding, FLOAT_BITS - frexp(value)[1])
