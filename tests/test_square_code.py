"""A square code holds its address, in the least room."""

import re

import segno

from calculators.rig.sheet import LONGEST_CODE
from calculators.square_code import PACKED, square_code


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


def test_the_longest_link_of_a_sheet_still_makes_a_code():
    head = f"https://example.org/a/page/of/a/handbook/rig/#rig?v=1&name={'n' * 100}{PACKED}"
    address = head + "A" * (LONGEST_CODE - len(head))
    assert square_code(address)["size"] <= 177
