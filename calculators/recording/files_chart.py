"""Which times the files cover, and where they leave gaps."""

from calculators.recording.axes import Scale, length_text
from calculators.recording.panels import LEFT, RIGHT, Panel, put_note, put_title, put_x_axis
from calculators.recording.shown import Shown
from calculators.recording.svg import CARE, DEEP, FAIL, QUIET, Picture
from calculators.recording.time_axis import Lane, axis_words, put_lanes, time_ticks


def files_over_time(shown: Shown, width: float) -> str:
    """Which times the files cover, where they leave gaps, and which are damaged."""
    timeline = shown.timeline
    files, gaps = shown.summary.files, timeline.gaps
    damaged = [
        place for place, file in zip(timeline.files, files, strict=True) if file.layout.faults
    ]
    missed = any(finding.kind == "gap" for finding in shown.findings)
    between = "gaps" if missed or not gaps else "pauses between files, not judged a loss"
    lanes = [
        Lane("recorded", DEEP, timeline.files),
        Lane(f"{between}: {len(gaps) or 'none'}", FAIL if missed else QUIET, gaps),
        Lane(f"files with faults: {len(damaged) or 'none'}", CARE, damaged),
    ]
    count = len(files)
    words = (
        f"{count} {'file' if count == 1 else 'files'}, "
        f"{length_text(shown.summary.seconds)} of sound in "
        f"{length_text(timeline.end - timeline.start)}"
    )
    picture = Picture(
        shown.name("files", width),
        width,
        "Files",
        f"{words}, {axis_words(shown.timeline)}. {'; '.join(lane.words for lane in lanes[1:])}.",
    )
    put_title(picture, f"{words}, {axis_words(shown.timeline)}")
    across = Scale(timeline.start, timeline.end, LEFT, width - RIGHT)
    put_lanes(picture, across, lanes)
    foot = Panel(across, Scale(0, 1, picture.height, picture.height - 1))
    put_x_axis(picture, foot, time_ticks(across, shown.timeline.clocked))
    picture.height += 42
    put_note(picture, "A gap or file too short to be seen is drawn two dots wide.")
    return picture.svg()
