"""The colours of pictures of levels, and the PNG that carries them."""

import struct
import zlib

import numpy as np

from calculators.recording.heat_map import (
    EMPTY,
    SHADES,
    colours,
    heat_map_png,
    shade_of,
)


def _lightness():
    """CIE lightness of each colour: IEC 61966-2-1 to luminance, then ISO/CIE 11664-4."""
    parts = colours() / 255
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    luminance = linear @ np.array([0.2126, 0.7152, 0.0722])
    return np.where(
        luminance > (6 / 29) ** 3, 116 * np.cbrt(luminance) - 16, luminance * (29 / 3) ** 3
    )


def test_lightness_only_rises_so_that_grey_says_the_same():
    steps = np.diff(_lightness())
    assert steps.min() > 0.3
    assert steps.max() < 1.3
    assert _lightness()[-1] - _lightness()[0] > 88


def test_no_step_of_colour_stands_out():
    """Neighbours differ by at most six of 255 in red, green or blue."""
    assert np.abs(np.diff(colours().astype(int), axis=0)).max() <= 6


def test_levels_beyond_an_end_have_its_colour_and_gaps_have_none():
    parts = np.array([-0.5, 0.0, 0.999, 1.5, -np.inf, np.nan])
    assert shade_of(parts).tolist() == [0, 0, SHADES - 1, SHADES - 1, 0, EMPTY]


def _read_png(png):
    """Width, height, bit depth, colour type and lines, by the specification alone."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    place, chunks = 8, {}
    while place < len(png):
        (length,) = struct.unpack(">I", png[place : place + 4])
        kind, data = png[place + 4 : place + 8], png[place + 8 : place + 8 + length]
        (check,) = struct.unpack(">I", png[place + 8 + length : place + 12 + length])
        assert check == zlib.crc32(kind + data)
        chunks[kind] = data
        place += 12 + length
    width, height = struct.unpack(">II", chunks[b"IHDR"][:8])
    lines = np.frombuffer(zlib.decompress(chunks[b"IDAT"]), np.uint8).reshape(height, width + 1)
    return chunks, lines


def test_the_png_holds_a_dot_for_each_level():
    levels = np.array([[60.0, 70.0, 80.0], [np.nan, 65.0, 90.0]])
    chunks, lines = _read_png(heat_map_png(levels, 60.0, 80.0))
    assert chunks[b"IHDR"][8:] == bytes([8, 3, 0, 0, 0])
    assert lines[:, 0].tolist() == [0, 0]
    assert lines[:, 1:].tolist() == [[0, 64, 127], [EMPTY, 32, 127]]
    assert len(chunks[b"PLTE"]) == 3 * (SHADES + 1)
    assert chunks[b"tRNS"][-1] == 0
