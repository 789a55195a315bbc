"""Merging in one fixed shape, whatever the order in which results come."""

import doctest
from random import Random

import pytest

from calculators.recording import tree
from calculators.recording.tree import Tree, levels


def _join(one, two):
    return f"({one}{two})"


def _sent_off(count):
    results = [chr(97 + n) for n in range(count)]
    for pairs in levels(count):
        results = [_join(results[a], results[b]) for a, b in pairs] + results[2 * len(pairs) :]
    (only,) = results
    return only


@pytest.mark.parametrize("count", range(1, 18))
def test_the_shape_is_the_same_in_any_order_and_on_a_cluster(count):
    wanted = _sent_off(count)
    assert wanted.replace("(", "").replace(")", "") == "abcdefghijklmnopqrstuvwxyz"[:count]
    for seed in range(8):
        order = list(range(count))
        Random(seed).shuffle(order)
        grown = Tree(count, _join)
        for number in order:
            grown.add(number, chr(97 + number))
        assert grown.result() == wanted


def test_what_is_held_grows_with_the_logarithm_of_the_count():
    grown = Tree(1000, lambda one, two: one + two)
    for number in range(1000):
        grown.add(number, 1)
        assert len(grown._waiting) <= 10
    assert grown.result() == 1000


def test_examples_hold():
    assert doctest.testmod(tree).failed == 0
