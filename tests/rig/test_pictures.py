"""The pictures of a rig show what its calculators say, and name what they cannot show."""

from dataclasses import replace
from math import inf, isfinite, log10

import pytest
from hypothesis import given, settings

from calculators.cards.ambient import water_in_band
from calculators.cards.window import lasts, timetable
from calculators.drawing import Dimension, Ellipse, Label, Polygon, Segment
from calculators.evaluate import Given, defaults, evaluate
from calculators.formulas.ambient import sea_level
from calculators.registry import CALCULATORS
from calculators.rig.facts import Facts
from calculators.rig.graph import Node, evaluate_rig
from calculators.rig.lanes import WIDTH, Bar, Lane, Lanes, Mark, apart, draw, ticks
from calculators.rig.model import Rig, Stated
from calculators.rig.pictures import PICTURES, ends_json, pictures, pictures_json
from calculators.rig.schema import Place
from calculators.rig.stations import rooms
from calculators.rig.timeline import End, ends
from calculators.tolerance import spread
from tests.rig.made import parts_of_it, whole_rig

WHOLE = whole_rig()
NODES = evaluate_rig(WHOLE)
FACTS = Facts(WHOLE, NODES)
DAY = 86400.0
PHONE = 340 / 7.3
"""Letters that stand in a line of the narrowest picture."""


def labels(drawing):
    """All words in it, with the spaces that a keyboard has."""
    return [s.text.replace("\u00a0", " ") for s in drawing.shapes if isinstance(s, Label)]


def points(drawing):
    for shape in drawing.shapes:
        match shape:
            case Polygon(points=found):
                yield from found
            case Segment(start=a, end=b) | Dimension(start=a, end=b):
                yield from (a, b)
            case Label(at=at):
                yield at
            case Ellipse(centre=at):
                yield at


# --- signal chain


@pytest.mark.parametrize(
    ("place", "output"), [(0, "front_end_clip"), (1, "input_clip"), (2, "full_scale_clip")]
)
def test_a_station_clips_where_the_level_chain_says(place, output):
    node = NODES["level-chain"]
    room = rooms(FACTS)[0][place]
    assert room.clip == pytest.approx(node.results[output], abs=1e-9)
    assert (room.clip_low, room.clip_high) == (node.spread.low[output], node.spread.high[output])


def test_the_last_station_has_the_noise_floor_and_each_adds_to_the_one_before():
    found = rooms(FACTS)[0]
    assert found[-1].noise == pytest.approx(NODES["level-chain"].results["noise_floor"], abs=1e-9)
    assert [r.noise for r in found] == sorted(r.noise for r in found)


def test_noise_of_the_sea_in_a_band_is_the_sum_of_its_density():
    """A million steps of the density itself, evenly over the frequencies."""
    values = defaults(CALCULATORS["ambient-noise"]) | {"water": "sea", "departure": 0.0}
    low, high, count = 100.0, 10_000.0, 20_000
    width = (high - low) / count
    total = sum(
        10 ** (sea_level(low + (n + 0.5) * width, values["shipping"], values["wind_speed"]) / 10)
        for n in range(count)
    )
    found = water_in_band(values, low, high)
    assert found.level == pytest.approx(10 * log10(total * width), abs=0.02)
    assert (found.low, found.high) == (low, high)


def test_noise_of_fresh_water_over_its_own_band_is_the_level_that_was_published():
    values = defaults(CALCULATORS["ambient-noise"]) | {
        "water": "fresh",
        "fresh_level": 90.0,
        "fresh_low": 100.0,
        "fresh_high": 10_000.0,
        "fresh_slope": -15.0,
        "departure": 0.0,
    }
    found = water_in_band(values, 1.0, 1e5)
    assert found.level == pytest.approx(90.0, abs=0.01)
    assert (found.low, found.high) == (100.0, 10_000.0)
    assert water_in_band(values, 1.0, 50.0) is None


def test_a_station_that_is_not_stated_is_left_out_and_named():
    rig = WHOLE.drop("recorder.input_limit")
    picture = pictures(rig, evaluate_rig(rig, NODES), "metric")["chain"]
    said = [text for text in picture.left_out if text.startswith("Recorder's input")]
    assert said == ["Recorder's input: not stated: Largest peak voltage at the recorder's input"]
    assert not any(text.startswith("Recorder's input") for text in labels(picture.drawing))
    assert any(text.startswith("Full scale") for text in labels(picture.drawing))


def test_the_water_is_drawn_though_the_rig_does_not_ask_for_its_margin():
    rig = replace(WHOLE, without=frozenset({"ambient-noise"}))
    drawing = pictures(rig, evaluate_rig(rig, NODES), "metric")["chain"].drawing
    asked = pictures(WHOLE, NODES, "metric")["chain"].drawing
    assert any(text.startswith("water ") for text in labels(drawing))
    assert labels(drawing) == labels(asked)


# --- timeline


def window_node(**values):
    """The deployment window with these inputs, as if the rest of the rig gave its battery."""
    card = CALCULATORS["deployment-window"]
    given = Given(defaults(card) | values)
    results = evaluate(card, given.values)
    return Node(
        card,
        given,
        derived={
            "battery_time": Place("runtime", "runtime"),
            "card_time": Place("recording-storage", "recording_time"),
        },
        stated={"duration": "plan.duration"},
        results=results,
        spread=spread(card, given.values, {}, results),
    )


def test_without_a_schedule_battery_and_card_last_as_long_as_they_record():
    nodes = {name: node for name, node in NODES.items() if name != "deployment-window"}
    found = {end.name: end for end in ends(Facts(WHOLE, nodes))}
    runtime, card = NODES["runtime"], NODES["recording-storage"]
    assert found["battery"] == End(
        "battery",
        runtime.results["runtime"],
        runtime.spread.low["runtime"],
        runtime.spread.high["runtime"],
    )
    assert found["card"].at == card.results["recording_time"]
    assert found["plan"].at == WHOLE.stated["plan.duration"].value


def test_around_the_clock_and_in_turns_a_battery_lasts_as_the_parts_say():
    """Two days of recording, half of every hour, without drain between: four days."""
    values = window_node(schedule="duty", on_time=1800.0, period=3600.0).given.values
    values |= {"standby_share": 0.0}
    assert lasts(values, "battery", 2 * DAY, 10 * DAY) == pytest.approx(4 * DAY)
    assert lasts(values, "battery", 2 * DAY, 3 * DAY) == inf
    values |= {"schedule": "continuous"}
    assert lasts(values, "card", 2 * DAY, 10 * DAY) == pytest.approx(2 * DAY)


def test_windows_of_every_day_stand_where_the_clock_says():
    """From six to nine, the recorder started at noon: first after 18 hours, then each day."""
    values = window_node(
        schedule="daily",
        start_time=12 * 3600.0,
        window_start=6 * 3600.0,
        window_end=9 * 3600.0,
        duration=3 * DAY,
    ).given.values
    table = timetable(values, 3 * DAY)
    assert table.windows == [(18 * 3600.0 + n * DAY, 21 * 3600.0 + n * DAY) for n in range(3)]
    assert all(0 <= a < b <= 3 * DAY for a, b in table.nights)


def test_the_timeline_marks_the_planned_end_and_the_earliest():
    node = window_node(
        schedule="continuous", duration=5 * DAY, battery_time=2 * DAY, card_time=9 * DAY
    )
    nodes = {**NODES, "deployment-window": node}
    picture = pictures(WHOLE, nodes, "metric")["timeline"]
    assert {"battery spent", "planned end"} <= set(labels(picture.drawing))
    assert "Schedule: around the clock" in labels(picture.drawing)
    assert ends_json(WHOLE, nodes)[0] == {
        "name": "battery", "text": "battery spent after 2\xa0d",
        "at": 2 * DAY, "low": 2 * DAY, "high": 2 * DAY,
    }  # fmt: skip


def test_a_battery_that_outlasts_the_plan_by_far_is_said_to_and_not_drawn_beyond():
    node = window_node(schedule="continuous", duration=DAY, battery_time=300 * DAY)
    facts = Facts(WHOLE, {**NODES, "deployment-window": node})
    battery = next(end for end in ends(facts) if end.name == "battery")
    assert battery.at == inf
    picture = pictures(WHOLE, facts.nodes, "metric")["timeline"]
    assert "Battery: lasts more than twice as long" in labels(picture.drawing)
    assert all(isfinite(x) for point in points(picture.drawing) for x in point)


# --- section


def deep_rig(**changes):
    """The whole rig in water of known depths."""
    known = {"plan.depth": 9.0, "site.water_depth": 10.0, "site.tide_range": 2.0, **changes}
    rig = WHOLE
    for key, value in known.items():
        rig = rig.keep(key, Stated(value))
    return rig


def test_the_section_is_to_scale_from_the_highest_water():
    rig = deep_rig()
    nodes = evaluate_rig(rig, NODES)
    drawing = pictures(rig, nodes, "metric")["section"].drawing
    case = next(s for s in drawing.shapes if isinstance(s, Polygon) and s.kind == "part")
    ys = [y for _, y in case.points]
    assert (min(ys) + max(ys)) / 2 == pytest.approx(-9.0)
    water = next(s for s in drawing.shapes if isinstance(s, Polygon) and s.kind == "water")
    assert min(y for _, y in water.points) == pytest.approx(-12.0)
    assert "bottom 12 m" in labels(drawing)
    lid = nodes["lid-under-pressure"]
    lines = [s for s in drawing.shapes if isinstance(s, Segment) and s.kind == "hidden"]
    assert any(s.start[1] == pytest.approx(-lid.results["depth_limit"]) for s in lines)


def test_the_hydrophone_is_drawn_at_its_own_depth():
    rig = deep_rig(**{"plan.hydrophone_depth": 6.0})
    drawing = pictures(rig, evaluate_rig(rig, NODES), "metric")["section"].drawing
    assert any(isinstance(s, Ellipse) and s.centre[1] == -6.0 for s in drawing.shapes)
    assert "hydrophone 6 m" in labels(drawing)


def test_a_line_too_short_for_the_depth_holds_its_buoy_under_water():
    rig = deep_rig(**{"mooring.line_length": 5.0, "mooring.setup": "bottom"})
    drawing = pictures(rig, evaluate_rig(rig, NODES), "metric")["section"].drawing
    buoy = next(s for s in drawing.shapes if isinstance(s, Ellipse))
    assert -9.0 < buoy.centre[1] <= -4.0


def test_depths_that_do_not_go_together_are_said():
    rig = deep_rig(**{"plan.depth": 14.0})
    drawing = pictures(rig, evaluate_rig(rig, NODES), "metric")["section"].drawing
    assert "one of the two depths is wrong" in drawing.description


def test_without_a_bottom_the_section_says_so():
    rig = WHOLE.drop("site.water_depth")
    picture = pictures(rig, evaluate_rig(rig, NODES), "metric")["section"]
    assert "Bottom: the depth of the water is not stated" in picture.left_out
    assert not any(text.startswith("bottom") for text in labels(picture.drawing))


# --- all of them


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", PICTURES)
def test_every_line_of_words_fits_a_phone(name, system):
    drawing = pictures(deep_rig(), evaluate_rig(deep_rig(), NODES), system)[name].drawing
    assert all(len(text) <= PHONE for text in labels(drawing))
    assert len(drawing.description) > len(drawing.title)


def test_a_rig_that_states_nothing_has_no_pictures_and_says_what_is_missing():
    rig = Rig("Nothing yet")
    found = pictures_json(rig, evaluate_rig(rig, NODES), "metric")
    for picture in found.values():
        assert picture["drawing"] is None
        assert picture["left_out"]


@given(parts_of_it())
@settings(max_examples=20)
def test_whatever_is_missing_the_rest_is_drawn_with_finite_numbers(rig):
    for picture in pictures(rig, evaluate_rig(rig, NODES), "metric").values():
        assert picture.drawing or picture.left_out
        if picture.drawing:
            assert all(isfinite(x) for point in points(picture.drawing) for x in point)
            assert "nan" not in picture.drawing.description.lower()


# --- lanes


def test_a_bar_stands_in_proportion_and_what_lies_beyond_the_axis_ends_at_it():
    lanes = Lanes(
        title="t", description="d", axis="x", low=10.0, high=30.0,
        lanes=[Lane(words="one", bars=[Bar(start=15.0, end=50.0, kind="room")])],
        marks=[Mark(at=20.0, text="here"), Mark(at=40.0, text="not here")],
    )  # fmt: skip
    bar = next(s for s in draw(lanes).shapes if isinstance(s, Polygon))
    xs = [x for x, _ in bar.points]
    assert (min(xs), max(xs)) == (pytest.approx(WIDTH / 4), pytest.approx(WIDTH))
    assert "here" in labels(draw(lanes))
    assert "not here" not in labels(draw(lanes))


def test_names_of_marks_that_would_touch_stand_above_each_other():
    lanes = Lanes(title="t", description="d", axis="x", low=0.0, high=1.0, lanes=[])
    near = replace(lanes, marks=[Mark(at=0.5, text="the first"), Mark(at=0.51, text="the second")])
    heights = [s.at[1] for s in draw(near).shapes if isinstance(s, Label) and "the" in s.text]
    assert heights[0] != heights[1]


@pytest.mark.parametrize(("low", "high"), [(0, 10), (60, 220), (0, 0.7), (-1, 1), (0, 1234)])
def test_ticks_are_round_within_the_axis_and_few(low, high):
    found = ticks(low, high)
    assert 3 <= len(found) <= 10
    assert all(low <= tick <= high for tick in found)


def test_places_are_moved_apart_downwards():
    assert apart([0.0, -0.5, -3.0], 1.0) == [0.0, -1.0, -3.0]
