"""The files of one deployment, made ready to be measured: opened, in order, each in its place."""

from collections import Counter
from collections.abc import Callable
from collections.abc import Sequence as Many
from dataclasses import dataclass, replace

from calculators.errors import InputError
from calculators.recording.errors import RecordingError
from calculators.recording.findings import Finding, finding
from calculators.recording.layout import Fault, Layout
from calculators.recording.opening import Recording, open_recording
from calculators.recording.partial import Partial
from calculators.recording.quantity import quantity, rate_text
from calculators.recording.sequence import Sequence, in_sequence
from calculators.recording.source import Source
from calculators.recording.timeline import Timeline, make_timeline

MOST_NAMED = 3
"""Files of which a refusal says why; the rest are counted."""

LISTED = 10
"""Names of files that a finding lists; its words say how many there are."""


@dataclass(frozen=True)
class Deployment:
    """Recordings of one rate and number of channels, in order.

    Args:
        recordings: In order; the index here is that of all results.
        given: Index of each in what was given.
        sequence: The same files, with what lies between them.
        findings: On files that are not among them: unreadable ones, and those of another format.
    """

    recordings: tuple[Recording, ...]
    given: tuple[int, ...]
    sequence: Sequence
    findings: tuple[Finding, ...] = ()

    @property
    def files(self) -> list[tuple[str, Layout, float | None]]:
        """Name, layout and start by the recorder's clock, as ``summarise`` wants them."""
        return [(file.name, file.layout, file.seconds) for file in self.sequence.files]

    @property
    def timeline(self) -> Timeline:
        """Where each file lies on the axis of time."""
        return make_timeline([(file.layout, file.seconds) for file in self.sequence.files])

    def with_damage(self, damage: dict[int, str]) -> "Deployment":
        """The same, with files that could not be read to their end, and why."""
        return self._with_faults({file: [Fault("damaged", why)] for file, why in damage.items()})

    def with_left_out(self, partial: Partial) -> "Deployment":
        """The same, with what turned out damaged inside packed files."""
        return self._with_faults(
            {
                file: [_left_out(self.sequence.files[file].layout, *span) for span in spans]
                for file, spans in partial.left_out.items()
            }
        )

    def _with_faults(self, faults: dict[int, list[Fault]]) -> "Deployment":
        files = tuple(
            replace(file, layout=_with_faults(file.layout, faults.get(n, [])))
            for n, file in enumerate(self.sequence.files)
        )
        return replace(self, sequence=replace(self.sequence, files=files))


def _with_faults(layout: Layout, faults: list[Fault]) -> Layout:
    return replace(layout, faults=(*layout.faults, *faults))


def _left_out(layout: Layout, first: int, last: int) -> Fault:
    where = f"From {quantity(first / layout.rate, 's', 6)} (frame {first})"
    goes_on = (
        "to the end"
        if last >= layout.frames
        else f"to {quantity(last / layout.rate, 's', 6)}, where reading goes on"
    )
    return Fault(
        "damaged", f"The packed sound is damaged. {where} {goes_on}, it is left out.", frame=first
    )


def deployment_of(
    sources: Many[Source],
    order: str | None = None,
    opening: Callable[[int], None] | None = None,
) -> Deployment:
    """Open all that can be read, and take those that belong together.

    Args:
        sources: In any order.
        order: "ymd", "dmy" or "mdy", if the reader knows in which order names are dated.
        opening: Is told the number of each file, from 1 on, before it is opened.

    Raises:
        InputError: If none of them is a recording with sound in it; one error, with the first
            reasons.
    """
    opened: list[tuple[int, Recording]] = []
    refused: list[RecordingError] = []
    for number, source in enumerate(sources):
        if opening:
            opening(number + 1)
        try:
            opened.append((number, open_recording(source)))
        except RecordingError as error:
            refused.append(error)
    if not any(recording.layout.frames for _, recording in opened):
        raise InputError("recording", _nothing(refused, [recording for _, recording in opened]))
    kept, others = _alike(opened)
    sequence = in_sequence([recording for _, recording in kept], order)
    turn = [kept[file.given] for file in sequence.files]
    return Deployment(
        tuple(recording for _, recording in turn),
        tuple(number for number, _ in turn),
        sequence,
        (*_unreadable(refused), *_mixed(others, turn[0][1].layout)),
    )


def _nothing(refused: list[RecordingError], empty: list[Recording]) -> str:
    """Why there is nothing to check."""
    said = [
        *(f"{error.file}: {error.why}" for error in refused),
        *(f"{recording.source.name}: {_why_empty(recording)}" for recording in empty),
    ]
    if len(said) > MOST_NAMED:
        said[MOST_NAMED:] = [f"And {len(said) - MOST_NAMED} more."]
    return " ".join(["Nothing here can be checked.", *said])


def _why_empty(recording: Recording) -> str:
    faults = recording.layout.faults
    return " ".join(fault.text for fault in faults) or "It has no sound."


def _alike(
    opened: list[tuple[int, Recording]],
) -> tuple[list[tuple[int, Recording]], list[Recording]]:
    """Those of the rate and number of channels that most frames have; and the others."""
    frames: Counter[tuple[int, int]] = Counter()
    for _, recording in opened:
        frames[_kind(recording)] += recording.layout.frames
    (most, _), *_ = frames.most_common(1)
    kept = [pair for pair in opened if _kind(pair[1]) == most]
    return kept, [recording for _, recording in opened if _kind(recording) != most]


def _kind(recording: Recording) -> tuple[int, int]:
    return recording.layout.rate, recording.layout.channels


def _unreadable(refused: list[RecordingError]) -> list[Finding]:
    return [
        finding("unreadable", "spoils", "certain", f"{error.file}: {error.why}")
        for error in refused[:LISTED]
    ] + (
        [finding("unreadable", "spoils", "certain", f"{len(refused) - LISTED} more can't be read.")]
        if len(refused) > LISTED
        else []
    )


def _mixed(others: list[Recording], layout: Layout) -> list[Finding]:
    if not others:
        return []
    formats = Counter(f"{rate_text(rate)}, {channels} ch." for rate, channels in map(_kind, others))
    names = ", ".join(recording.name for recording in others[:LISTED])
    more = f" and {len(others) - LISTED} more" if len(others) > LISTED else ""
    what = (
        f"Checked are those of {rate_text(layout.rate)} and {layout.channels} channels. Left out: "
        f"{'; '.join(f'{count} × {text}' for text, count in formats.items())}: {names}{more}."
    )
    return [finding("mixed", "harms", "certain", what)]
