"""What must hold for every formula, by its declaration alone."""

import doctest
from contextlib import suppress
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators import formulas, units
from calculators.describe import describe
from calculators.errors import InputError
from calculators.evaluate import evaluate
from calculators.formula import FORMULAS, remembered, tracing, untraced
from calculators.formulas.dive import still_water_pressure
from calculators.registry import CALCULATORS
from tests.cases import values

MODULES = [import_module(m.name) for m in iter_modules(formulas.__path__, "calculators.formulas.")]


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_the_examples_in_the_docstrings_are_true(module):
    """They are the first thing a newcomer tries; every public formula has one."""
    run = doctest.testmod(module)
    public = [f for f in FORMULAS.values() if f.function.__module__ == module.__name__]
    assert run.failed == 0
    assert run.attempted >= len(public)


@pytest.mark.parametrize("formula", list(FORMULAS.values()), ids=list(FORMULAS))
def test_the_unit_of_every_argument_is_in_the_tables(formula):
    """A quantity whose unit cannot be shown would break the working, not the formula."""
    for unit in (formula.unit, *(argument.unit for argument in formula.arguments)):
        assert units.format_display(1.0, unit)


@pytest.mark.parametrize("card", list(CALCULATORS.values()), ids=list(CALCULATORS))
@given(data=st.data())
@settings(max_examples=60)
def test_every_formula_that_an_answer_can_use_is_declared(card, data):
    """The working links each step to its evidence through the declaration, for every choice."""
    with tracing() as calls, suppress(InputError):  # what was used up to a refusal counts too
        evaluate(card, data.draw(values(card)))
    assert {call.formula.id for call in calls} <= declared(card)


def test_what_is_remembered_is_worked_out_once_and_noted_each_time():
    """The working shows every call, however often the same was asked before; refusals are not
    kept."""
    worked_out = []

    @remembered
    def pressure(depth, density):
        worked_out.append(depth)
        return still_water_pressure(depth=depth, water_density=density)

    assert pressure(2.0, density=1000.0) == pressure(2.0, density=1000.0)
    assert worked_out == [2.0]
    for _ in range(2):
        with tracing() as calls:
            pressure(2.0, density=1000.0)
        assert [call.arguments for call in calls] == [{"depth": 2.0, "water_density": 1000.0}]
    for _ in range(2):
        with pytest.raises(InputError):
            pressure(2.0, density=-1.0)


def test_what_is_untraced_or_refused_is_not_noted():
    """A search stays out of the working, and so does a formula that gives no answer."""
    with untraced(), tracing() as calls:
        still_water_pressure(1.0, 1000.0)
        with untraced():
            still_water_pressure(2.0, 1000.0)
        with suppress(InputError):
            still_water_pressure(3.0, -1.0)
        with tracing() as inner:
            still_water_pressure(4.0, 1000.0)
        still_water_pressure(5.0, 1000.0)
    still_water_pressure(6.0, 1000.0)
    assert [call.arguments["depth"] for call in calls] == [1.0, 5.0]
    assert [call.arguments["depth"] for call in inner] == [4.0]


def test_a_formula_takes_its_arguments_by_name_and_in_order_and_no_others():
    """The working has them in the order of the formula, however they were given."""
    assert still_water_pressure(2.0, water_density=1000.0) == still_water_pressure(2.0, 1000.0)
    with tracing() as calls:
        still_water_pressure(water_density=1000.0, depth=2.0)
    assert list(calls[0].arguments.items()) == [("depth", 2.0), ("water_density", 1000.0)]
    for wrong in ({"depth": 2.0}, {"depth": 2.0, "water_density": 1000.0, "more": 1.0}):
        with pytest.raises(TypeError):
            still_water_pressure(**wrong)


@cache
def declared(card):
    """Every formula that the declaration names."""
    return {formula["id"] for formula in describe(card)["formulas"]}
