"""Arrays and plain values as bytes and back: bounded, checked, and nothing is ever executed.

A mark with the version, the length of a description in JSON, its bytes, a checksum of all the
rest, then the arrays one after another. They are not compressed: they are sums of noise, which
shrink by a third at most, and that took ten times as long as all else.
"""

import json
from collections.abc import Mapping
from math import prod
from struct import Struct
from typing import Any
from zlib import crc32

import numpy as np

from calculators.recording.arrays import Array
from calculators.recording.errors import RecordingError

MARK = b"WSPART03"
"""What the bytes begin with; its last two digits are the version."""

HEAD = Struct("<8sII")
"""Mark, length of the description, checksum of all that follows."""

LONGEST_DESCRIPTION = 2**26
LARGEST = 2**28
"""Bytes of the arrays together."""

KINDS = {"<f8", "<c16", "<i8"}


def pack(description: Mapping[str, Any], arrays: Mapping[str, Array]) -> bytes:
    """The bytes of a description and of arrays of floats, complex numbers or whole numbers."""
    little = {name: np.asarray(array, order="C") for name, array in arrays.items()}
    little = {name: array.astype(array.dtype.newbyteorder("<")) for name, array in little.items()}
    table = {name: [array.dtype.str, list(array.shape)] for name, array in little.items()}
    text = json.dumps({"arrays": table, **description}).encode()
    body = b"".join([text, *(array.tobytes() for array in little.values())])
    return HEAD.pack(MARK, len(text), crc32(body)) + body


def unpack(data: bytes) -> tuple[dict[str, Any], dict[str, Array]]:
    """What ``pack`` was given.

    Raises:
        RecordingError: If the bytes are something else, of another version, or damaged.
    """
    if len(data) < HEAD.size or data[:6] != MARK[:6]:
        raise refused("These bytes are no partial result.")
    mark, length, checksum = HEAD.unpack_from(data)
    if mark != MARK:
        raise refused("It is of another version of the program. Check the recording again.")
    body = memoryview(data)[HEAD.size :]
    if length > min(len(body), LONGEST_DESCRIPTION) or crc32(body) != checksum:
        raise refused("It is damaged. Check the recording again.")
    try:
        description = json.loads(bytes(body[:length]))
        return description, _arrays(description.pop("arrays"), body[length:])
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise refused("It is damaged. Check the recording again.") from error


def refused(message: str) -> RecordingError:
    """The refusal of a partial result."""
    return RecordingError("partial result", message)


def _arrays(table: dict[str, tuple[str, list[int]]], raw: memoryview) -> dict[str, Array]:
    sizes = {name: prod(shape) * int(kind[2:]) for name, (kind, shape) in table.items()}
    total = sum(sizes.values())
    if any(kind not in KINDS for kind, _ in table.values()) or not 0 <= total <= LARGEST:
        raise ValueError("no arrays of ours")
    if len(raw) != total:
        raise ValueError("arrays of another length")
    found, at = {}, 0
    for name, (kind, shape) in table.items():
        piece = raw[at : at + sizes[name]]
        found[name] = np.frombuffer(piece, dtype=kind).reshape(shape).copy()
        at += sizes[name]
    return found
