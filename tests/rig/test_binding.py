"""What inputs and outputs stand for in a rig: by the declarations alone, whoever made them."""

import re
from collections import Counter
from graphlib import TopologicalSorter
from math import hypot, isclose

import pytest

from calculators.declare import Calculator, Choice, Input, Number
from calculators.evaluate import defaults, evaluate
from calculators.registry import CALCULATORS
from calculators.rig.requirements import ample
from calculators.rig.schema import ENTRIES, SECTIONS

NAME = re.compile(r"[a-z]+(_[a-z0-9]+)*")

USUAL = {
    "acoustic-match": {
        "behind": "water again: with resin against without",
        "behind_impedance": "none while that is so",
        "film_thickness": "no verdict of a rig: what a film would cost",
        "film_pressure": "of that film",
        "element_shape": "no verdict: what a gap all round would leave",
        "element_diameter": "of that gap",
    },
    "ambient-noise": {"rain": "no verdict: it is only drawn"},
    "bubble-resonance": {
        "place": "in the resin, where nobody gets it out",
        "surface_tension": "none there",
        "polytropic_exponent": "of air that keeps its heat",
        "gas_fraction": "no verdict: sound speed of a froth",
    },
    "clock-drift": {
        "time_before": "no verdict of a rig: the error without marks",
        "air_temperature": "of that time",
        "second_offset": "no verdict of a rig: another recorder",
        "second_curvature": "of it",
        "second_turnover": "of it",
        "second_ageing": "of it",
        "second_temperature": "of it",
        "sample_offset": "no verdict: time counted in samples",
        "file_length": "of that time",
    },
    "front-end-noise": {
        "wanted_noise_level": "no verdict of a rig: it is held against its water",
    },
    "leak-budget": {
        "gauge_step": "no verdict: how long a hold lasts",
        "unseen_warming": "no verdict: how long a hold lasts",
    },
    "listening-range": {
        "transition_ratio": "from sand to silt, by its tolerance",
        "excess_loss": "from a cylinder to open water, by its tolerance",
    },
    "mooring-load": {
        "exponent": "of a river's or a tide's profile",
        "buoy_drag": "of a ball",
        "line_drag": "of a cylinder",
        "strouhal_number": "of a cylinder",
    },
    "sound-speed": {
        "second": "no answer that a rig takes: which formula is compared",
        "distance": "no answer that a rig takes: how far a ray is drawn",
    },
    "supply-split": {
        "frequency": "no verdict: of ripple and crosstalk",
        "wanted_peak": "no verdict of a rig: the level chain holds the swing against the sound",
    },
}
"""Inputs that a rig leaves at their defaults, by calculator, and why they may be: each is a
convention, or moves nothing that is required of a rig or handed on in it. A new input without an
entry has to be decided on here."""

BOUND = [(card, item) for card in CALCULATORS.values() for item in card.inputs if item.rig]

GIVEN = {o.rig: (card, o) for card in CALCULATORS.values() for o in card.outputs if o.rig}

USES: dict[str, list[tuple[Calculator, Input]]] = {}
for _card, _item in BOUND:
    USES.setdefault(_item.rig, []).append((_card, _item))

SHARED = {entry: [item for _, item in uses] for entry, uses in USES.items() if len(uses) > 1}

REQUIRED = [
    (card, output)
    for card in CALCULATORS.values()
    if card.in_rig
    for output in card.outputs
    if output.verdict and output.verdict.in_rig
]


def test_an_entry_is_called_by_its_section_and_plain_words():
    for entry in {*USES, *GIVEN}:
        section, *names = entry.split(".")
        assert section in SECTIONS, entry
        assert 1 <= len(names) <= 2, entry
        assert all(NAME.fullmatch(name) for name in names), entry


def test_what_stands_in_rows_has_an_entry_in_rows_and_nothing_else_has():
    for card, item in BOUND:
        groups = item.rig.split(".")[1:-1]
        assert groups == ([item.group] if item.group else []), (card.id, item.name)


def test_no_calculator_asks_twice_for_one_entry():
    asked = Counter((card.id, item.rig) for card, item in BOUND)
    assert [place for place, times in asked.items() if times > 1] == []


def test_inputs_of_one_entry_are_of_one_kind_and_unit():
    for entry, items in SHARED.items():
        kinds = {(type(i), i.si_unit, getattr(i, "integer", False)) for i in items}
        assert len(kinds) == 1, entry


def test_some_value_of_an_entry_suits_all_that_ask_for_it():
    for entry, items in SHARED.items():
        numbers = [item for item in items if isinstance(item, Number)]
        if numbers:
            low, high = max(i.low_si for i in numbers), min(i.high_si for i in numbers)
            assert low < high, entry


def test_choices_of_one_entry_have_the_same_options():
    for entry, items in SHARED.items():
        options = {tuple(o.value for o in i.options) for i in items if isinstance(i, Choice)}
        assert len(options) <= 1, entry


def test_one_output_at_most_gives_an_entry_and_someone_asks_for_it():
    given = Counter(o.rig for card in CALCULATORS.values() for o in card.outputs if o.rig)
    assert [entry for entry, times in given.items() if times > 1] == []
    assert given.keys() <= USES.keys()


@pytest.mark.parametrize("entry", sorted(GIVEN))
def test_an_output_is_in_the_unit_of_what_it_stands_in_for(entry):
    _, output = GIVEN[entry]
    assert not output.group
    for _, item in USES[entry]:
        assert isinstance(item, Number)
        assert item.si_unit == output.si_unit


def test_no_answer_waits_for_itself():
    before = {
        card.id: {GIVEN[item.rig][0].id for item in card.inputs if item.rig in GIVEN}
        for card in CALCULATORS.values()
    }
    assert len([*TopologicalSorter(before).static_order()]) == len(CALCULATORS)


@pytest.mark.parametrize(
    ("card", "output"), REQUIRED, ids=[f"{card.id}.{output.name}" for card, output in REQUIRED]
)
def test_every_requirement_says_how_much_is_ample(card, output):
    values = defaults(card)
    limit = output.verdict.limit_in({**values, **evaluate(card, values)})
    assert ample(output.verdict, output, limit) > 0


def test_a_calculator_that_is_required_of_a_rig_judges_it():
    required = {card.id for card in CALCULATORS.values() if card.in_rig}
    assert required == {card.id for card, _ in REQUIRED}


@pytest.mark.parametrize("card", CALCULATORS.values(), ids=CALCULATORS.keys())
def test_what_a_rig_leaves_as_usual_was_decided_on(card):
    counts = card.in_rig or any(output.rig for output in card.outputs)
    unbound = {item.name for item in card.inputs if not item.rig} if counts else set()
    assert unbound == USUAL.get(card.id, {}).keys()


def test_the_level_chain_adds_the_noise_of_the_front_end_up_to_what_it_was_summed_from():
    """Handed on as a mean, over the same band, with the recorder's counted once."""
    noise, levels = CALCULATORS["front-end-noise"], CALCULATORS["level-chain"]
    chain = defaults(noise) | {"gain": 12.0, "band_from": 20.0, "band_to": 30e3}
    summed = evaluate(noise, chain)
    values = defaults(levels)
    values |= {name: chain[name] for name in chain.keys() & values.keys()}
    values |= {"front_end_noise": summed["mean_noise"], "band_low": 20.0, "band_high": 30e3}
    handed = evaluate(levels, values)
    # Rounding is the only noise that the front end knows nothing of.
    floor, rounding = (10 ** (handed[name] / 20) for name in ("noise_floor", "rounding_level"))
    full_scale = values["recorder_full_scale"] * 10 ** (-values["recorder_gain"] / 20)
    volts = full_scale * 10 ** ((handed["system_sensitivity"] + handed["noise_floor"]) / 20)
    assert isclose(
        hypot(volts * rounding / floor, summed["recorder_band_noise"]), volts, rel_tol=1e-9
    )


def test_what_holds_otherwise_is_an_entry_that_stands_once_and_measures_the_same():
    found = [
        item
        for card in CALCULATORS.values()
        for item in card.inputs
        if isinstance(item, Number) and item.rig_otherwise
    ]
    assert found
    for item in found:
        other = ENTRIES[item.rig_otherwise]
        assert item.rig
        assert not other.rows
        assert other.item.si_unit == item.si_unit
