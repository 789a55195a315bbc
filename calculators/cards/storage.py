"""Calculators of the recording's format and its storage."""

from collections.abc import Mapping

from calculators.cards.common import PLANNED_TIME, lasts_as_planned
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Value,
    Values,
    Verdict,
)
from calculators.formulas.storage import (
    FAT32_LARGEST_FILE,
    FAT32_LARGEST_VOLUME,
    RIFF_LARGEST_FILE,
    WAVE_HEADER,
    file_count,
    file_length,
    half_sample_rate,
    pcm_data_rate,
    recording_time,
)
from calculators.units import format_display

FILTER_SHARE = 0.9
"""Part of half the sample rate that the filter before the converter leaves (common practice)."""

LARGEST_FILE = {"fat32": FAT32_LARGEST_FILE, "riff": RIFF_LARGEST_FILE}


def _recording_storage(
    sample_rate: float,
    bit_depth: float,
    channels: float,
    card_capacity: float,
    file_limit: str,
    reserve: float,
    planned_time: float,
    highest_wanted: float,
) -> dict[str, float]:
    rate = pcm_data_rate(sample_rate=sample_rate, bytes_per_sample=bit_depth / 8, channels=channels)
    time = recording_time(capacity=card_capacity, data_rate=rate, reserve=reserve)
    alike = {
        "recording_time": time,
        "data_rate": rate,
        "half_rate": half_sample_rate(sample_rate=sample_rate),
    }
    if file_limit == "none":
        return alike | {"file_length": time, "file_count": 1}
    length = file_length(largest_file=LARGEST_FILE[file_limit], header=WAVE_HEADER, data_rate=rate)
    length = min(length, time)
    return alike | {
        "file_length": length,
        "file_count": file_count(recording_time=time, file_length=length),
    }


def _half_rate_needed(values: Mapping[str, Value]) -> float:
    """Half of the sample rate that the highest sound wanted asks for, with room for the filter."""
    return float(values["highest_wanted"]) / FILTER_SHARE


def _filling(values: Values, results: Results, system: str) -> Plot:
    usable = float(values["card_capacity"]) * (1 - float(values["reserve"]))
    full, plan = results["recording_time"], float(values["planned_time"])
    end = 1.15 * max(full, plan)
    split = results["file_length"]
    return Plot(
        title="How the card fills",
        description=(
            f"Data on the card over time: it is full after {format_display(full, 's', 3, system)}; "
            f"the plan is {format_display(plan, 's', 3, system)}."
        ),
        x=Axis(label="Time", unit="d", domain=(0, end)),
        y=Axis(label="On the card", unit="GB", domain=(0, 1.15 * usable)),
        lines=[Line(name="Data", points=[(0, 0), (full, usable), (end, usable)])],
        marks=[
            (full, f"full {format_display(full, 's', 3, system)}"),
            (plan, f"plan {format_display(plan, 's', 3, system)}"),
            (split, f"first file ends {format_display(split, 's', 3, system)}"),
        ],
        levels=[(usable, f"usable {format_display(usable, 'B', 3, system)}")],
    )


def _beyond_fat32(values: Values, results: Results) -> bool:
    capacity = float(values["card_capacity"])
    return values["file_limit"] == "fat32" and capacity > FAT32_LARGEST_VOLUME


RECORDING_STORAGE = Calculator(
    id="recording-storage",
    title="Recording time of a card",
    question="How long does the card last, and where do its files split?",
    stage="plan",
    inputs=(
        Number(
            name="sample_rate",
            label="Sample rate",
            unit="kHz",
            default="48 kHz",
            low="1 kHz",
            high="10 MHz",
            why="voice loggers to ultrasound recorders",
            hint="of each channel",
            rig="recorder.sample_rate",
        ),
        Choice(
            name="bit_depth",
            label="Bits a sample",
            options=(
                Option(value="16", label="16 bit"),
                Option(value="24", label="24 bit"),
                Option(value="32", label="32 bit, integer or float"),
            ),
            default="24",
            unit="bit",
            rig="recorder.bits_per_sample",
        ),
        Number(
            name="channels",
            label="Channels",
            unit="1",
            default="2",
            low="1",
            high="64",
            why="one hydrophone to an array",
            integer=True,
            rig="recorder.channels",
        ),
        Number(
            name="card_capacity",
            label="Card capacity",
            unit="GB",
            default="256 GB",
            low="1 MB",
            high="100 TB",
            why="small test card to a disk array",
            hint="as printed on the card: 1 GB is 10⁹ bytes",
            rig="card.capacity",
        ),
        Choice(
            name="file_limit",
            label="What limits one file",
            options=(
                Option(value="fat32", label="FAT32 card: 4 GiB less one byte"),
                Option(value="riff", label="WAVE size field: 4 GiB and 6 bytes"),
                Option(value="none", label="nothing (RF64 or BW64 on exFAT)"),
            ),
            default="fat32",
            rig="card.file_limit",
        ),
        Number(
            name="reserve",
            label="Kept free",
            unit="%",
            default="5 %",
            low="0 %",
            high="90 %",
            why="none, to a card shared with other files",
            hint="file system, a last file closed in time, wear",
            rig="card.reserve",
        ),
        PLANNED_TIME,
        Number(
            name="highest_wanted",
            label="Highest sound wanted",
            unit="kHz",
            default="10 kHz",
            low="10 Hz",
            high="1 MHz",
            why="slow pulses to ultrasound",
            hint="only judges the sample rate",
            rig="plan.highest_wanted",
        ),
    ),
    outputs=(
        Output(
            name="recording_time",
            label="Recording time",
            unit="s",
            help="until the usable part of the card is full",
            verdict=lasts_as_planned(": larger card, lower rate or a schedule"),
            rig="card.recording_time",
        ),
        Output(name="data_rate", label="Data rate", unit="B/s", help="written to the card"),
        Output(
            name="file_length",
            label="Length of one file",
            unit="s",
            help="until the recorder has to start the next; 44 bytes of header counted",
        ),
        Output(
            name="file_count",
            label="Number of files",
            unit="1",
            digits=6,
            help="if each is filled to the limit",
        ),
        Output(
            name="half_rate",
            label="Half the sample rate",
            unit="Hz",
            help="no recording holds sound beyond it",
            verdict=Verdict(
                better="above",
                limit=_half_rate_needed,
                met="above the {limit} that the highest sound wanted asks for with its filter",
                missed="below the {limit} that the highest sound wanted asks for with its filter",
                unsure="may be below the {limit} that the highest sound wanted asks for",
                source="common practice: the filter leaves 0.45 of the rate",
            ),
        ),
    ),
    in_rig=True,
    cautions=(
        Caution(
            title="This card is larger than FAT32 reaches.",
            text="With sectors of 512 bytes a FAT32 volume ends at 2 TiB: the rest of the card "
            "cannot be used, or the recorder needs another file system.",
            when=_beyond_fat32,
        ),
    ),
    compute=_recording_storage,
    plot=_filling,
)
