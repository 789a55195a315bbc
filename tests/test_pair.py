"""Two hydrophones: coordinates, a comb by Fourier, and what is refused."""

from math import cos, inf, isfinite, radians, sin

import numpy as np
import pytest

from calculators.cards.pair import HYDROPHONE_SPACING
from calculators.drawing import Segment
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import pair


def answer(**changed: object) -> dict[str, float]:
    return evaluate(HYDROPHONE_SPACING, defaults(HYDROPHONE_SPACING) | changed)


@pytest.mark.parametrize("bearing", [-90.0, -41.0, 0.0, 12.0, 90.0])
@pytest.mark.parametrize("distance", [0.5, 0.9, 7.0, 3000.0])
def test_paths_are_those_of_coordinates(distance: float, bearing: float) -> None:
    """Independent: two distances by numpy, near, far, ahead and along the line."""
    source = distance * np.array([sin(radians(bearing)), cos(radians(bearing))])
    left, right = (float(np.linalg.norm(source - [x, 0.0])) for x in (-0.4, 0.4))
    found = pair.path_difference(spacing=0.8, distance=distance, bearing=bearing)
    assert found == pytest.approx(left - right, abs=1e-9)
    level = pair.level_difference(spacing=0.8, distance=distance, bearing=bearing)
    assert level == pytest.approx(20 * np.log10(left / right), abs=1e-9)


def test_a_sum_of_two_delayed_noises_has_its_null_and_corner_where_told() -> None:
    """Independent: Fourier transform of two pulses, 1 ms apart."""
    pulses = np.zeros(100_000)
    pulses[[0, 100]] = 1.0
    power = np.abs(np.fft.rfft(pulses)) ** 2
    frequency = np.fft.rfftfreq(pulses.size, 1e-5)
    first = frequency <= 600
    assert frequency[first][np.argmin(power[first])] == pair.null_frequency(0.001)
    corner = frequency == pair.sum_corner(0.001)
    assert power[corner] == pytest.approx(2.0)


@pytest.mark.parametrize("bearing", [-80.0, -15.0, 0.0, 33.0, 89.0])
def test_a_far_bearing_comes_back_from_its_delay(bearing: float) -> None:
    results = answer(bearing=bearing, distance=1e5)
    told = pair.bearing_from_delay(results["time_difference"], 1447.3, 0.9)
    assert told == pytest.approx(bearing, abs=1e-4)
    assert results["nearness_error"] == pytest.approx(0, abs=1e-4)


@pytest.mark.parametrize("bearing", [-89.9, -30.0, 5.0, 60.0])
@pytest.mark.parametrize("distance", [0.451, 0.6, 2.0, 40.0])
def test_nearness_is_the_arcsine_less_the_bearing(distance: float, bearing: float) -> None:
    """Independent: coordinates, where rounding leaves enough digits."""
    source = distance * np.array([sin(radians(bearing)), cos(radians(bearing))])
    left, right = (np.linalg.norm(source - [x, 0.0]) for x in (-0.45, 0.45))
    told = np.degrees(np.arcsin((left - right) / 0.9))
    assert pair.nearness_error(0.9, distance, bearing) == pytest.approx(told - bearing, abs=1e-6)


def test_nearness_fades_with_the_square_of_the_distance() -> None:
    """Limit: no digits are lost far away, where both bearings agree to twelve places."""
    far, farther = (pair.nearness_error(0.9, r, 30.0) for r in (1e4, 1e5))
    assert far / farther == pytest.approx(100.0, rel=1e-6)


def test_small_errors_follow_the_derivative() -> None:
    """Limit: c·ε/(d·cos θ), for a small ε far from the line."""
    found = pair.bearing_error(35.0, 0.9, 1447.3, delay_error=1e-9, scale_error=0.0)
    slope = 1447.3e-9 / (0.9 * cos(radians(35.0)))
    assert found == pytest.approx(np.degrees(slope), rel=1e-5)


def test_near_the_line_a_small_error_becomes_a_large_one() -> None:
    """And at the line itself none lies beyond it."""
    ahead, oblique, along = (
        pair.bearing_error(b, 0.9, 1447.3, delay_error=5e-6, scale_error=0.0)
        for b in (0.0, 80.0, 90.0)
    )
    assert ahead < 0.5 < 2 < oblique < along < 8
    assert pair.bearing_error(90.0, 0.9, 1447.3, 0.0, 0.0) == 0.0


def test_an_error_longer_than_the_pair_leaves_no_bearing_out() -> None:
    assert pair.bearing_error(0.0, 0.1, 1500.0, delay_error=0.01, scale_error=0.0) == 90.0
    assert pair.bearing_error(60.0, 0.1, 1500.0, delay_error=0.01, scale_error=0.0) == 150.0


def test_a_source_straight_ahead_is_in_the_middle() -> None:
    results = answer(bearing=0.0)
    for name in ("time_difference", "level_difference", "heard_shift", "nearness_error"):
        assert results[name] == 0.0


def test_left_is_the_mirror_of_right() -> None:
    right, left = answer(bearing=50.0), answer(bearing=-50.0)
    for name in ("time_difference", "level_difference", "air_difference", "nearness_error"):
        assert left[name] == pytest.approx(-right[name])
    assert left["heard_shift"] == right["heard_shift"]


def test_the_spacing_that_matches_the_ears_moves_the_image_all_the_way() -> None:
    spacing = answer()["head_spacing"]
    assert answer(spacing=spacing)["widest_shift"] == pytest.approx(1.0)


def test_loudspeakers_have_a_range_of_their_own() -> None:
    results = answer(playback="loudspeakers", loudspeaker_time=1.2e-3)
    assert results["heard_shift"] == pytest.approx(results["time_difference"] / 1.2e-3)


def test_a_pair_at_its_widest_for_phase_is_just_unambiguous() -> None:
    spacing = answer(highest_wanted=5000.0)["unambiguous_spacing"]
    assert answer(spacing=spacing)["ambiguity_frequency"] == pytest.approx(5000.0)
    assert answer(spacing=spacing / 2)["sum_corner"] == pytest.approx(5000.0)


def test_the_drawn_wavefront_is_as_far_from_the_source_everywhere() -> None:
    """A circle round a near source, through the nearer hydrophone."""
    card = HYDROPHONE_SPACING
    values = defaults(card) | {"distance": 1.0, "bearing": -40.0}
    drawn = card.drawing(values, evaluate(card, values), "metric")
    wave = [s for s in drawn.shapes if isinstance(s, Segment) and s.kind == "edge"][1:]
    source = np.array([sin(radians(-40.0)), cos(radians(-40.0))])
    radius = np.linalg.norm(source - [-0.45, 0.0])
    assert len(wave) == 16
    for segment in wave:
        assert np.linalg.norm(source - segment.start) == pytest.approx(radius)


@pytest.mark.parametrize("distance", [0.46, 1e5])
@pytest.mark.parametrize("bearing", [-90.0, 0.0, 90.0])
def test_the_picture_is_finite_at_the_ends(distance: float, bearing: float) -> None:
    card = HYDROPHONE_SPACING
    values = defaults(card) | {"distance": distance, "bearing": bearing}
    drawn = card.drawing(values, evaluate(card, values), "metric")
    for shape in drawn.shapes:
        if isinstance(shape, Segment):
            assert all(isfinite(x) for x in (*shape.start, *shape.end))


def test_the_mirror_image_is_told() -> None:
    card = HYDROPHONE_SPACING
    for bearing, mirror in ((30.0, "150°"), (-20.0, "−160°")):
        values = defaults(card) | {"bearing": bearing}
        said = card.remarks(values, evaluate(card, values), "metric")
        assert mirror in said[0]


def test_a_source_inside_the_pair_is_refused_by_name() -> None:
    with pytest.raises(InputError, match=r"more than half the spacing, 0\.45 m") as refused:
        answer(distance=0.4)
    assert refused.value.name == "distance"


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: pair.path_difference(0, 1, 0), "spacing"),
        (lambda: pair.path_difference(1, 0.5, 0), "distance"),
        (lambda: pair.level_difference(1, 10, 91), "bearing"),
        (lambda: pair.time_difference(1, 0), "sound_speed"),
        (lambda: pair.time_difference(inf, 1500), "path_difference"),
        (lambda: pair.head_time_difference(0, 343), "head_radius"),
        (lambda: pair.spacing_for(-1, 343), "time_difference"),
        (lambda: pair.null_frequency(0), "time_difference"),
        (lambda: pair.sum_corner(0), "time_difference"),
        (lambda: pair.bearing_from_delay(0.001, 1500, 1), "time_difference"),
        (lambda: pair.bearing_error(0, 1, 1500, 2, 0), "delay_error"),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name) -> None:
    with pytest.raises(InputError, match=f"^{name} must be"):
        call()
