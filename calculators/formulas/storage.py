"""Storage: how fast uncompressed sound fills a card, and where its files split."""

from math import ceil

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Byte, BytePerSecond, Count, Hertz, Ratio, Second

FAT32_LARGEST_FILE: Byte = 2**32 - 1
"""Largest file of a FAT32 volume: the size is an unsigned 32-bit number [microsoft-fat]."""

RIFF_LARGEST_FILE: Byte = 2**32 - 2 + 8
"""Largest RIFF file [microsoft-riff1991].

Its size field has 32 bits, is even because chunks are padded to even length, and leaves out its
own eight bytes.
"""

WAVE_HEADER: Byte = 44
"""Header of a plain PCM WAVE file: RIFF 12, fmt 24, data 8 bytes [microsoft-riff1991]."""

FAT32_LARGEST_VOLUME: Byte = 2**32 * 512
"""Largest FAT32 volume with sectors of 512 bytes: the sector count has 32 bits [microsoft-fat]."""


@formula(
    title="Half the sample rate",
    symbol="f_N",
    symbols={"sample_rate": "f_s"},
    tex=r"f_\mathrm{N} = \frac{f_\mathrm{s}}{2}",
    working="{sample_rate} / 2",
    validity="Samples evenly spaced in time. Sound above it is folded down below it.",
    sources=("shannon-1949", "dunn-anti-alias"),
)
def half_sample_rate(sample_rate: Hertz) -> Hertz:
    """The frequency that no recording reaches beyond.

    Args:
        sample_rate: Samples a second of one channel; Hz, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If the rate is not above zero.

    Source:
        [shannon-1949], theorem 1; [dunn-anti-alias], section 1.

    >>> half_sample_rate(sample_rate=48e3)
    24000.0
    """
    require_positive(sample_rate=sample_rate)
    return sample_rate / 2


@formula(
    title="Data rate of uncompressed sound",
    symbol="D",
    symbols={"sample_rate": "f_s", "bytes_per_sample": "b", "channels": "n"},
    tex=r"D = f_\mathrm{s} \, b \, n",
    working="{sample_rate} · {bytes_per_sample} · {channels}",
    validity="Linear PCM, whole bytes a sample; 24 bits stored in three bytes.",
    sources=("microsoft-riff1991",),
)
def pcm_data_rate(sample_rate: Hertz, bytes_per_sample: Byte, channels: Count) -> BytePerSecond:
    """Bytes a second of linear PCM.

    Args:
        sample_rate: Samples a second of one channel; Hz, above zero.
        bytes_per_sample: Bytes that one sample takes in the file, above zero.
        channels: Number of channels, above zero.

    Returns:
        Data rate in B/s.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        [microsoft-riff1991], field nAvgBytesPerSec.

    >>> pcm_data_rate(sample_rate=44100, bytes_per_sample=2, channels=2)
    176400
    """
    require_positive(sample_rate=sample_rate, bytes_per_sample=bytes_per_sample, channels=channels)
    return sample_rate * bytes_per_sample * channels


@formula(
    title="Recording time",
    symbol="t",
    symbols={"capacity": "K", "data_rate": "D", "reserve": "r"},
    tex=r"t = \frac{K (1 - r)}{D}",
    working="{capacity} · (1 − {reserve}) / {data_rate}",
    validity=(
        "Headers take 44 to about 100 bytes a file and are left out: less than one part in ten "
        "million for files of a gigabyte and more."
    ),
    sources=("iec80000-13",),
)
def recording_time(capacity: Byte, data_rate: BytePerSecond, reserve: Ratio) -> Second:
    """Time until a card is full.

    Args:
        capacity: Bytes on the card, above zero (cards are sold in decimal gigabytes).
        data_rate: B/s, above zero.
        reserve: Part of the card kept free for the file system and for safety, 0 to below 1.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition; decimal prefixes from [iec80000-13].

    >>> round(recording_time(capacity=8.2944e9, data_rate=96e3, reserve=0))
    86400
    """
    require_positive(capacity=capacity, data_rate=data_rate)
    require_between(0, 0.999999, reserve=reserve)
    return capacity * (1 - reserve) / data_rate


@formula(
    title="Length of one file",
    symbol="t_m",
    symbols={"largest_file": "K_m", "header": "h", "data_rate": "D"},
    tex=r"t_\mathrm{m} = \frac{K_\mathrm{m} - h}{D}",
    working="({largest_file} − {header}) / {data_rate}",
    validity="A recorder that fills each file to the limit; many split earlier, at 2 GiB.",
    sources=("microsoft-riff1991", "microsoft-fat"),
)
def file_length(largest_file: Byte, header: Byte, data_rate: BytePerSecond) -> Second:
    """Time that fits into one file before the recorder has to start the next.

    Args:
        largest_file: Largest file the format or the file system allows, B, above the header.
        header: Bytes before the samples, zero or more.
        data_rate: B/s, above zero.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [microsoft-fat] and [microsoft-riff1991] for the limits.

    >>> round(file_length(largest_file=2**32 - 1, header=44, data_rate=288e3) / 3600, 4)
    4.1425
    """
    require_between(0, float("inf"), header=header)
    require_positive(data_rate=data_rate, largest_file=largest_file - header)
    return (largest_file - header) / data_rate


@formula(
    title="Number of files",
    symbol="N",
    symbols={"recording_time": "t", "file_length": "t_m"},
    tex=r"N = \left\lceil \frac{t}{t_\mathrm{m}} \right\rceil",
    working="⌈{recording_time} / {file_length}⌉",
    validity="Files filled one after the other without a gap.",
    sources=("microsoft-fat",),
)
def file_count(recording_time: Second, file_length: Second) -> Count:
    """Files that a recording is split into.

    Args:
        recording_time: s, above zero.
        file_length: s, above zero.

    Returns:
        A whole number, 1 or more.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition.

    >>> file_count(recording_time=10, file_length=4)
    3
    """
    require_positive(recording_time=recording_time, file_length=file_length)
    return ceil(recording_time / file_length)
