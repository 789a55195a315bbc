"""A square code holds its address, in the least room."""

import re

import pytest
import segno

from calculators.square_code import PACKED, fits, square_code


def dark(code) -> int:
    return len(re.findall("M", code["path"]))


def test_the_code_is_that_of_the_library():
    address = "https://example.org/calculators/x/#x?v=1&a=8.2nF"
    matrix = segno.make(address, error="m", micro=False).matrix
    code = square_code(address)
    assert code["size"] == len(matrix)
    assert dark(code) == sum(map(sum, matrix))


def test_packed_entries_take_less_room_than_the_same_in_bytes():
    packed = "AB82E-10$20:" * 150 + "AC1"
    address = f"https://example.org/rig/#rig?v=1&name=x{PACKED}{packed}"
    in_bytes = segno.make(address, error="l", micro=False)
    assert square_code(address)["size"] < len(in_bytes.matrix)


@pytest.mark.parametrize(
    ("before", "filler", "after"),
    [
        ("https://example.org/#x?note=", "n", ""),
        (f"https://example.org/#x?{PACKED}", "A", ""),
        ("https://example.org/#x?note=", "n", f"{PACKED}{'AB8.2' * 300}"),
    ],
)
def test_what_fits_is_what_the_library_takes(before, filler, after):
    """To the last sign: in bytes, in packed entries, and in a long note before these."""
    longest = next(n for n in range(5000) if not fits(before + filler * (n + 1) + after))
    assert square_code(before + filler * longest + after)["size"] == 177
    with pytest.raises(segno.DataOverflowError):
        square_code(before + filler * (longest + 1) + after)
