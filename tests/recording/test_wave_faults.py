"""Files as failed recorders leave them: what is there is read, and what is wrong is named."""

from datetime import UTC, datetime
from struct import pack

import numpy as np
import pytest

from calculators.recording.errors import RecordingError
from calculators.recording.samples import chunks
from calculators.recording.source import BytesSource, FileSource
from calculators.recording.wave_file import read_layout
from calculators.recording.zero_tail import EXACT
from tests.recording.made import OPEN, bext, big, chunk, ds64, extensible, fmt, integers, riff

RATE = 48_000
VALUES = np.random.default_rng(7).integers(1, 30_000, 4000).astype("<i2")
SOUND = VALUES.tobytes()
LIST = chunk(b"LIST", b"INFOISFT" + pack("<I", 4) + b"tarn")


def layout_of(data: bytes):
    """The layout of a file in memory."""
    return read_layout(BytesSource(data, "reach.wav"))


def kinds(layout) -> list[str]:
    """The kinds of its faults, in order."""
    return [fault.kind for fault in layout.faults]


def values_of(data: bytes) -> np.ndarray:
    """All integers of the first channel."""
    source = BytesSource(data)
    layout = read_layout(source)
    parts = [integers(raw, layout)[0] for raw in chunks(source, layout, frames_per_chunk=999)]
    return np.concatenate(parts) if parts else np.empty(0)


# Whole files


@pytest.mark.parametrize("outer", [b"BW64", b"RF64"])
def test_a_file_of_64_bit_sizes_put_together_by_the_standard(outer):
    """ITU-R BS.2088, annex 1: ds64 first, the sizes of 32 bits all ones, dummy ignored."""
    data = big(fmt(), data=SOUND, frames=0, outer=outer)
    layout = layout_of(data)
    assert layout.container == outer.decode()
    assert (layout.frames, layout.promised_frames, layout.faults) == (4000, 4000, ())
    np.testing.assert_array_equal(values_of(data), VALUES)


def test_a_size_of_32_bits_that_is_written_counts_in_a_64_bit_file_too():
    """BS.2088: only a field of all ones defers to ds64; any other is used as it is."""
    rest = fmt() + chunk(b"data", SOUND)
    data = riff(ds64(4 + 36 + len(rest), 12, 0), rest, outer=b"BW64", size=OPEN)
    assert layout_of(data).frames == 4000


def test_the_table_of_64_bit_sizes_gives_the_size_of_another_chunk():
    """BS.2088: a chunk but data whose size is all ones has its size in the table."""
    long_chunks = chunk(b"axml", b"x" * 600, OPEN) + chunk(b"sxml", b"y" * 200, OPEN)
    rest = long_chunks + fmt() + chunk(b"data", SOUND, OPEN)
    sizes = ds64(4 + 60 + len(rest), len(SOUND), 0, ((b"axml", 600), (b"sxml", 200)))
    layout = layout_of(riff(sizes, rest, outer=b"BW64", size=OPEN))
    assert (layout.frames, layout.faults) == (4000, ())


@pytest.mark.parametrize(
    "chunks_around",
    [
        ([chunk(b"JUNK", bytes(28)), fmt()], []),
        ([fmt(), chunk(b"fact", pack("<I", 4000))], [LIST]),
        ([bext(b"2026-06-21", b"21:30:00", 0), fmt(), chunk(b"iXML", b"<a/>\n")], []),
        ([chunk(b"PAD ", bytes(3001)), fmt(), LIST, LIST], [chunk(b"iXML", b"<b/>!"), LIST]),
        ([chunk(b"what", b"ever"), fmt()], [chunk(b"mine", b"odd")]),
    ],
)
def test_other_chunks_before_and_after_the_sound_do_not_matter(chunks_around):
    """Nor does their order, nor names that nobody knows."""
    before, after = chunks_around
    data = riff(*before, chunk(b"data", SOUND), *after)
    assert layout_of(data).faults == ()
    np.testing.assert_array_equal(values_of(data), VALUES)


def test_an_odd_length_of_sound_is_padded():
    """Three bytes a frame and an odd number of frames; the pad byte is no sound."""
    data = riff(fmt(bits=24), chunk(b"data", b"\1\2\3" * 5), LIST)
    layout = layout_of(data)
    assert (layout.frames, layout.faults) == (5, ())
    np.testing.assert_array_equal(values_of(data), [0x030201] * 5)


@pytest.mark.parametrize(
    ("head", "encoding"),
    [
        (extensible(24, 2, RATE), "int24"),
        (extensible(32, 2, RATE, valid=24), "int32"),
        (extensible(32, 2, RATE, tag=3), "float32"),
        (fmt(bits=20, channels=2), "int24"),
        (fmt(bits=12, channels=2), "int16"),
    ],
)
def test_the_place_that_a_sample_takes_gives_its_encoding(head, encoding):
    """Samples of fewer bits fill their place from the top: WAVEFORMATEXTENSIBLE, RIFF 1991."""
    layout = layout_of(riff(head, chunk(b"data", bytes([1]) * 48)))
    assert (layout.encoding, layout.frames) == (encoding, 48 // layout.frame_bytes)
    assert layout.faults == ()


# Headers that were never finished


@pytest.mark.parametrize("claimed", [0, OPEN])
@pytest.mark.parametrize("whole", [0, OPEN, 36])
def test_a_header_that_was_never_finished(claimed, whole):
    """All up to the end of the file is read, and no promise is made."""
    data = riff(fmt(), chunk(b"data", SOUND, claimed), size=whole)
    layout = layout_of(data)
    assert kinds(layout) == ["never finished"]
    assert (layout.frames, layout.promised_frames) == (4000, None)
    assert "8000 bytes follow" in layout.faults[0].text
    np.testing.assert_array_equal(values_of(data), VALUES)


@pytest.mark.parametrize("said", [0, 2**64 - 1])
def test_a_64_bit_header_that_was_never_finished(said):
    """The same with the sizes in ds64."""
    layout = layout_of(big(fmt(), data=SOUND, frames=0, said=said))
    assert kinds(layout) == ["never finished"]
    assert layout.frames == 4000


def test_a_64_bit_file_without_its_sizes():
    """ds64 is missing: the file is read to its end."""
    data = riff(fmt(), chunk(b"data", SOUND, OPEN), outer=b"RF64", size=OPEN)
    layout = layout_of(data)
    assert (kinds(layout), layout.frames) == (["never finished"], 4000)


def test_a_header_without_sound():
    """Nothing follows: whatever the header says."""
    for claimed in (0, OPEN, 8000):
        layout = layout_of(riff(fmt(), chunk(b"data", b"", claimed), size=0))
        assert kinds(layout) == ["header only"]
        assert layout.frames == 0


def test_no_sound_but_chunks_after_it_is_a_whole_header():
    """A recorder that was stopped at once; the chunk after the sound is not taken for sound."""
    layout = layout_of(riff(fmt(), chunk(b"data", b""), LIST))
    assert kinds(layout) == ["header only"]
    assert (layout.frames, layout.promised_frames) == (0, 0)


def test_a_file_that_ends_before_its_sound_begins():
    """The format is known; there is no chunk of sound."""
    layout = layout_of(riff(fmt(), chunk(b"JUNK", bytes(100))))
    assert (kinds(layout), layout.frames) == (["header only"], 0)


# Sizes that are wrong


@pytest.mark.parametrize("missing", [1, 2, 100, 7990])
def test_a_file_cut_short_reads_up_to_its_last_whole_frame(missing):
    """An incomplete frame is named apart."""
    data = riff(fmt(channels=2), chunk(b"data", SOUND))[:-missing]
    layout = layout_of(data)
    there = 8000 - missing
    assert (layout.frames, layout.promised_frames) == (there // 4, 2000)
    assert kinds(layout) == ["cut short"] * (2 if there % 4 else 1)
    assert f"promises 8000 bytes (0.0416667\u00a0s) of sound; the file ends after {there}" in (
        layout.faults[0].text
    )
    if there % 4:
        assert f"{there % 4} of its 4 bytes" in layout.faults[1].text


def test_sound_that_goes_on_after_the_size_in_the_header_is_read():
    """A recorder that writes the size now and then, and died between."""
    data = riff(fmt(), chunk(b"data", SOUND, 2000), size=2036)
    layout = layout_of(data)
    assert (kinds(layout), layout.frames, layout.promised_frames) == (["wrong sizes"], 4000, 1000)
    np.testing.assert_array_equal(values_of(data), VALUES)


def test_zeros_after_the_size_in_the_header_are_left_out():
    """Space that was set aside and never used."""
    data = riff(fmt(), chunk(b"data", SOUND)) + bytes(100_000)
    layout = layout_of(data)
    assert (kinds(layout), layout.frames) == (["stray bytes"], 4000)
    assert "100000 zeros" in layout.faults[0].text


def test_a_few_bytes_after_the_sound_are_left_out():
    """Less than a sector is no sound that a recorder wrote."""
    data = riff(fmt(), chunk(b"data", SOUND)) + b"TAG" + b"\xff" * 125
    layout = layout_of(data)
    assert (kinds(layout), layout.frames) == (["stray bytes"], 4000)


def test_a_file_cut_short_in_a_chunk_after_the_sound():
    """The sound is whole."""
    data = riff(fmt(), chunk(b"data", SOUND), LIST)[:-4]
    layout = layout_of(data)
    assert (kinds(layout), layout.frames) == (["cut short"], 4000)
    assert "4 bytes early, in a chunk after the sound" in layout.faults[0].text


@pytest.mark.parametrize("name", [b"JUNK", b"data"])
def test_a_missing_pad_byte_is_named_and_what_follows_is_read(name):
    """Before the sound and after it."""
    if name == b"JUNK":
        data = riff(chunk(b"JUNK", b"abc", padded=False), fmt(), chunk(b"data", SOUND))
    else:
        data = riff(fmt(bits=24), chunk(b"data", b"\1\2\3", padded=False), LIST)
    layout = layout_of(data)
    assert kinds(layout) == ["odd chunk"]
    assert layout.frames == (4000 if name == b"JUNK" else 1)


def test_sound_behind_a_chunk_whose_size_is_spoilt_is_found_by_its_mark():
    """A size beyond the file, and one that leads nowhere."""
    for size in (10**9, 5):
        data = riff(fmt(), chunk(b"JUNK", b"\xee" * 400, size), chunk(b"data", SOUND))
        layout = layout_of(data)
        assert kinds(layout)[0] == "wrong sizes"
        assert "“data” at byte 444 was found by its mark" in layout.faults[0].text
        np.testing.assert_array_equal(values_of(data), VALUES)


def test_a_size_of_the_whole_file_that_is_wrong_changes_nothing():
    """It is named; the sound has a size of its own."""
    data = riff(fmt(), chunk(b"data", SOUND), size=99)
    layout = layout_of(data)
    assert (kinds(layout), layout.frames) == (["wrong sizes"], 4000)
    assert "says that the file has 107 bytes; it has 8044" in layout.faults[0].text


def test_redundant_numbers_of_the_format_are_held_against_the_others():
    """A rate of bytes that is wrong is named, an open size of a frame is completed."""
    data = riff(fmt(byte_rate=5, block=0), chunk(b"data", SOUND))
    layout = layout_of(data)
    assert (kinds(layout), layout.frames) == (["wrong sizes", "wrong sizes"], 4000)


def test_a_size_of_32_bits_that_ran_over_is_read_to_the_end(tmp_path):
    """A sparse file of 4 GiB and a little: the recorder went on, its size field could not."""
    path = tmp_path / "long.wav"
    there = 2**32 + 96_000
    with path.open("wb") as file:
        file.write(riff(fmt(), chunk(b"data", b"", there - 2**32)))
        file.seek(44 + there - len(SOUND))
        file.write(SOUND)
    layout = read_layout(FileSource(path))
    assert (kinds(layout), layout.frames) == (["wrong sizes"], there // 2)
    assert "32 bits, has run over" in layout.faults[0].text


@pytest.mark.parametrize("outer", [b"RF64", b"BW64"])
def test_a_file_longer_than_4_gib_is_read_at_its_end(tmp_path, outer):
    """Sparse: the bytes between are zeros that take no space."""
    path = tmp_path / "long.wav"
    there = 2**32 + 8000
    rest = fmt() + chunk(b"data", b"", OPEN)
    with path.open("wb") as file:
        head = ds64(4 + 36 + len(rest) + there, there, there // 2) + rest
        file.write(riff(head, outer=outer, size=OPEN))
        start = file.tell()
        file.seek(start + there - len(SOUND))
        file.write(SOUND)
    source = FileSource(path)
    layout = read_layout(source)
    assert (layout.frames, layout.faults) == (there // 2, ())
    (raw,) = chunks(source, layout, layout.frames - 4000, frames_per_chunk=4000)
    np.testing.assert_array_equal(integers(raw, layout)[0], VALUES)


# Zeros at the end


def zero_filled(zeros: int, sound: bytes = SOUND) -> bytes:
    """Sound, then zeros, in a header that promises both."""
    return riff(fmt(), chunk(b"data", sound + bytes(zeros)))


def test_a_tail_of_zeros_is_named_where_it_starts():
    """After a power loss the file system gives zeros for what was never written."""
    layout = layout_of(zero_filled(2 * RATE))
    assert kinds(layout) == ["zero tail"]
    assert (layout.faults[0].frame, layout.faults[0].byte) == (4000, 44 + 8000)
    assert layout.frames == 4000 + RATE
    assert layout.frames_before_zeros == 4000
    assert "From frame 4000 (0.0833333\u00a0s) on" in layout.faults[0].text


def test_bytes_of_zero_are_no_sound_of_8_bits():
    """They would be its lowest sample, and not silence: they are left out of the sound."""
    sound = bytes([128, 129, 127, 128] * 1000)
    layout = layout_of(riff(fmt(bits=8), chunk(b"data", sound + bytes(2 * RATE))))
    assert kinds(layout) == ["zero tail"]
    assert layout.frames == layout.frames_before_zeros == layout.faults[0].frame == 4000
    assert layout.faults[0].byte == 44 + 4000
    assert "every byte is zero, for 2\u00a0s up to the end" in layout.faults[0].text
    assert "is left out" in layout.faults[0].text


def test_less_than_a_second_of_zeros_is_not_named():
    """A converter may rest on zero for a moment."""
    layout = layout_of(zero_filled(2 * RATE - 2))
    assert layout.faults == ()
    assert layout.frames_before_zeros == layout.frames == 4000 + RATE - 1


def test_a_quiet_converter_is_no_tail_of_zeros():
    """One step up in an hour's last second is enough."""
    quiet = bytearray(4 * RATE)
    quiet[-RATE] = 1
    layout = layout_of(zero_filled(0, SOUND + bytes(quiet)))
    assert layout.faults == ()


def test_a_recording_of_zeros_alone_is_named_whatever_its_length():
    """No converter was at work."""
    layout = layout_of(riff(fmt(), chunk(b"data", bytes(200))))
    assert (kinds(layout), layout.frames_before_zeros) == (["zero tail"], 0)


def test_the_frame_that_is_half_zero_belongs_to_the_sound():
    """Its first channel is not zero."""
    sound = b"\1\1\0\0" * 10
    layout = layout_of(riff(fmt(channels=2), chunk(b"data", sound + bytes(4 * RATE))))
    assert layout.frames_before_zeros == 10


@pytest.mark.parametrize("sound", [1000, EXACT // 3, EXACT + 12_345])
def test_a_long_tail_of_zeros_is_found_with_few_reads(tmp_path, sound):
    """5 GiB, nearly all zeros: no more is read than is promised, and the place is right."""
    path = tmp_path / "long.wav"
    there, start = 5 * 2**30, 80
    sound -= sound % 2
    with path.open("wb") as file:
        rest = fmt() + chunk(b"data", b"", OPEN)
        file.write(riff(ds64(there + 72, there, 0) + rest, outer=b"RF64", size=OPEN))
        assert file.tell() == start
        file.write(b"\7" * sound)
        file.truncate(start + there)
    source = Counting(FileSource(path))
    layout = read_layout(source)
    assert kinds(layout) == ["zero tail"]
    assert layout.faults[0].byte == start + sound
    assert source.bytes < EXACT + 60 * 2**18


class Counting:
    """A source that counts what is read of it."""

    def __init__(self, source) -> None:
        self.source, self.reads, self.bytes = source, 0, 0
        self.name, self.size = source.name, source.size

    def read(self, offset: int, length: int) -> bytes:
        """Reads and counts."""
        block = self.source.read(offset, length)
        self.reads, self.bytes = self.reads + 1, self.bytes + len(block)
        return block


# When it started


def seconds(*date: int) -> float:
    """Seconds since 1970 without zone, by Python's calendar."""
    return datetime(*date, tzinfo=UTC).timestamp()


@pytest.mark.parametrize(
    ("date", "time", "count", "expected"),
    [
        (b"2026-06-21", b"21:30:00", 0, seconds(2026, 6, 21, 21, 30)),
        (b"2026_06_21", b"21-30-00", 0, seconds(2026, 6, 21, 21, 30)),
        (b"2026.06.21", b"21.30.00", int(77_400.25 * RATE), seconds(2026, 6, 21, 21, 30) + 0.25),
        (b"2026-06-21", b"23:59:59", RATE // 2, seconds(2026, 6, 22) + 0.5),
        (b"2026-06-22", b"00:00:00", 86_399 * RATE, seconds(2026, 6, 21, 23, 59, 59)),
    ],
)
@pytest.mark.parametrize("after", [False, True])
def test_the_start_that_the_recorder_wrote(date, time, count, expected, after):
    """EBU Tech 3285: any separator; the count of samples since midnight refines the time."""
    note = bext(date, time, count, b"invented")
    parts = [fmt(), chunk(b"data", SOUND)]
    parts.insert(2 if after else 0, note)
    layout = layout_of(riff(*parts))
    assert (layout.started, layout.faults) == (expected, ())


def test_a_count_of_samples_that_contradicts_the_time_is_named():
    """The written time counts."""
    layout = layout_of(
        riff(bext(b"2026-06-21", b"21:30:00", 3600 * RATE), fmt(), chunk(b"data", SOUND))
    )
    assert layout.started == seconds(2026, 6, 21, 21, 30)
    assert kinds(layout) == ["start time"]
    assert "21:30:00" in layout.faults[0].text
    assert "3600\u00a0s since midnight, 01:00:00" in layout.faults[0].text


@pytest.mark.parametrize(
    ("date", "time"), [(b"2026-02-30", b"21:30:00"), (b"0000-00-00", b"00:00:00"), (b"x", b"\xff")]
)
def test_a_start_that_is_no_date_is_named(date, time):
    """It is not guessed."""
    layout = layout_of(riff(bext(date, time, 5), fmt(), chunk(b"data", SOUND)))
    assert (layout.started, kinds(layout)) == (None, ["start time"])


def test_an_empty_start_is_none():
    """A recorder without a clock leaves it empty; that is no fault."""
    layout = layout_of(riff(bext(b"", b"", 0), fmt(), chunk(b"data", SOUND)))
    assert (layout.started, layout.faults) == (None, ())


# Refusals


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "empty: 0 bytes"),
        (b"RIFF", "It has 4 bytes"),
        (bytes(100), "first 100 bytes are all zero"),
        (bytes(60) + b"\1" * 60, "first 60 bytes are zero: the header was never written"),
        (b"RIFX" + bytes(40), "a RIFX file"),
        (b"FORM\0\0\0\0AIFF", "an AIFF file"),
        (b"hello, this is text", "no sound file that is known. Read are WAVE files"),
        (riff(chunk(b"data", SOUND)), "no format chunk"),
        (b"RIFF\4\0\0\0AVI LIST", "not of sound"),
        (b"OggS" + bytes(40), "an Ogg file. Read are"),
        (
            b"OggS\0\2" + bytes(20) + b"\1\x33\x7fFLAC\1\0\0\1fLaC" + bytes(40),
            "FLAC in an Ogg file. Unpack it to a FLAC file without Ogg around it, or to a WAVE",
        ),
        (riff(fmt(bits=64, tag=3), chunk(b"data", SOUND)), "64-bit floats"),
        (riff(fmt(bits=64), chunk(b"data", SOUND)), "64-bit integers. Read are integers of 8, 16"),
        (riff(fmt(bits=16, tag=3), chunk(b"data", SOUND)), "16-bit floats"),
        (riff(fmt(bits=8, tag=6), chunk(b"data", SOUND)), "A-law"),
        (riff(fmt(bits=8, tag=7), chunk(b"data", SOUND)), "µ-law"),
        (riff(fmt(bits=4, tag=2), chunk(b"data", SOUND)), "ADPCM"),
        (riff(fmt(bits=16, tag=999), chunk(b"data", SOUND)), "unknown format 999"),
        (
            riff(fmt(rate=0), chunk(b"data", SOUND)),
            "0 Hz as sample rate. Accepted is 1 to 1",
        ),
        (riff(fmt(channels=0), chunk(b"data", SOUND)), "0 as channels. Accepted is 1 to 256"),
        (riff(fmt(block=3), chunk(b"data", SOUND)), "take 2 bytes a frame, but it says 3"),
        (riff(fmt(bits=24, block=4), chunk(b"data", SOUND)), "take 3 bytes a frame, but it says 4"),
        (riff(chunk(b"fmt ", bytes(10)), chunk(b"data", SOUND)), "format chunk has 10 bytes"),
        (riff(extensible(16, 1, RATE)[:30] + bytes(18)), "extended format of its own"),
    ],
)
def test_what_cannot_be_read_is_refused_by_name(data, message):
    """The file is named, what it is, and what is read."""
    with pytest.raises(RecordingError) as refusal:
        layout_of(data)
    assert str(refusal.value).startswith("reach.wav: ")
    assert message in str(refusal.value)
    assert refusal.value.name == "recording"
