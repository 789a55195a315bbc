"""The page's side of the check: which bytes, in which order, kept, joined, and heard."""

import gc
import json
import re

import numpy as np
import pytest

from calculators.recording import bridge_ops
from calculators.recording.bridge_ops import Desk
from calculators.recording.partial import Partial
from calculators.recording.synthetic import demo, wave_bytes
from tests.recording.desks import ask, desk_opened, work

RATE = 8000


@pytest.fixture(scope="module")
def files():
    return [(made.name, made.data) for made in demo()]


def report(desk, level=None):
    return ask(desk, op="report", level=level, width=340)


def numbers(packed):
    """The sums of a partial result, to be compared."""
    return Partial.from_bytes(packed).sums


def test_the_demo_is_put_in_order_and_judged(files):
    """Given backwards; every fault that was put in has its finding."""
    backwards = files[::-1]
    desk, told = desk_opened(backwards)
    work(desk, ask(desk, op="plan", workers=1)["stretches"], backwards, told["order"])
    found = report(desk)

    assert told["order"] == [4, 3, 2, 1, 0]
    assert [file["name"] for file in told["files"]] == [name for name, _ in files]
    kinds = {finding["kind"] for finding in found["findings"]}
    assert kinds >= {"clipped", "drop-out", "hum", "offset", "gap", "flooded", "never finished"}
    assert found["basis"] == "From every sample of the recording."
    assert {"time", "spectrogram", "spectrum"} <= {p["name"] for p in found["pictures"]}
    assert all(svg.startswith("<svg") for p in found["pictures"] for svg in p["svg"])


def test_what_is_found_in_both_channels_is_one_item_that_names_both(files):
    """The demo clips left and right; each place still says which channel it is in."""
    desk, told = desk_opened(files)
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files, told["order"])
    (clipped,) = (found for found in report(desk)["findings"] if found["kind"] == "clipped")
    left, right = clipped["what"]
    assert left.startswith("The left channel")
    assert right.startswith("The right channel")
    starts = [(place["at"]["file"], place["at"]["start"]) for place in clipped["where"]]
    assert starts == sorted(starts)
    assert {place["at"]["channel"] for place in clipped["where"]} == {0, 1}


def test_a_stretch_that_is_done_leaves_nothing_to_the_garbage_collector(files):
    """It would come when it likes: a page's memory grew by 4 MB with every stretch until then."""
    desk, told = desk_opened(files)
    stretches = ask(desk, op="plan", workers=1)["stretches"]
    work(desk, stretches[:1], files, told["order"])  # what is made once is there now
    gc.collect()
    gc.disable()
    try:
        work(desk, stretches[1:], files, told["order"])
        desk.keep()
        assert gc.collect() == 0
    finally:
        gc.enable()


def test_what_two_workers_find_joins_to_what_one_finds(files):
    """Counts the same, sums within rounding."""
    alone, told = desk_opened(files)
    stretches = ask(alone, op="plan", workers=2)["stretches"]
    work(alone, stretches, files, told["order"])
    one, _ = desk_opened(files)
    two, _ = desk_opened(files)
    work(one, stretches[::2], files, told["order"])
    work(two, stretches[1::2], files, told["order"])
    one.join([two.take()])
    one.join([two.take()])  # anew takes the place of what came before

    assert report(one)["findings"] == report(alone)["findings"]
    one.forget()
    assert ask(one, op="report", level=None, width=340)["ok"] is False


def test_a_check_goes_on_from_what_was_kept(files):
    """Two Workers stopped within a stretch; one that knows nothing takes up what both kept."""
    whole, told = desk_opened(files)
    stretches = ask(whole, op="plan", workers=1)["stretches"]
    work(whole, stretches, files, told["order"])
    kept = []
    for mine in (stretches[:1], stretches[1:2]):
        desk, _ = desk_opened(files)
        assert desk.keep() == b""
        work(desk, mine, files, told["order"])
        begin_within(desk, stretches[2], files, told["order"])
        assert desk.frames_done > 0
        kept.append(desk.keep())
    later, _ = desk_opened(files)
    assert json.loads(later.take_up(kept))["ok"]
    work(later, stretches[2:], files, told["order"])

    assert report(later)["findings"] == report(whole)["findings"]
    for name, sums in vars(numbers(whole.take())).items():
        np.testing.assert_allclose(vars(numbers(later.take()))[name], sums, rtol=1e-9, err_msg=name)


def test_the_buffer_has_room_for_whatever_is_wanted():
    """A stretch that begins between two segments wants less at first than later."""
    data = wave_bytes(np.zeros((2, 90 * 24000)), 24000)
    desk, _ = desk_opened([("long.wav", data)])
    desk.begin(0, 24000, 90 * 24000)
    lengths = []
    while (wanted := desk.wants()) is not None:
        lengths.append(wanted[1])
        assert len(desk.buffer) >= wanted[1]
        desk.add(wanted[1])
    assert lengths[0] < lengths[1]


def begin_within(desk, stretch, files, order):
    """Some of a stretch, which is left unfinished."""
    desk.begin(stretch["file"], stretch["first"], stretch["last"])
    offset, length = desk.wants()
    data = files[order[stretch["file"]]][1]
    memoryview(desk.buffer)[:length] = data[offset : offset + length]
    desk.add(length)


def test_bytes_that_no_check_kept_are_refused(files):
    """And what is known stays."""
    desk, told = desk_opened(files)
    work(desk, ask(desk, op="plan", workers=1)["stretches"][:1], files, told["order"])
    known = desk.keep()
    refused = json.loads(desk.take_up([known[:-9]]))
    assert refused["ok"] is False
    assert "Check the recording again" in refused["errors"][0]["message"]
    assert desk.keep() == known


def test_a_long_recording_is_sampled_first_and_every_frame_is_checked_once(monkeypatch):
    """Sample and rest together are the whole, without overlap, whatever the lengths."""
    monkeypatch.setattr(bridge_ops, "LEAST_SAMPLED", 64 * RATE * 2)
    monkeypatch.setattr(bridge_ops, "STRETCH_BYTES", 20 * RATE * 2)
    rng = np.random.default_rng(3)
    lengths = [100.0, 0.4, 77.25]
    files = [
        (f"{n}.wav", wave_bytes(0.01 * rng.standard_normal((1, int(s * RATE))), RATE))
        for n, s in enumerate(lengths)
    ]
    desk, told = desk_opened(files)
    plan = ask(desk, op="plan", workers=2)
    work(desk, plan["sample"], files, told["order"])
    so_far = report(desk)
    assert "So far" in so_far["basis"]
    assert so_far["pictures"]
    work(desk, plan["stretches"], files, told["order"])

    sampled = sum(s["last"] - s["first"] for s in plan["sample"])
    assert sampled == 15 * RATE  # 8 of 2 s, of which one begins 1 s before its file ends
    assert max(s["last"] - s["first"] for s in plan["stretches"]) == 20 * RATE
    assert report(desk)["basis"] == "From every sample of the recording."
    assert Partial.from_bytes(desk.take()).frames == sum(int(s * RATE) for s in lengths)
    # Behind the samples at 43 s and 65 s of the last file there are 20 s and 10.25 s: in halves,
    # and what were the last two of these in halves again.
    last = [(s["last"] - s["first"]) / RATE for s in plan["stretches"][-6:]]
    assert last == [10.0, 10.0, 2.0, 3.0, 2.0, 3.25]


def test_a_short_recording_is_not_worth_a_sample_or_another_worker(files):
    """The demo is done before another Python has started; what is large is worth as many."""
    desk, _ = desk_opened(files)
    plan = ask(desk, op="plan", workers=4)
    assert (plan["sample"], plan["workers"]) == ([], 1)
    size = 10 * bridge_ops.WORTH_A_WORKER
    head = wave_bytes(np.zeros((1, 0)), RATE)[:-4] + size.to_bytes(4, "little")
    told = json.loads(
        desk.open(
            json.dumps([{"name": "long.wav", "size": len(head) + size}]),
            lambda _, at, length: head[at:].ljust(length, b"\1")[:length],
        )
    )
    assert told["ok"]
    assert ask(desk, op="plan", workers=4)["workers"] == 4


@pytest.mark.parametrize(
    ("level", "unit"),
    [
        (None, "dB re full scale"),
        ({"sensitivity": "-163 ± 1.5"}, "dB re 1 µPa"),
    ],
)
def test_levels_say_what_they_are_relative_to(files, level, unit):
    """Sound pressure only where a sensitivity says so."""
    desk, told = desk_opened(files[:1])
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files[:1], told["order"])
    found = report(desk, level)

    assert unit in found["tables"][0]["rows"][0][0]
    assert ("re full scale" in found["levels"]) == (level is None)


def test_a_sensitivity_that_cannot_be_is_refused_by_name(files):
    """And the report without it still stands."""
    desk, told = desk_opened(files[:1])
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files[:1], told["order"])
    refused = report(desk, {"sensitivity": "163"})

    assert refused["errors"][0]["name"] == "sensitivity"
    assert "−260" in refused["errors"][0]["message"]
    assert report(desk)["ok"]


HEAD_ONLY = wave_bytes(np.zeros((1, 0)), 8000, "int16")


@pytest.mark.parametrize(("kind", "count"), [("html", 1), ("json", 1), ("csv", 5)])
def test_a_report_goes_out_as_files(files, kind, count):
    """Names, types and something in each."""
    desk, told = desk_opened(files)
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files, told["order"])
    made = ask(desk, op="export", kind=kind, level=None, handbook="https://handbook.example/")[
        "files"
    ]

    assert len(made) == count
    stem = files[0][0].removesuffix(".wav")
    for file in made:
        assert file["name"].startswith(f"{stem}-")
        assert file["name"].endswith(f".{kind}")
        assert len(file["text"]) > 200
    if kind == "html":
        assert 'href="https://handbook.example/seal/cable/#strands"' in made[0]["text"]


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("song.mp3", b"ID3\x04" + bytes(5000), "song.mp3"),
        ("packed.flac", b"fLaC" + bytes(5000), "packed.flac"),
        ("empty.wav", b"", "empty.wav"),
        ("head.wav", HEAD_ONLY, "head.wav: There is a header, but no sound after it."),
    ],
)
def test_what_is_no_recording_is_refused_by_name(name, data, words):
    """The answer says which file; nothing is thrown at the page."""
    _, told = desk_opened([(name, data)])

    assert told["ok"] is False
    assert words in told["errors"][0]["message"]


def test_a_file_that_went_away_is_named():
    """The page says None where the browser no longer lets it read."""
    desk = Desk()
    told = json.loads(desk.open('[{"name": "gone.wav", "size": 5000}]', lambda n, at, size: None))

    assert told["ok"] is False
    assert "gone.wav" in told["errors"][0]["message"]
    assert "choose it again" in told["errors"][0]["message"]


def test_a_place_on_the_axis_of_time_is_a_moment_of_a_file(files):
    """Three seconds into the second file; the time that is missing before the third is none."""
    desk, _ = desk_opened(files)
    start = demo()[0].started

    assert ask(desk, op="at", seconds=start + 13)["at"] == {
        "file": 1, "start": 3.0, "seconds": 5.0, "channel": None,
    }  # fmt: skip
    assert "Nothing was recorded" in ask(desk, op="at", seconds=start + 22)["errors"][0]["message"]


def test_a_click_on_a_picture_over_time_means_the_time_below_it(files):
    """Each panel says which times its sides are: from the first second to the end of the last."""
    desk, told = desk_opened(files)
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files, told["order"])
    start = demo()[0].started

    for picture in report(desk)["pictures"]:
        sides = re.findall(
            r'class="moments".*?data-from="(.*?)" data-to="(.*?)"', picture["svg"][0]
        )
        assert len(sides) == (2 if picture["name"] in ("time", "spectrogram") else 0)
        assert {(float(a), float(b)) for a, b in sides} <= {(start, start + 50)}


def heard(desk, **changed):
    request = {"file": 0, "start": "5.5", "seconds": "2", "channel": None, "how": "1"}
    request |= {"shift": "1 kHz", "raised": ""} | changed
    text, samples = desk.hear(json.dumps(request))
    return json.loads(text), samples


@pytest.mark.parametrize(
    ("changed", "seconds", "channels"),
    [({}, 2, 2), ({"channel": 1}, 2, 1), ({"how": "4"}, 8, 2), ({"how": "shift"}, 2, 2)],
)
def test_a_moment_is_heard(files, changed, seconds, channels):
    """As long as it should be, in the channels asked for."""
    desk, _ = desk_opened(files)
    told, samples = heard(desk, **changed)

    assert told["ok"]
    assert told["channels"] == channels
    assert len(samples) / channels / told["rate"] == pytest.approx(seconds, rel=1e-3)
    assert files[0][0] in told["words"]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"start": "11"}, "from 0 s to 10 s"),
        ({"start": "x"}, "From"),
        ({"seconds": "0"}, "more than 0 s"),
        ({"seconds": "61"}, "at most 60 s"),
        ({"how": "shift", "shift": "5 kHz"}, "less than 4000 Hz"),
    ],
)
def test_a_moment_that_is_none_is_refused(files, changed, words):
    """By field, with what is accepted."""
    desk, _ = desk_opened(files)
    told, samples = heard(desk, **changed)

    assert samples is None
    assert words in told["errors"][0]["message"]
