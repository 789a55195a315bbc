"""Pictures of a recording: whole, readable, bounded, and the same for page and report."""

import re
from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest

from calculators.errors import InputError
from calculators.recording.axes import Scale, clock_ticks, elapsed_ticks
from calculators.recording.calibration import Calibration, calibration_from_sensitivity
from calculators.recording.charts import CHARTS, charts_of, draw
from calculators.recording.expected import Curve, Expected, Range
from calculators.recording.findings import Span, finding
from calculators.recording.panels import LEFT, RIGHT, Panel, put_x_axis
from calculators.recording.shown import Shown
from calculators.recording.svg import CHARACTER, Picture, alone
from tests.recording.made_summary import DAY, HOUR, long_summary
from tests.recording.test_report import check_files, write_wave

NARROW, WIDE = 358.0, 1080.0
SVG = "{http://www.w3.org/2000/svg}"
MOST = 300_000
"""Bytes of a picture."""

FINDINGS = [
    finding("gap", "spoils", "certain", "Made.", [Span(None, None, 30 * HOUR, 4 * HOUR)]),
    finding("clipped", "harms", "certain", "Made.", [Span(3, 0, 100.0, 2.0), Span(7, 1, 9.0, 1.0)]),
    finding("hum", "note", "likely", "Made.", [Span(None, 1, 0.0, 0.0)]),
]
NOISE = Curve((10.0, 100.0, 1e4), tuple(Range(level, level, level) for level in (-90, -105, -130)))


@pytest.fixture(scope="module")
def shown():
    return Shown(
        long_summary(),
        calibration_from_sensitivity("-163 ± 1.5"),
        FINDINGS,
        Expected(name="Made", self_noise=NOISE),
    )


OTHERS = {
    "no clock": lambda: Shown(long_summary(0.3, 1, clocked=False, gap=False), Calibration()),
    "six channels, one silent, 40 days": lambda: Shown(
        long_summary(40, 6, rate=192000, silent=1), Calibration(), FINDINGS
    ),
    "all silent": lambda: Shown(long_summary(0.5, 1, silent=0), Calibration()),
}


@pytest.fixture(scope="module", params=OTHERS)
def other(request):
    return OTHERS[request.param]()


def test_less_than_a_second_has_no_percentiles_and_they_are_not_drawn(tmp_path):
    """A place that is no number is refused by browsers, with all that follows in its path."""
    write_wave(tmp_path / "short.wav", np.random.default_rng(3).normal(0, 0.1, (2, 4800)))
    shown = check_files([tmp_path / "short.wav"])
    for name in charts_of(shown):
        places = re.findall(
            r'(?:\b(?:d|points|[xy][12]?)|transform)="([^"]*)"', draw(name, shown, WIDE)
        )
        assert places
        assert not [one for one in places if "nan" in one or "inf" in one], name


def _boxes(root):
    """Room of each text: left, top, right, bottom, at the widest that its letters can be."""
    for text in root.iter(f"{SVG}text"):
        size = float(text.get("font-size", root.get("font-size")))
        wide = len(text.text) * size * CHARACTER
        x, y = float(text.get("x")), float(text.get("y"))
        left = x - {"middle": wide / 2, "end": wide}.get(text.get("text-anchor"), 0.0)
        yield text.text, left, y - 0.72 * size, left + wide, y + 0.18 * size


def _check_picture(svg, width):
    root = ElementTree.fromstring(svg)
    assert len(svg.encode()) <= MOST
    assert root.find(f"{SVG}title").text
    assert len(root.find(f"{SVG}desc").text) > 20
    drawn = re.sub(r"base64,[^\"]*|<(title|desc|text).*?</\1>", "", svg)
    assert "nan" not in drawn
    assert "inf" not in drawn
    assert not re.search(r' style="|<style|<script|href="(?!data:)', svg)
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))
    high = float(root.get("height"))
    boxes = list(_boxes(root))
    for words, left, top, right, bottom in boxes:
        assert left >= -1, words
        assert right <= width + 1, words
        assert top >= 0, words
        assert bottom <= high, words
    for one, two in combinations(boxes, 2):
        beside = one[3] <= two[1] or two[3] <= one[1]
        above = one[4] <= two[2] or two[4] <= one[2]
        assert beside or above, (one[0], two[0])


@pytest.mark.parametrize("width", [NARROW, WIDE])
@pytest.mark.parametrize("name", CHARTS)
def test_a_picture_is_whole_and_its_words_never_touch(shown, name, width):
    _check_picture(draw(name, shown, width), width)


@pytest.mark.parametrize("width", [NARROW, WIDE])
def test_pictures_of_other_recordings_are_whole_too(other, width):
    for name in charts_of(other):
        _check_picture(draw(name, other, width), width)


@pytest.mark.parametrize("width", [NARROW, 280.0, WIDE])
@pytest.mark.parametrize("seconds", [15.0, 30.4, 45.1, 91.3])
@pytest.mark.parametrize("ticks_of", [clock_ticks, elapsed_ticks])
def test_the_last_words_of_a_time_axis_do_not_touch_where_they_are_moved_inwards(
    width, seconds, ticks_of
):
    """A recording that ends just behind a round time: its words do not fit behind the picture."""
    across = Scale(DAY, DAY + seconds, LEFT, width - RIGHT)
    picture = Picture("made", width, "Made", "An axis of time and nothing else.", 40.0)
    put_x_axis(picture, Panel(across, Scale(0, 1, 0.0, 40.0)), ticks_of(across))
    picture.height = 80.0
    _check_picture(picture.svg(), width)


def test_days_need_a_clock():
    shown = OTHERS["no clock"]()
    assert "days" not in charts_of(shown)
    with pytest.raises(InputError, match="no picture “days”"):
        draw("days", shown, WIDE)


def test_widths_out_of_range_are_refused(shown):
    with pytest.raises(InputError, match="280 to 2400"):
        draw("files", shown, 100.0)


def test_every_picture_of_levels_says_their_reference(shown):
    bare = OTHERS["no clock"]()
    for name in ("time", "spectrogram", "spectrum", "bands"):
        assert "re 1 µPa" in draw(name, shown, WIDE)
        assert "re full scale" in draw(name, bare, WIDE)
    assert "−3.01\u00a0dB" in draw("spectrum", bare, WIDE)


def test_a_hum_line_of_one_bin_is_not_lost_between_pixels(shown):
    """The made spectrum has 2·10⁻⁸ FS²/Hz at 50 Hz: 86 dB re 1 µPa²/Hz at 163 dB full scale."""
    svg = draw("spectrum", shown, NARROW)
    root = ElementTree.fromstring(svg)
    ticks = {}
    for text in root.iter(f"{SVG}text"):
        ticks.setdefault(text.text, float(text.get("y")) - 4)  # of the first panel
    per_db = (ticks["40"] - ticks["80"]) / 40
    line = next(
        path
        for path in root.iter(f"{SVG}path")
        if "--deep" in path.get("stroke", "") and path.get("d").count("L") > 50
    )
    highest = min(float(y) for y in re.findall(r"[ML][\d.]+ ([\d.]+)", line.get("d")))
    assert ticks["80"] - highest == pytest.approx(6.2 * per_db, abs=2 * per_db)


def test_noise_that_a_rig_predicts_is_drawn_and_the_axis_reaches_it(shown):
    """−130 dB re 1 FS²/Hz at 10 kHz is 33 dB re 1 µPa²/Hz at 163 dB full scale."""
    root = ElementTree.fromstring(draw("spectrum", shown, WIDE))
    dotted = [p for p in root.iter(f"{SVG}path") if p.get("stroke-dasharray") == "1 4"]
    assert len(dotted) == 3  # in the key, and in both panels
    assert dotted[1].get("d").count("L") == 2
    assert "self-noise that the rig predicts" in [t.text for t in root.iter(f"{SVG}text")]


def test_findings_are_marked_when_they_hold(shown):
    """A gap from hour 30 to 34 of 72: its bar covers that part of the axis."""
    root = ElementTree.fromstring(draw("time", shown, WIDE))
    words = [text.text for text in root.iter(f"{SVG}text")]
    assert "1. Time is missing between files" in words
    assert "2. Clipped" in words
    assert not any("hum" in word for word in words)  # it holds all the time
    frame = next(b for b in root.iter(f"{SVG}rect") if b.get("fill") == "none")
    bar = next(b for b in root.iter(f"{SVG}rect") if "--fail" in b.get("fill"))
    left, wide = float(frame.get("x")), float(frame.get("width"))
    columns = shown.summary.columns
    start, end = columns.start[0], columns.start[-1] + columns.duration
    begun = shown.timeline.start + 30 * HOUR
    assert float(bar.get("x")) == pytest.approx(
        left + wide * (begun - start) / (end - start), abs=0.2
    )
    assert float(bar.get("width")) == pytest.approx(wide * 4 * HOUR / (end - start), abs=0.2)


def test_a_gap_is_drawn_even_where_it_is_shorter_than_a_pixel():
    """Red where it is a loss; a pause that nobody calls one is not."""
    summary = long_summary(3, 1, gap=False)
    files = tuple(
        replace(file, started=file.started + (5.0 if n >= 40 else 0.0))
        for n, file in enumerate(summary.files)
    )
    shown = Shown(replace(summary, files=files), Calibration(), FINDINGS)
    assert len(shown.timeline.gaps) == 1
    svg = draw("files", shown, NARROW)
    assert "gaps: 1" in svg
    assert 'width="2" height="8" fill="var(--fail' in svg
    pauses = draw("files", replace(shown, findings=()), NARROW)
    assert "pauses between files" in pauses
    assert "var(--fail" not in pauses


def test_a_spectrogram_of_pure_noise_stays_bounded():
    """Noise packs worst: every dot another colour, at the widest."""
    summary = long_summary(0.2, 4, gap=False)
    random = np.random.default_rng(3)
    noise = 10 ** random.uniform(-12, -6, summary.columns.density.shape)
    columns = replace(summary.columns, density=noise)
    shown = Shown(replace(summary, columns=columns), Calibration())
    assert len(draw("spectrogram", shown, 2400.0)) <= MOST


def test_a_picture_alone_brings_its_own_schemes(shown):
    text = alone(draw("bands", shown, WIDE))
    ElementTree.fromstring(text.split("\n", 1)[1])
    assert "prefers-color-scheme:dark" in text


def test_loud_hours_are_said_in_words(shown):
    """The made insects sing loudest half an hour past midnight, above 2 kHz."""
    words = ElementTree.fromstring(draw("days", shown, WIDE)).find(f"{SVG}desc").text
    found = re.search(r"above 2 kHz: loudest \d+ May, (\d\d):00", words)
    assert found[1] in {"23", "00", "01", "02"}


def test_files_follow_each_other_where_there_is_no_clock():
    timeline = OTHERS["no clock"]().timeline
    assert not timeline.clocked
    assert timeline.start == 0
    assert timeline.end == pytest.approx(round(0.3 * 24) * HOUR)
    assert timeline.gaps == []
    assert DAY == 24 * HOUR
