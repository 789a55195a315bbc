"""Files of a deployment in order: by header, by name, or not known and said so."""

import doctest
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.recording import name_dates, name_numbers
from calculators.recording.layout import Layout
from calculators.recording.name_dates import dates_in
from calculators.recording.name_numbers import by_name, missing_numbers
from calculators.recording.opening import Recording
from calculators.recording.sequence import in_sequence
from calculators.recording.source import BytesSource

HOUR = 3600


def recorded(name: str, seconds: float = HOUR, started: float | None = None, **other) -> Recording:
    """An invented file of 10 frames a second with sound of its own, by its name."""
    rate = other.get("rate", 10)
    frames = int(seconds * rate)
    sound = (name.encode() * (1 + 2 * frames // len(name)))[: 2 * frames]
    layout = Layout(
        container="WAVE",
        encoding="int16",
        channels=1,
        rate=10,
        data_start=0,
        frames=frames,
        frame_bytes=2,
        promised_frames=frames,
        started=started,
    )
    return Recording(BytesSource(other.pop("sound", sound), name), replace(layout, **other))


def at(*date: int) -> float:
    """Seconds since 1970 by Python's calendar."""
    return datetime(*date, tzinfo=UTC).timestamp()


def kinds(sequence) -> list[str]:
    """What lies between the files."""
    return [joint.kind for joint in sequence.joints]


def notes(sequence) -> list[str]:
    """The kinds of notes."""
    return [note.kind for note in sequence.notes]


# Dates in names


@pytest.mark.parametrize(
    ("name", "readings"),
    [
        ("20260621_213000.wav", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("tarn_20260621213000.wav", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("2026-06-21T21-30-00.flac", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("2026-06-21 21.30.00.wav", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("2026_06_21_21_30_00_0007.wav", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("20260621T213005Z.wav", {"ymd": at(2026, 6, 21, 21, 30, 5)}),
        ("2026-06-21_2130.wav", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("2026.06.21 at 21.30.wav", {"ymd": at(2026, 6, 21, 21, 30)}),
        ("21-06-2026_21-30-00.wav", {"dmy": at(2026, 6, 21, 21, 30)}),
        ("06-21-2026_21-30-00.wav", {"mdy": at(2026, 6, 21, 21, 30)}),
        (
            "05-06-2026_21-30-00.wav",
            {"dmy": at(2026, 6, 5, 21, 30), "mdy": at(2026, 5, 6, 21, 30)},
        ),
        (
            "260621_213000.wav",
            {"ymd": at(2026, 6, 21, 21, 30), "dmy": at(2021, 6, 26, 21, 30)},
        ),
        ("260631_213000.wav", {"dmy": at(2031, 6, 26, 21, 30)}),
        ("990621_213000.wav", {"ymd": at(2099, 6, 21, 21, 30)}),
        (
            "unit7.260621213000.wav",
            {"ymd": at(2026, 6, 21, 21, 30), "dmy": at(2021, 6, 26, 21, 30)},
        ),
        ("202606212130.wav", {"ymd hm": at(2026, 6, 21, 21, 30)}),
    ],
)
def test_dates_in_names_are_read_in_every_order_that_a_calendar_allows(name, readings):
    """By Python's calendar."""
    (found,) = dates_in(name)
    assert found.readings == readings


@pytest.mark.parametrize(
    "name",
    [
        "reach0001.wav",
        "2026-06-21.wav",
        "2026-06-21_003.wav",
        "20261321_213000.wav",
        "20260621_243000.wav",
        "123456_0001.wav",
        "260621_2130.wav",
        "120260621_213000.wav",
        "20260621_2130001.wav",
    ],
)
def test_names_without_a_date_and_time_have_none(name):
    """A date alone, a counter, a day that no calendar has, digits that go on."""
    assert dates_in(name) == []


# Starts and joints


def test_files_follow_one_another_by_their_headers():
    """In any order given; the tolerance is a second and 100 ppm of an hour."""
    first = at(2026, 6, 21, 21, 30, 1)
    files = [recorded(f"n{turn}.wav", started=first + turn * HOUR) for turn in (2, 0, 1)]
    sequence = in_sequence(files)
    assert [file.given for file in sequence.files] == [1, 2, 0]
    assert [file.origin for file in sequence.files] == ["header"] * 3
    assert kinds(sequence) == ["seamless", "seamless"]
    assert sequence.joints[0].tolerance == pytest.approx(1.36)
    assert sequence.notes == ()


@pytest.mark.parametrize(
    ("off", "kind"),
    [(0, "seamless"), (1, "seamless"), (-1, "seamless"), (2, "gap"), (-2, "overlap"), (60, "gap")],
)
def test_gaps_and_overlaps_beyond_a_second_are_told(off, kind):
    """The starts are told to a second."""
    first = at(2026, 6, 21, 21, 30, 1)
    files = [recorded("a.wav", started=first), recorded("b.wav", started=first + HOUR + off)]
    (joint,) = in_sequence(files).joints
    assert (joint.kind, joint.seconds) == (kind, off)
    wording = {"seamless": "follow one another", "gap": "missing between", "overlap": "overlap by"}
    assert wording[kind] in joint.text
    assert "a.wav and b.wav" in joint.text


def test_starts_that_are_all_even_are_told_to_two_seconds():
    """As the times in a card's directory are."""
    first = at(2026, 6, 21, 21, 30)
    files = [recorded(f"n{turn}.wav", started=first + turn * (HOUR + 2)) for turn in range(3)]
    assert kinds(in_sequence(files)) == ["seamless", "seamless"]
    odd = [recorded(f"n{turn}.wav", started=1 + first + turn * (HOUR + 2)) for turn in range(3)]
    assert kinds(in_sequence(odd)) == ["gap", "gap"]


def test_starts_with_fractions_show_small_gaps():
    """A broadcast header counts samples since midnight."""
    first = at(2026, 6, 21, 21, 30) + 0.25
    files = [recorded("a.wav", 60, first), recorded("b.wav", 60, first + 60.5)]
    (joint,) = in_sequence(files).joints
    assert (joint.kind, joint.seconds) == ("gap", 0.5)


def test_names_with_dates_and_headers_agree():
    """And a header that says something else is named, and used."""
    name = "20260621_213000.wav"
    started = at(2026, 6, 21, 21, 30)
    assert in_sequence([recorded(name, started=started)]).notes == ()
    sequence = in_sequence([recorded(name, started=started - 7200)])
    assert sequence.files[0].seconds == started - 7200
    assert notes(sequence) == ["start"]
    assert "header says 2026-06-21 19:30:00, the name 2026-06-21 21:30:00" in sequence.notes[0].text


def test_names_in_one_order_that_a_calendar_allows_for_all():
    """The 31st settles which number is the day."""
    files = [recorded("31-01-2026_120000.wav"), recorded("01-02-2026_120000.wav")]
    sequence = in_sequence(files)
    assert [file.seconds for file in sequence.files] == [at(2026, 1, 31, 12), at(2026, 2, 1, 12)]
    assert [file.origin for file in sequence.files] == ["name", "name"]


def test_names_in_the_one_order_under_which_files_follow_one_another():
    """Over midnight: day by day under one order, year by year under the other."""
    names = ["260621_230000.wav", "260622_000000.wav", "260622_010000.wav"]
    sequence = in_sequence([recorded(name) for name in names])
    assert [file.seconds for file in sequence.files] == [
        at(2026, 6, 21, 23),
        at(2026, 6, 22),
        at(2026, 6, 22, 1),
    ]
    assert kinds(sequence) == ["seamless", "seamless"]


def test_a_date_that_stays_open_is_named_not_guessed():
    """Within a day the order and the gaps are known all the same."""
    names = ["050626_213000.wav", "050626_223000.wav", "050626_235000.wav"]
    sequence = in_sequence([recorded(name) for name in names])
    assert [file.seconds for file in sequence.files] == [None] * 3
    assert kinds(sequence) == ["seamless", "gap"]
    assert notes(sequence) == ["start"] * 3
    text = sequence.notes[0].text
    assert "2005-06-26 21:30:00 or 2026-05-06 21:30:00 or 2026-06-05 21:30:00" in text
    said = in_sequence([recorded(name) for name in names], "dmy")
    assert said.files[0].seconds == at(2026, 6, 5, 21, 30)
    assert said.notes == ()


def test_dates_that_stay_open_over_days_leave_the_gaps_open():
    """Two readings, two lengths of time between; the order is that of the names, and said."""
    names = ["050626_213000.wav", "060626_223000.wav"]
    sequence = in_sequence([recorded(name) for name in names])
    assert kinds(sequence) == ["unknown"]
    assert notes(sequence)[0] == "order by name"


def test_names_whose_dates_follow_no_one_order():
    """Each can be read, but not in the same way."""
    files = [recorded("31-01-2026_120000.wav"), recorded("01-31-2026_120000.wav")]
    sequence = in_sequence(files)
    assert [file.seconds for file in sequence.files] == [None, None]
    assert "follow no one order" in sequence.notes[1].text


def test_start_and_end_in_one_name():
    """The second is the end of the recording; a second date that is not leaves the start open."""
    good = recorded("20260621_213000_20260621_223000.wav")
    assert in_sequence([good]).files[0].seconds == at(2026, 6, 21, 21, 30)
    bad = recorded("20260621_213000_20250101_000000.wav")
    assert in_sequence([bad]).files[0].seconds is None


def test_zones_in_names_count_between_files_and_not_in_the_start():
    """The clock was set back by an hour between two files that follow one another."""
    names = ["20261025T023000+0200.wav", "20261025T023000+0100.wav"]
    sequence = in_sequence([recorded(name) for name in names])
    assert kinds(sequence) == ["seamless"]
    assert [file.name for file in sequence.files] == names
    assert [file.seconds for file in sequence.files] == [at(2026, 10, 25, 2, 30)] * 2


def test_without_starts_the_order_is_that_of_the_names_and_said():
    """9 comes before 10."""
    names = ["reach10.wav", "reach9.wav", "Reach8.wav"]
    sequence = in_sequence([recorded(name) for name in names])
    assert [file.name for file in sequence.files] == ["Reach8.wav", "reach9.wav", "reach10.wav"]
    assert kinds(sequence) == ["unknown", "unknown"]
    assert notes(sequence) == ["order by name"]
    assert "start of 3 of 3 files is not known" in sequence.notes[0].text


def test_one_start_that_is_missing_leaves_the_others_their_joints():
    """The order is that of the names."""
    first = at(2026, 6, 21, 21, 30, 1)
    files = [
        recorded("n1.wav", started=first),
        recorded("n2.wav", started=first + HOUR),
        recorded("n3.wav"),
    ]
    sequence = in_sequence(files)
    assert kinds(sequence) == ["seamless", "unknown"]
    assert sequence.notes[0].files == (2,)


def test_starts_against_the_names_are_named():
    """The starts count."""
    files = [recorded("n1.wav", started=9000.0 + 10**9), recorded("n2.wav", started=10.0**9)]
    sequence = in_sequence(files)
    assert [file.name for file in sequence.files] == ["n2.wav", "n1.wav"]
    assert notes(sequence) == ["other order"]


@pytest.mark.parametrize("day", [at(1970, 1, 1, 0, 2), at(1980, 1, 1, 5), at(2000, 1, 1, 23)])
def test_a_clock_that_was_never_set_is_named(day):
    """The distances hold."""
    files = [recorded("a.wav", started=day), recorded("b.wav", started=day + HOUR)]
    sequence = in_sequence(files)
    assert kinds(sequence) == ["seamless"]
    assert "never set" in sequence.notes[0].text


# Notes


def test_copies_are_found_by_their_sound():
    """Whatever their names; silence is the same everywhere and no copy."""
    one = recorded("a.wav", sound=b"same" * 18_000)
    sequence = in_sequence([one, recorded("b.wav"), recorded("c.wav", sound=b"same" * 18_000)])
    (note,) = (note for note in sequence.notes if note.kind == "duplicate")
    assert note.files == (0, 2)
    assert "a.wav, c.wav" in note.text


def test_mixed_formats_are_named_in_the_joint_and_as_a_whole():
    """Each change, and how many files are of what."""
    files = [recorded("n1.wav"), recorded("n2.wav", rate=20), recorded("n3.wav", rate=20)]
    sequence = in_sequence(files)
    assert sequence.joints[0].changes == ("rate 10 → 20\u00a0Hz",)
    assert sequence.joints[1].changes == ()
    (note,) = (note for note in sequence.notes if note.kind == "mixed formats")
    assert (
        "10\u00a0Hz, 1 channel, 16\u00a0bit: 1 file; 20\u00a0Hz, 1 channel, 16\u00a0bit: 2 files"
        in note.text
    )


@pytest.mark.parametrize(
    ("names", "text"),
    [
        (["n01.wav", "n02.wav", "n03.wav"], None),
        (["n01.wav", "n03.wav"], "the number 2 is missing"),
        (["n9.wav", "n10.wav", "n13.wav", "n17.wav"], "the numbers 11 to 12, 14 to 16 are missing"),
        (["a1.wav", "b3.wav"], None),
        (["213000.wav", "223000.wav"], None),
        (["20260621_213000_001.wav", "20260621_223000_003.wav"], "the number 2 is missing"),
        (["20260621_213000.wav", "20260621_233000.wav"], None),
        (["set1_001.wav", "set2_009.wav"], None),
    ],
)
def test_numbers_that_are_missing(names, text):
    """A row is counted by one number, and a time is none."""
    found = missing_numbers(names)
    assert (text is None) == (found == [])
    assert text is None or text in found[0]


def test_a_schedule_with_pauses_is_told_from_gaps():
    """Ten minutes every half hour."""
    first = at(2026, 6, 21, 21, 30, 1)
    files = [recorded(f"n{turn}.wav", 600, first + 1800 * turn) for turn in range(4)]
    sequence = in_sequence(files)
    assert kinds(sequence) == ["gap"] * 3
    assert notes(sequence) == ["schedule"]
    assert "1800\u00a0s after the one before" in sequence.notes[0].text
    files[2] = recorded("n2.wav", 600, first + 3700)
    assert notes(in_sequence(files)) == []


def test_no_files_and_one_file():
    """There is nothing between."""
    assert in_sequence([]).files == ()
    one = in_sequence([recorded("a.wav")])
    assert (len(one.files), one.joints, one.notes) == (1, (), ())


def test_names_of_any_kind_can_be_ordered():
    """Digits against letters, empty names, the same name twice."""
    names = ["", "10", "a", "9", "a10b2", "a10b10", "A9", "a"]
    ordered = sorted(names, key=by_name)
    assert ordered == ["", "9", "10", "a", "a", "A9", "a10b2", "a10b10"]


@given(st.lists(st.text("0123456789-_.:TZ+ ah٣", max_size=24), max_size=5))
def test_names_of_digits_and_signs_never_fail(names):
    """Whatever they are, every file is there once, and its joints say something."""
    sequence = in_sequence([recorded(name or "x", 2) for name in names])
    assert sorted(file.given for file in sequence.files) == list(range(len(names)))
    assert all(joint.text for joint in sequence.joints)


@pytest.mark.parametrize("module", [name_dates, name_numbers])
def test_the_examples_in_the_docstrings_hold(module):
    """As they are printed."""
    found = doctest.testmod(module)
    assert found.attempted > 0
    assert found.failed == 0
