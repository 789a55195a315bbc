"""Does the page's bytecode refuse what the source refuses, in the same words?"""

import ast
import re
from math import inf, nan

import pytest

from calculators.errors import InputError
from calculators.formula import require_between, require_positive
from calculators.formulas.levels import LARGEST, require_level
from calculators.formulas.noise import not_negative
from site_src.checks_inline import with_checks_inline
from site_src.paths import CORE

CHECKS = {
    "require_positive": require_positive,
    "require_between": require_between,
    "not_negative": not_negative,
    "require_level": require_level,
}

SOURCE = '''
LOW = -2

def asked(size, level, part, gain):
    """Has require_positive(size=size) in its words."""
    require_positive(size=size)
    require_between(LOW, 3, level=level, part=part)
    not_negative(part=part)
    require_level(gain=gain)
    return "reached"
'''
TRIED = (
    *(-inf, -LARGEST - 0.5, -LARGEST, -3.0, -2.0, -1.0, -0.0, 0.0, 1e-320, 1.0, 3.0, 3.5),
    *(LARGEST, LARGEST + 0.5, inf, nan),
)


def outcome(source, *given):
    """What the function in a source returns, or the words in which it refuses."""
    place = dict(CHECKS)
    exec(source, place)
    try:
        return place["asked"](*given)
    except InputError as error:
        return error.name, error.message


@pytest.mark.parametrize("position", range(4))
@pytest.mark.parametrize("value", TRIED)
def test_what_is_asked_in_place_refuses_the_same_in_the_same_words(position, value):
    """At every edge, for infinity, and for what is no number."""
    given = [1.0, 1.0, 1.0, 1.0]
    given[position] = value
    inline = with_checks_inline(SOURCE)

    assert inline.count("if not (") == 4
    assert outcome(inline, *given) == outcome(SOURCE, *given)


@pytest.mark.parametrize(
    "line",
    ["require_positive(size=made())", "require_positive(**all)", "other(size=size)", "x = 1"],
)
def test_what_is_no_check_of_simple_values_stays_as_it_is(line):
    """A call would be made twice."""
    assert with_checks_inline(line) == line


def test_the_core_keeps_its_lines_and_nearly_every_check_is_asked_in_place():
    """A defect names a line; a check that is written another way would be slow unnoticed."""
    called = inline = 0
    for path in CORE.rglob("*.py"):
        source = path.read_text(encoding="utf-8")
        made = with_checks_inline(source)
        assert source.count("\n") == made.count("\n")
        called += sum(
            isinstance(n, ast.Call) and isinstance(n.func, ast.Name) and n.func.id in CHECKS
            for n in ast.walk(ast.parse(source))
        )
        inline += len(re.findall(rf"if not \(.*\): (?:{'|'.join(CHECKS)})\(", made))
    assert inline > 0.95 * called
