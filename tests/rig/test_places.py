"""Where the keys of a TOML text stand: held against what tomllib reads from it."""

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from calculators.rig.files import write_rig
from calculators.rig.places import DEEPEST, Names, TooDeepError, places
from tests.rig.drawn import rigs

EVERYTHING = Path(__file__).with_name("everything.toml").read_text()


def leaves(value: Any, path: Names = ()) -> dict[Names, Any]:
    """Every value that is no table and no list, by its path; rows count from 1."""
    if isinstance(value, dict):
        members = [(k, v) for k, v in value.items()]
    elif isinstance(value, list):
        members = list(enumerate(value, 1))
    else:
        return {path: value}
    return {k: v for key, inner in members for k, v in leaves(inner, (*path, key)).items()}


def read_at(text: str, start: int, end: int) -> Any:
    """What tomllib makes of a value alone."""
    return tomllib.loads(f"x = {text[start:end]}")["x"]


def held_against_tomllib(text: str) -> None:
    """Each place holds exactly the value that tomllib reads under its path, on its line."""
    found = places(text)
    values = [place for place in found.found if place.kind == "value"]
    mine = {k: v for p in values for k, v in leaves(read_at(text, *p.value), p.path).items()}
    assert mine == leaves(tomllib.loads(text))
    lines = text.split("\n")
    for place in found.found:
        assert text[place.start : place.end].strip()
        last_name = str(next(n for n in reversed(place.path) if isinstance(n, str)))
        assert last_name.split('"')[0] in lines[place.line - 1]


def test_every_value_of_a_text_with_all_of_toml_is_found():
    """Strings of four kinds, lists, braces, heads, rows, remarks that look like keys."""
    held_against_tomllib(EVERYTHING)


@settings(max_examples=20, deadline=None)
@given(rigs())
def test_every_value_of_a_rig_is_found(rig):
    """Those that the editor will change."""
    held_against_tomllib(write_rig(rig))


def test_a_text_that_is_not_toml_is_followed_as_far_as_it_goes():
    """tomllib refuses it at that place or before."""
    found = places('a = 1\n[b]\nc = "x\nd = 2\n').found

    assert [place.path for place in found] == [("a",), ("b",), ("b", "c")]


@pytest.mark.parametrize(
    ("start", "more", "end"), [("a", ".a", " = 1"), ("x = ", "[", ""), ("x = ", "{a = ", "")]
)
def test_what_nests_too_deep_is_not_followed(start, more, end):
    """As many names, or as many brackets, as are allowed, and one more."""
    allowed = DEEPEST - 1 if more == ".a" else DEEPEST

    places(f"\n{start}{more * allowed}{end}")
    with pytest.raises(TooDeepError) as refused:
        places(f"\n{start}{more * (allowed + 1)}{end}")
    assert refused.value.line == 2
