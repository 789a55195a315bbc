"""What must hold for every calculator, by its declaration alone."""

import json
import re
from functools import cache
from math import isclose, isfinite

import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from calculators import units
from calculators.bridge import call
from calculators.declare import Calculator, Log, Number, Results, Values
from calculators.describe import describe
from calculators.errors import InputError
from calculators.evaluate import FormError, Given, asked, defaults, evaluate, read
from calculators.links import make_link
from calculators.logs import read_log
from calculators.present import answer, work
from calculators.registry import CALCULATORS
from calculators.solve import solve
from calculators.tolerance import Spread, spread
from tests.cases import values

SAYS_WHY = "^solved|More than one|does not change|has no load|there (is|are) only"
"""What solving for an answer of the calculator itself may say; "nothing gives it" is wrong."""

SLOW = {"case-fit"}
"""Each evaluation searches anew: milliseconds instead of microseconds, so fewer draws."""

EVERY = pytest.mark.parametrize("card", CALCULATORS.values(), ids=CALCULATORS.keys())


def texts(card: Calculator) -> dict[str, str]:
    """The default form: a text for every input."""
    return {
        i.name: i.field_text(i.default_si, "metric") if isinstance(i, Number) else i.default
        for i in card.inputs
    }


@EVERY
@given(data=st.data())
@settings(max_examples=100)
def test_inputs_in_range_give_finite_outputs_or_a_refusal_that_names_one(card, data):
    """Claim of the declaration: inside the ranges there is an answer, or a named reason why not."""
    given_values = data.draw(values(card))
    refused = None
    try:
        results = evaluate(card, given_values)
    except InputError as error:
        refused = error
    if refused is not None:
        assert refused.name in given_values, refused.message
        return
    assert set(results) == set(card.shape(given_values).outputs)
    assert all(isfinite(value) for value in results.values())


@EVERY
def test_a_value_out_of_range_is_refused_by_name_with_what_is_accepted(card):
    """Every number's both ends, one step beyond, in both systems of units."""
    for item in card.inputs:
        if not isinstance(item, Number):
            continue
        for system in ("metric", "us"):
            for beyond in (item.low_si - 1 - abs(item.low_si), item.high_si * 3 + 1):
                fields = texts(card) | {item.name: units.format_exact(beyond, item.unit)}
                if system == "us":
                    request = {"op": "convert", "calculator": card.id, "fields": fields}
                    fields = json.loads(call(json.dumps(request | {"system": "us"})))["fields"]
                with pytest.raises(FormError) as refused:
                    read(card, fields, {}, system)
                (error,) = refused.value.errors
                assert error.name == item.name
                assert item.label in error.message
                assert "Give" in error.message


@EVERY
def test_an_end_of_a_range_may_be_typed_as_it_is_printed(card):
    """Rounded outwards, it would be refused with the very words that offer it."""
    for item in card.inputs:
        if not isinstance(item, Number):
            continue
        for system in ("metric", "us"):
            for end in item.accepted(system).split(" to "):
                typed = end.partition(" re ")[0]  # the reference of a level stands at the field
                value = units.parse(typed, item.unit_in(system), name=item.name)
                item.check(value, item.name, system)


@EVERY
def test_every_wrong_text_is_refused_at_its_own_field(card):
    """Words, nothing, markup, infinities: each error names the field that holds it."""
    for item in card.inputs:
        for wrong in ("", "abc", "<script>alert(1)</script>", "nan", "inf", "1e999", "1,234"):
            with pytest.raises(FormError) as refused:
                read(card, texts(card) | {item.name: wrong}, {}, "metric")
            assert [e.name for e in refused.value.errors] == [item.name]


@EVERY
def test_all_errors_of_a_form_are_told_at_once(card):
    """A reader mends a form once, not field by field."""
    with pytest.raises(FormError) as refused:
        read(card, dict.fromkeys(texts(card), "?"), {}, "metric")
    assert len(refused.value.errors) == len(card.inputs)


@EVERY
@given(data=st.data())
@settings(max_examples=60)
def test_a_link_gives_back_exactly_the_values_that_made_it(card, data):
    """parse(format) is the identity for whole links, rows and choices included."""
    given_values = data.draw(values(card))
    try:
        results = evaluate(card, given_values)
    except InputError:
        assume(False)
    link = make_link(card, Given(given_values), results)
    body = dict(part.split("=", 1) for part in link.split("?", 1)[1].split("&"))
    assert link[-1].isalnum()
    assert all(c.isalnum() or c in "#?&=.-_~,/" for c in link)
    fields = {k: v for k, v in body.items() if k not in ("v", "edition", "gave")}
    opened = read(card, fields, {}, "metric", bare="refused").values
    assert understood(card, opened) == understood(card, given_values)


def understood(card: Calculator, values: Values) -> dict[str, object]:
    """Values with logs read: a link writes a log in fewer words."""
    logs = {k: i for k, i in card.inputs_by_name.items() if isinstance(i, Log)}
    return values | {k: read_log(str(values[k]), i.columns).columns for k, i in logs.items()}


@EVERY
def test_the_default_link_is_short_and_opens_to_the_defaults(card):
    """Under 2,000 characters, format version first, and no notice from its own edition."""
    tolerances = {i.name: i.tolerance for i in card.inputs if isinstance(i, Number) and i.tolerance}
    request = {
        "op": "answer",
        "calculator": card.id,
        "fields": texts(card),
        "tolerances": tolerances,
        "system": "metric",
    }
    reply = json.loads(call(json.dumps(request)))
    assert reply["ok"], reply
    assert len(reply["link"]) < 1_900
    assert reply["link"].startswith(f"#{card.id}?v=1&edition=")
    opened = json.loads(call(json.dumps({"op": "open_link", "hash": reply["link"]})))
    assert opened["ok"]
    assert opened["errors"] == []
    assert opened["notice"] is None
    assert opened["fields"] == texts(card)
    spaced = {k: "".join(t.split()) for k, t in opened["tolerances"].items() if t}
    assert spaced == {k: "".join(t.split()).replace("-", "−") for k, t in tolerances.items()}


def outputs_moved(card: Calculator, given_values: Values, name: str, results: Results) -> list[str]:
    """The answers that are others where this input is at an end of its range."""
    item = card.shape(given_values).inputs[name]
    found = set()
    for end in (item.low_si, item.high_si):
        try:
            other = evaluate(card, given_values | {name: end})
        except InputError:
            continue
        found |= {output for output in results if other[output] != results[output]}
    return sorted(found)


@EVERY
def test_solving_gives_back_the_input_that_was_evaluated(card):
    """solve∘evaluate is the identity where the answer decides the input, else it says why not.

    The target is an answer of the calculator itself, so "nothing gives it" would be wrong.
    """
    solved, tries = [], 30 if card.id in SLOW else 120

    # Without shrinking: a failure names its values, and to shrink one takes minutes.
    @given(data=st.data())
    @settings(
        max_examples=tries,
        phases=[Phase.explicit, Phase.generate],
    )
    def for_any_input(data):
        given_values = data.draw(values(card))
        # One that no choice hides: the others move nothing.
        numbers = [
            k
            for k, i in card.shape(given_values).inputs.items()
            if isinstance(i, Number) and asked(card, k, i, given_values)
        ]
        name = data.draw(st.sampled_from(numbers))
        try:
            results = evaluate(card, given_values)
        except InputError:
            return
        # An answer that this input moves, if there is one: no other can be solved for.
        moved = outputs_moved(card, given_values, name, results)
        output = data.draw(st.sampled_from(moved or list(results)))
        target = results[output]
        try:
            found = solve(card, given_values, output, target, name)
        except InputError as error:
            told = error.message
        else:
            told = "solved"
            again = evaluate(card, given_values | {name: found})[output]
            level = card.shape(given_values).outputs[output].si_unit.startswith("dB")
            ends = card.shape(given_values).inputs[name]
            same_input = isclose(
                found, given_values[name], abs_tol=1e-12 * (ends.high_si - ends.low_si)
            )
            assert same_input or again == pytest.approx(
                target, rel=1e-8, abs=1e-10 if level else 1e-12
            )
            solved.append(name)
        assert re.search(SAYS_WHY, told)

    for_any_input()
    assert len(solved) >= tries / 24, "too few to say anything"


@cache
def usual_spread(card: Calculator) -> tuple[Given, Spread]:
    """The default form with its usual tolerances, and the ranges of its answers."""
    keys = card.shape(texts(card)).inputs
    tolerances = {k: i.tolerance for k, i in keys.items() if isinstance(i, Number) and i.tolerance}
    form = read(card, texts(card), tolerances, "metric")
    return form, spread(card, form.values, form.spans, evaluate(card, form.values))


@EVERY
@given(data=st.data())
@settings(max_examples=40)
def test_no_draw_within_the_tolerances_leaves_the_range(card, data):
    """Independent draws (not those of the code) lie between low and high."""
    form, found = usual_spread(card)
    point = {k: data.draw(st.floats(*span)) for k, span in form.spans.items()}
    for output, value in evaluate(card, form.values | point).items():
        # A lowest value inside the box, such as that of a magnitude, is found in steps.
        slack = 1e-12 * abs(value) + 1e-4 * (found.high[output] - found.low[output])
        assert found.low[output] - slack <= value <= found.high[output] + slack


@EVERY
def test_the_shares_of_a_range_add_up_to_one_or_nothing(card):
    """The parts that the inputs cause are parts of one whole."""
    _, found = usual_spread(card)
    for shares in map(found.shares, found.low):
        assert sum(shares.values()) == pytest.approx(1) or not any(shares.values())


@EVERY
@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_whole_answer_is_plain_json_without_nan(card, system):
    """What goes to the page can be sent: no NaN, no infinity, texts everywhere."""
    form = read(card, texts(card), {}, "metric")
    shown = answer(work(card, form, system))
    assert json.loads(json.dumps(shown, allow_nan=False)) == shown
    assert all(output["text"] for output in shown["outputs"])
    assert shown["working"], "every calculator shows its working"


@EVERY
@given(data=st.data())
@settings(max_examples=60)
def test_the_picture_holds_for_any_inputs_in_range(card, data):
    """Claim of the declaration: also at the ends of the ranges axes have a width and hold all."""
    try:
        worked = work(card, Given(data.draw(values(card))), "metric")
    except InputError:
        return
    plot = answer(worked)["plot"]
    if plot is None:
        return
    assert json.loads(json.dumps(plot, allow_nan=False)) == plot
    (left, right), (bottom, top) = plot["x"]["domain"], plot["y"]["domain"]
    assert left < right
    assert bottom < top
    across = [mark["x"] for mark in plot["marks"]]
    across += [x for line in plot["lines"] for x, _ in line["points"]]
    assert all(left <= x <= right for x in across)


@EVERY
def test_every_used_formula_is_in_the_declaration_with_its_source(card):
    """The sources are one tap away from the answer."""
    declared = describe(card)["formulas"]
    assert declared
    assert all(f["sources"] and f["validity"] and f["tex"] for f in declared)


@EVERY
def test_converting_to_us_units_and_back_shows_the_same_form(card):
    """Switching units twice loses nothing."""
    request = {"op": "convert", "calculator": card.id, "fields": texts(card), "tolerances": {}}
    there = json.loads(call(json.dumps(request | {"system": "us"})))
    back = json.loads(call(json.dumps(request | {"system": "metric", "fields": there["fields"]})))
    assert back["fields"] == texts(card)


@EVERY
def test_an_unknown_input_is_refused_by_name(card):
    """A typing error in a name is not silently dropped."""
    with pytest.raises(FormError, match="is not an input of"):
        read(card, texts(card) | {"nonsense": "1"}, {}, "metric")


def test_defaults_need_no_form():
    """The build and the command line start from the declaration alone."""
    for card in CALCULATORS.values():
        assert work(card, Given(defaults(card)), "metric").results


@EVERY
def test_a_range_is_more_than_rounding(card):
    """Machines round differently: an answer that no tolerance moves must have no range at all."""
    tolerances = {i.name: i.tolerance for i in card.inputs if isinstance(i, Number)}
    given_form = read(card, texts(card), tolerances, "metric")
    results = evaluate(card, given_form.values)
    found = spread(card, given_form.values, given_form.spans, results)
    for output in results:
        low, high = found.low[output], found.high[output]
        assert low == high or not isclose(low, high, rel_tol=1e-12), output
