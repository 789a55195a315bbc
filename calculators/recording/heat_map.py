"""A table of levels as a picture of one dot a value: our own colours, and a PNG of them.

The colours go from the dark of deep water over its green to the brass of a lamp. Neighbours
lie equally far apart in the OKLab colour space, so equal steps of level look equal; lightness only
rises, so a grey copy or an eye without colour sees the same picture.
"""

import base64
import struct
import zlib
from functools import cache

import numpy as np

from calculators.recording.arrays import Bytes, Floats

SHADES = 128
"""Steps of colour; over 64 dB each is half a decibel, finer than an eye tells apart."""

EMPTY = SHADES
"""The palette's entry for where nothing was recorded: see-through."""

_STOPS = (
    # lightness, chroma, hue in degrees: between them each goes evenly
    (0.16, 0.040, 264.0),
    (0.34, 0.066, 244.0),
    (0.54, 0.082, 200.0),
    (0.72, 0.105, 150.0),
    (0.86, 0.125, 108.0),
    (0.965, 0.045, 96.0),
)

_LMS_OF_LAB = np.array(
    [
        [1.0, 0.3963377774, 0.2158037573],
        [1.0, -0.1055613458, -0.0638541728],
        [1.0, -0.0894841775, -1.2914855480],
    ]
)
"""OKLab to the cube roots of cone responses, and those to linear sRGB: the published matrices."""

_RGB_OF_LMS = np.array(
    [
        [4.0767416621, -3.3077115913, 0.2309699292],
        [-1.2684380046, 2.6097574011, -0.3413193965],
        [-0.0041960863, -0.7034186147, 1.7076147010],
    ]
)


@cache
def colours() -> Bytes:
    """The colours from the lowest level to the highest; shape (SHADES, 3), red green blue."""
    linear = (_even_path() @ _LMS_OF_LAB.T) ** 3 @ _RGB_OF_LMS.T
    if linear.min() < 0 or linear.max() > 1:
        raise AssertionError("a colour of the map lies outside what a screen shows")
    curved = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.asarray(np.round(255 * curved), np.uint8)


def _even_path() -> Floats:
    """Points of OKLab along the stops, each as far from the next; shape (SHADES, 3)."""
    stops = np.array(_STOPS)
    fine = np.linspace(0, len(stops) - 1, 2001)
    lightness, chroma, hue = (np.interp(fine, np.arange(len(stops)), s) for s in stops.T)
    angle = np.radians(hue)
    path = np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)], axis=-1)
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    even = np.linspace(0, length[-1], SHADES)
    return np.stack([np.interp(even, length, part) for part in path.T], axis=-1)


def shade_of(part: Floats) -> Bytes:
    """The palette's entry for each part of the range; what lies beyond an end is shown as it."""
    finite = np.nan_to_num(part, nan=0.0, posinf=1.0, neginf=0.0)
    inside = np.clip(np.floor(finite * SHADES), 0, SHADES - 1)
    return np.where(np.isnan(part), EMPTY, inside).astype(np.uint8)


def heat_map_png(levels: Floats, low: float, high: float) -> bytes:
    """A PNG of these levels, one dot each, the first row at the top.

    Args:
        levels: dB; shape (rows, columns). NaN is see-through: nothing was recorded. −inf, where
            something was recorded and is nothing but zeros, has the lowest colour.
        low, high: Levels at both ends of the colours.
    """
    shades = shade_of((levels - low) / (high - low))
    rows, columns = shades.shape
    lines = np.zeros((rows, columns + 1), np.uint8)  # a line begins with its filter: none
    lines[:, 1:] = shades
    palette = colours().tobytes() + b"\0\0\0"
    return b"".join(
        [
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 3, 0, 0, 0)),
            _chunk(b"PLTE", palette),
            _chunk(b"tRNS", b"\xff" * SHADES + b"\0"),
            _chunk(b"IDAT", zlib.compress(lines.tobytes(), 6)),
            _chunk(b"IEND", b""),
        ]
    )


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def as_address(png: bytes) -> str:
    """The PNG as an address that holds it, for a picture that refers to nothing outside."""
    return f"data:image/png;base64,{base64.b64encode(png).decode()}"
