"""The verdict on a recording: one sentence before all else."""

from collections.abc import Sequence
from typing import Literal

from calculators.recording.axes import length_text
from calculators.recording.findings import Finding
from calculators.recording.shown import Shown

Level = Literal["good", "care", "fail"]

WEIGHT_WORDS = {
    "spoils": "spoils a part",
    "harms": "use with care",
    "note": "good to know",
}

MOST_TITLES = 4
"""Findings of one weight that the verdict names; it counts the others."""

SURE_WORDS = {"certain": "certain", "likely": "likely", "possible": "possible"}


def level_of(findings: Sequence[Finding]) -> Level:
    """Whether anything spoils the recording, or wants care."""
    weights = {finding.weight for finding in findings}
    return "fail" if "spoils" in weights else "care" if "harms" in weights else "good"


def verdict(shown: Shown) -> str:
    """Whether it is all there, and what is wrong with it, gravest first."""
    spoils, harms = (_titles(shown.findings, weight) for weight in ("spoils", "harms"))
    if spoils:
        more = f" Besides, use with care: {harms}." if harms else ""
        sure = any(f.weight == "spoils" and f.sure != "possible" for f in shown.findings)
        opening = "Not all of it can be used" if sure else "Perhaps not all of it can be used"
        return f"{opening}: {spoils}.{more}"
    if harms:
        return f"It can be used, with care: {harms}."
    return "All there, as far as can be seen: nothing was found that spoils it."


def looked_at(shown: Shown) -> str:
    """How much was looked at."""
    summary = shown.summary
    files, channels = len(summary.files), summary.channels
    return (
        f"{files} {'file' if files == 1 else 'files'}, {length_text(summary.seconds)} of sound in "
        f"{channels} {'channel' if channels == 1 else 'channels'}"
    )


def _titles(findings: Sequence[Finding], weight: str) -> str:
    """Titles of this weight, each once, as parts of a sentence."""
    titles = list(dict.fromkeys(f.title for f in findings if f.weight == weight))
    more = f" and {len(titles) - MOST_TITLES} more" if len(titles) > MOST_TITLES else ""
    return "; ".join(t[:1].lower() + t[1:] for t in titles[:MOST_TITLES]) + more
