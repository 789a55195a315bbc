"""Kinds of findings: their words, their links, their order."""

import doctest
import re
from types import ModuleType

import pytest

from calculators.recording import calibration, quantity
from calculators.recording.findings import (
    KINDS,
    MOST_SPANS,
    Span,
    finding,
    ordered,
)
from calculators.recording.judges import common
from site_src.paths import DOCS

ANCHOR = re.compile(r"\{\s*#([a-z0-9-]+)\s*\}\s*$", re.MULTILINE)
HEADING = re.compile(r"^#{1,6}\s+(.*?)\s*(?:\{.*\})?\s*$", re.MULTILINE)


def anchors(text: str) -> set[str]:
    """Those that are written, and those that a heading gets by itself."""
    own = {re.sub(r"[^\w\- ]", "", words).strip().lower() for words in HEADING.findall(text)}
    return set(ANCHOR.findall(text)) | {re.sub(r"[\s]+", "-", words) for words in own}


@pytest.mark.parametrize("kind", KINDS)
def test_the_handbook_has_the_page_that_a_finding_names(kind: str) -> None:
    page, _, anchor = KINDS[kind].page.partition("#")
    text = (DOCS / page).read_text()
    assert not anchor or anchor in anchors(text), f"{page} has no #{anchor}"


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_says_what_it_may_come_from_and_what_to_do(kind: str) -> None:
    words = KINDS[kind]
    assert words.title[0].isupper()
    assert words.causes
    assert all(not cause.endswith(".") for cause in words.causes)
    assert words.todo
    assert all(todo.endswith(".") for todo in words.todo)


def test_places_are_bounded() -> None:
    spans = [Span(0, None, float(n), 1.0) for n in range(1000)]
    found = finding("clipped", "harms", "certain", "Clipped.", spans)
    assert found.where == tuple(spans[:MOST_SPANS])
    assert found.title == KINDS["clipped"].title


def test_the_gravest_comes_first_then_the_surest() -> None:
    weights = (
        ("note", "certain"),
        ("harms", "possible"),
        ("spoils", "likely"),
        ("harms", "likely"),
    )
    found = ordered(finding("hum", weight, sure, "Hum.") for weight, sure in weights)
    assert [(f.weight, f.sure) for f in found] == [
        ("spoils", "likely"),
        ("harms", "likely"),
        ("harms", "possible"),
        ("note", "certain"),
    ]


@pytest.mark.parametrize(("module", "examples"), [(common, 4), (quantity, 3), (calibration, 4)])
def test_the_words_of_numbers_are_as_their_examples_say(module: ModuleType, examples: int) -> None:
    result = doctest.testmod(module)
    assert result.attempted >= examples
    assert result.failed == 0
