"""Fitting it all in: arrangements against two other searches, and what is never claimed."""

from itertools import combinations, pairwise, permutations, product
from math import hypot
from random import Random

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from calculators.cards.packing import CASE_FIT
from calculators.declare import Number, Values
from calculators.drawing import Polygon
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate, read
from calculators.formulas import boxes, round_case
from calculators.formulas.arrangement import Arrangement, deciding
from calculators.links import make_link
from calculators.present import answer as shown
from calculators.present import work
from calculators.registry import CALCULATORS
from tests.packing_solver import shortest

Size = tuple[float, float, float]


def in_metres(parts: list[Size]) -> tuple[Size, ...]:
    return tuple((a / 1000, b / 1000, c / 1000) for a, b, c in parts)


def case(*parts: Size, **changed: object) -> Values:
    """A form with these bare parts, in mm, and nothing kept free."""
    names = [f"part_length_{n}" for n in range(2, len(parts) + 1)]
    values = defaults(CASE_FIT, names) | {"plug_side": "none", "clearance": 0.0}
    for n, sizes in enumerate(parts, 1):
        end = "" if n == 1 else f"_{n}"
        for edge, size in zip(("length", "width", "height"), sizes, strict=True):
            values[f"part_{edge}{end}"] = size / 1000
        values |= {f"plug_side{end}": "none", f"clearance{end}": 0.0}
    return values | changed


def verdict(values: Values, output: int = 0) -> str:
    told = shown(work(CASE_FIT, Given(values), "metric"))["outputs"][output]
    return str(told["verdict"]["level"])


def draw_instance(random: Random, most: int) -> tuple[list[Size], float, float]:
    """Boxes and a cross-section that each goes into by itself, whole millimetres."""
    count = random.randint(2, most)
    parts = [tuple(5.0 * random.randint(2, 12) for _ in range(3)) for _ in range(count)]
    width, height = 5.0 * random.randint(6, 20), 5.0 * random.randint(6, 16)
    more = boxes.missing_across(parts, width, height)
    return parts, width + more, height + more


@pytest.mark.parametrize("seed", range(14))
def test_up_to_four_boxes_the_length_is_that_of_an_integer_programme(seed: int) -> None:
    """Independent: scipy's HiGHS. The arrangement is the shortest, and says so."""
    parts, width, height = draw_instance(Random(seed), 4)
    found = boxes.arrange(in_metres(parts), width / 1000, height / 1000)
    assert found.length * 1000 == pytest.approx(shortest(parts, width, height), abs=1e-3)
    assert found.shortest


def test_no_limit_is_above_what_the_integer_programme_finds() -> None:
    """Five boxes: "does not fit" would be wrong where the solver has an arrangement."""
    random = Random(5)
    for _ in range(2):
        parts = [tuple(5.0 * random.randint(3, 10) for _ in range(3)) for _ in range(5)]
        best = shortest(parts, 60.0, 60.0)
        found = boxes.arrange(in_metres(parts), 0.06, 0.06)
        assert found.least * 1000 <= best + 1e-3
        assert found.length * 1000 >= best - 1e-3


def on_a_grid(parts: list[tuple[int, int, int]], width: int, height: int) -> int:
    """Least length by trying every place of every turned box on a grid."""

    def cells(at: tuple[int, ...], size: tuple[int, ...]) -> frozenset[tuple[int, ...]]:
        return frozenset(product(*(range(a, a + s) for a, s in zip(at, size, strict=True))))

    def goes(left: list[tuple[int, int, int]], taken: frozenset, length: int) -> bool:
        if not left:
            return True
        ends = (length, width, height)
        for turn in set(permutations(left[0])):
            room = [range(end - size + 1) for end, size in zip(ends, turn, strict=True)]
            for at in product(*room):
                wanted = cells(at, turn)
                if not wanted & taken and goes(left[1:], taken | wanted, length):
                    return True
        return False

    length = 1
    while not goes(parts, frozenset(), length):
        length += 1
    return length


@pytest.mark.parametrize("seed", range(12))
def test_small_boxes_agree_with_a_search_over_a_grid(seed: int) -> None:
    """Independent: whole-number boxes have a shortest arrangement in whole numbers."""
    random = Random(seed)
    parts = [tuple(random.randint(1, 3) for _ in range(3)) for _ in range(3)]
    width, height = random.randint(3, 4), random.randint(3, 4)
    found = boxes.arrange(tuple(tuple(map(float, p)) for p in parts), float(width), float(height))
    assert found.length == pytest.approx(on_a_grid(parts, width, height))


def overlap(found: Arrangement) -> bool:
    for a, b in combinations(found.places, 2):
        apart = [
            a.corner[i] + a.size[i] <= b.corner[i] + 2e-9
            or b.corner[i] + b.size[i] <= a.corner[i] + 2e-9
            for i in range(3)
        ]
        if not any(apart):
            return True
    return False


@pytest.mark.parametrize("seed", range(40))
def test_every_arrangement_holds_what_it_says(seed: int) -> None:
    """In the case, without overlap, every part in one of its six ways; up to ten parts."""
    parts, width, height = draw_instance(Random(seed), 10)
    found = boxes.arrange(in_metres(parts), width / 1000, height / 1000)
    assert not overlap(found)
    assert max(place.end for place in found.places) == pytest.approx(found.length)
    assert found.least <= found.length
    for part, place in zip(in_metres(parts), found.places, strict=True):
        assert sorted(part) == pytest.approx(sorted(place.size))
        assert min(place.corner) >= 0
        assert place.corner[1] + place.size[1] <= width / 1000 + 2e-9
        assert place.corner[2] + place.size[2] <= height / 1000 + 2e-9


@pytest.mark.parametrize("seed", range(40))
def test_every_arrangement_in_a_tube_stays_in_its_bore(seed: int) -> None:
    """All four corners of every part lie within the circle."""
    random = Random(seed)
    parts, _, _ = draw_instance(random, 10)
    diameter = 5.0 * random.randint(10, 30) / 1000
    diameter += round_case.missing_across(in_metres(parts), diameter)
    found = round_case.arrange(in_metres(parts), diameter)
    assert not overlap(found)
    assert max(place.end for place in found.places) == pytest.approx(found.length)
    for place in found.places:
        (_, y, z), (_, across, up) = place.corner, place.size
        for corner in product((y, y + across), (z, z + up)):
            assert hypot(*corner) <= diameter / 2 + 1e-7


@pytest.mark.parametrize("seed", range(10))
def test_two_rows_go_into_a_bore_just_as_wide_as_a_search_finds(seed: int) -> None:
    """Independent: scipy looks for the height at which the farthest corner is nearest."""
    random = Random(seed)
    (w, h), (v, g) = [(random.uniform(10, 60), random.uniform(5, 40)) for _ in range(2)]

    def radius(seam: float) -> float:
        return max(hypot(w / 2, seam - h), hypot(w / 2, seam), hypot(v / 2, seam + g),
                   hypot(v / 2, seam))  # fmt: skip

    least = 2 * minimize_scalar(radius, bounds=(-100, 100), method="bounded",
                                options={"xatol": 1e-9}).fun  # fmt: skip
    for diameter, goes in ((least * 1.0001, True), (least * 0.9999, False)):
        rows = tuple(round_case.layer((1.0, *face), diameter) for face in ((w, h), (v, g)))
        assert (round_case.stack(rows) is not None) == goes


def test_sections_let_a_thick_part_stand_behind_two_thin_ones() -> None:
    """Counted by hand: two packs on each other, 168 long, and a recorder of 160 behind one."""
    pack, recorder, board, bag = (168, 74, 31), (160, 66, 29), (98, 49, 19), (82, 52, 17)
    found = round_case.arrange(in_metres([recorder, pack, pack, board, bag, bag]), 0.099)
    assert found.length <= 0.328 + 1e-9
    assert not overlap(found)


def test_whether_two_parts_stand_beside_each_other_is_the_same_by_rows() -> None:
    """The bound asks by chords, the search by stacking: both must say the same."""
    random = Random(1)
    for _ in range(300):
        pair = [(1.0, random.uniform(10, 90), random.uniform(5, 60)) for _ in range(2)]
        pair = [size for size in pair if hypot(size[1], size[2]) <= 100]
        if len(pair) == 2:
            rows = [round_case.layer(size, 100.0) for size in pair]
            by_chords = rows[0][0] + rows[1][0] <= 0
            assert (round_case.stack(tuple(rows)) is not None) == by_chords


def test_no_three_rows_are_refused_that_go_in_some_order() -> None:
    """A wide row between two narrow ones: the order that the search must find."""
    rows = [round_case.layer(size, 0.1) for size in ((1, 0.095, 0.02), (1, 0.06, 0.03))]
    assert round_case.stack((rows[0], rows[1], rows[1])) is not None
    assert round_case.stack((rows[0], rows[0], rows[0])) is None


def test_four_square_bars_stand_two_by_two_in_a_tube() -> None:
    """Rows alone would need a bore 97 wide; the inscribed square holds them."""
    bars = ((0.1, 0.02, 0.02),) * 4
    assert round_case.arrange(bars, 0.06).length == pytest.approx(0.1)


def test_the_printed_puzzle_of_six_blocks_is_solved_where_there_is_time(monkeypatch) -> None:
    """Six of 1 × 2 × 2 go into 3 × 3 × 3, as printed; a search cut short must not deny it."""
    six = ((1.0, 2.0, 2.0),) * 6
    assert boxes.arrange(six, 3.0, 3.0).least <= 3.0 + 1e-9
    boxes.arrange.cache_clear()
    monkeypatch.setattr(boxes, "MOST_TRIED", 10**7)
    found = boxes.arrange(six, 3.0, 3.0)
    boxes.arrange.cache_clear()
    assert found.length == pytest.approx(3.0)
    assert found.shortest


def test_the_printed_puzzle_of_nine_blocks_is_never_called_impossible() -> None:
    """It goes in one way only; the answer is "not decided", not "does not fit"."""
    values = case(
        (10, 20, 20), (10, 20, 20), (10, 10, 10),
        inner_length=0.03, inner_width=0.03, inner_height=0.03,
        part_count=4.0, part_count_2=2.0, part_count_3=3.0,
    )  # fmt: skip
    assert evaluate(CASE_FIT, values)["least_length"] <= 0.03 + 1e-9
    assert verdict(values) in ("care", "good")


def test_the_three_answers_are_kept_apart() -> None:
    """It fits; it is proved not to; a part alone is too large across."""
    fits = case((100, 60, 20), (100, 60, 20), inner_length=0.1, inner_width=0.06, inner_height=0.04)
    assert verdict(fits) == "good"
    assert verdict(fits | {"inner_length": 0.099}) == "fail"
    across = case((100, 35, 32), inner_width=0.03, inner_height=0.04)
    assert verdict(across) == "fail"
    assert verdict(across, 3) == "fail"
    assert evaluate(CASE_FIT, across)["missing_across"] == pytest.approx(0.002)


def test_a_part_that_may_be_too_large_across_is_never_called_a_fit() -> None:
    """A tolerance of the width that reaches below the part: not decided, though it fits."""
    values = case((100, 60, 30), inner_width=0.0605, inner_height=0.035)
    assert verdict(values) == "good"
    fields = {
        key: item.field_text(float(values[key]), "metric")
        if isinstance(item, Number)
        else str(values[key])
        for key, item in CASE_FIT.inputs_by_name.items()
    }
    unsure = read(CASE_FIT, fields, {"inner_width": "±1 mm"}, "metric")
    told = shown(work(CASE_FIT, unsure, "metric"))["outputs"]
    assert told[0]["low"] == pytest.approx(-0.0005)
    assert told[0]["verdict"]["level"] == "care"


def test_an_exact_fit_is_a_fit() -> None:
    """0.1 + 0.2 m in a case of 0.3 m: the rounding of the sum is no gap."""
    values = case((100, 60, 50), (200, 60, 50), inner_length=0.3, inner_width=0.06,
                  inner_height=0.05)  # fmt: skip
    results = evaluate(CASE_FIT, values)
    assert results["spare_length"] == 0
    assert verdict(values) == "good"


def test_the_length_follows_the_part_that_decides() -> None:
    """Continuous along the case: a millimetre more of the part is a millimetre more needed."""
    values = case((100, 60, 20), (80, 40, 20), inner_width=0.06, inner_height=0.02)
    first = evaluate(CASE_FIT, values)["needed_length"]
    longer = evaluate(CASE_FIT, values | {"part_length": 0.101})["needed_length"]
    assert longer - first == pytest.approx(0.001)


@pytest.mark.parametrize("seed", range(8))
def test_more_room_across_never_needs_more_length(seed: int) -> None:
    """Up to four parts, where the answer is exact."""
    parts, width, height = draw_instance(Random(seed), 4)
    lengths = [
        boxes.arrange(in_metres(parts), (width + more) / 1000, height / 1000).length
        for more in (0, 1, 5, 20, 60)
    ]
    assert all(b <= a + 1e-9 for a, b in pairwise(lengths))


def test_a_plug_lengthens_its_own_side_only() -> None:
    """At its end it makes a part longer, at its side wider, for which this case has room."""
    bare = defaults(CASE_FIT) | {"plug_side": "none", "inner_width": 0.1}
    ends = evaluate(CASE_FIT, bare | {"plug_side": "both-ends", "plug_overhang": 0.02})
    side = evaluate(CASE_FIT, bare | {"plug_side": "side", "plug_overhang": 0.02})
    none = evaluate(CASE_FIT, bare)
    assert ends["needed_length"] - none["needed_length"] == pytest.approx(0.04)
    assert side["needed_length"] == pytest.approx(none["needed_length"])


def test_what_a_low_profile_plug_gains_is_told() -> None:
    """The plug decides: straight it is too long, angled it fits, and the remark says so."""
    values = defaults(CASE_FIT) | {"inner_length": 0.15}
    results = evaluate(CASE_FIT, values)
    assert results["spare_length"] == pytest.approx(-0.004)
    assert results["low_profile_length"] == pytest.approx(0.124)
    remarks = shown(work(CASE_FIT, Given(values), "metric"))["remarks"]
    assert any("gain 30.0\u00a0mm: with them it fits, 26.0\u00a0mm" in said for said in remarks)


def test_the_line_that_decides_is_as_long_as_the_arrangement() -> None:
    """Its parts follow one another without a gap, from the case's end."""
    for seed in range(20):
        parts, width, height = draw_instance(Random(seed), 6)
        found = boxes.arrange(in_metres(parts), width / 1000, height / 1000)
        line = [found.places[i] for i in deciding(found)]
        assert sum(place.size[0] for place in line) == pytest.approx(found.length)


def test_too_many_parts_are_refused_by_name() -> None:
    """The row with the most of them is named, and what is accepted."""
    values = case(*[(10, 10, 10)] * 3, part_count=4.0, part_count_2=4.0, part_count_3=3.0)
    with pytest.raises(InputError, match="no more than 10") as refused:
        evaluate(CASE_FIT, values)
    assert refused.value.name == "part_count"


@pytest.mark.parametrize("other", ["condensation", "leak-budget", "ballast"])
def test_free_air_has_the_name_and_unit_of_the_fields_that_take_it(other: str) -> None:
    """A reader carries the number over without a conversion."""
    taken = CALCULATORS[other].inputs_by_name["free_volume"]
    assert isinstance(taken, Number)
    assert taken.unit == CASE_FIT.outputs_by_name["free_volume"].unit


@pytest.mark.parametrize("shape", ["box", "round"])
def test_the_drawing_shows_every_part_and_plug_in_three_views(shape: str) -> None:
    """To scale: sizes of the polygons are those of the parts."""
    values = case((100, 60, 20), (60, 40, 10), case_shape=shape, part_count_2=2.0,
                  plug_side="both-ends", plug_overhang=0.02)  # fmt: skip
    assert CASE_FIT.drawing
    drawing = CASE_FIT.drawing(values, evaluate(CASE_FIT, values), "metric")
    polygons = [s for s in drawing.shapes if isinstance(s, Polygon)]
    assert len([p for p in polygons if p.kind == "part"]) == 3 * 3
    assert len([p for p in polygons if p.kind == "plug"]) == 3 * 2
    sides = [np.ptp(np.array(p.points), axis=0) for p in polygons if p.kind == "part"]
    sizes = sorted(round(1000 * float(x)) for side in sides for x in side)
    # each edge of each part shows in two of the three views
    assert sizes == sorted(2 * [100, 60, 20, 60, 40, 10, 60, 40, 10])


def test_a_link_with_six_rows_is_short_enough() -> None:
    """All rows, each with odd sizes and tolerances on the case."""
    values = case(*[(101.25 + n, 60.35, 25.75) for n in range(6)])
    given = Given(values | {f"part_kind_{n}": "desiccant" for n in range(2, 7)})
    assert len(make_link(CASE_FIT, given, evaluate(CASE_FIT, given.values))) < 1_900
