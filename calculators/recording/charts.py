"""The pictures of a recording, by name: SVG that the page and the report both show.

Each is made for a width, because type that is scaled is not readable: a phone gets another layout
than a desk. None is larger than some 300 kB, however long the deployment.
"""

from collections.abc import Callable

from calculators.errors import InputError
from calculators.recording.files_chart import files_over_time
from calculators.recording.heat_charts import hours_of_days, spectrogram
from calculators.recording.level_chart import level_over_time
from calculators.recording.shown import Shown
from calculators.recording.spectrum_charts import bands, spectrum

CHARTS: dict[str, Callable[[Shown, float], str]] = {
    "files": files_over_time,
    "time": level_over_time,
    "spectrogram": spectrogram,
    "spectrum": spectrum,
    "bands": bands,
    "days": hours_of_days,
}
"""By name, in the order of a report."""

NARROWEST, WIDEST = 280.0, 2400.0
"""CSS pixels."""


def charts_of(shown: Shown) -> list[str]:
    """Names of the pictures that this recording has.

    Hours of days need a clock and hours; where nothing could be read there are the files alone.
    """
    if not shown.summary.frames:
        return ["files"]
    return [name for name in CHARTS if name != "days" or shown.days is not None]


def draw(name: str, shown: Shown, width: float) -> str:
    """A picture as SVG, to be put into a page.

    Args:
        name: One of ``charts_of``.
        shown: What was measured, and what it means.
        width: CSS pixels, 280 to 2400.

    Raises:
        InputError: If there is no such picture, or the width is out of range.
    """
    if name not in charts_of(shown):
        there = ", ".join(charts_of(shown))
        raise InputError("picture", f"There is no picture “{name[:40]}”. There are: {there}.")
    if not NARROWEST <= width <= WIDEST:
        raise InputError("width", f"{width:g} px. Accepted is {NARROWEST:g} to {WIDEST:g} px.")
    return CHARTS[name](shown, width)
