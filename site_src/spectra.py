"""Spectra drawn to scale at build: where in frequency the noises of a chapter lie.

No end of a bar is drawn by eye: it is an answer or an input of a worked example, or a figure of a
source that the chapter cites. Noises without a band of their own, such as clicks, are left out.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from html import escape
from math import log10

from site_src.examples import Example

WIDTH = 350
"""CSS pixels: the narrowest page, so that its type is never scaled down."""

LEFT, RIGHT, ROW, BAR, TYPE = 14, 14, 36, 8, 12
"""Margins, the height of a row and of a bar, and the size of type, in CSS pixels."""

DECADES = range(-1, 6)
"""Of the frequency axis, in hertz: 0.1 Hz to 100 kHz."""

Span = tuple[float, float]
"""From and to, Hz."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One noise: bands, bands that only a part of it reaches, and single lines, in Hz."""

    name: str
    bands: tuple[Span, ...] = ()
    partly: tuple[Span, ...] = ()
    lines: tuple[float, ...] = ()

    @property
    def words(self) -> str:
        """The row for those who hear the page."""
        said = [f"{_hertz(low)} to {_hertz(high)}" for low, high in self.bands]
        said += [f"partly {_hertz(low)} to {_hertz(high)}" for low, high in self.partly]
        if self.lines:
            said.append(f"lines at {', '.join(_hertz(f) for f in self.lines)}")
        return f"{self.name}: {'; '.join(said)}"


@dataclass(frozen=True)
class Spectrum:
    """A drawing: what it shows, and its rows from the worked examples."""

    title: str
    rows: Callable[[Mapping[str, Example]], list[Row]]


def spectrum_svg(spectrum: Spectrum, examples: Mapping[str, Example]) -> str:
    """The drawing as inline SVG that obeys the page's policy: no style attributes."""
    rows = spectrum.rows(examples)
    foot = ROW * len(rows) + 6
    height = foot + 2 * TYPE + 2
    words = f"{spectrum.title}, on an axis from 0.1 Hz to 100 kHz. " + ". ".join(
        row.words for row in rows
    )
    body = _axis(foot) + "".join(_row(row, ROW * i) for i, row in enumerate(rows))
    return (
        f'<svg class="circuit-drawing" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" '
        f'height="{height}" role="img" aria-label="{escape(words)}">{body}</svg>'
    )


def position(frequency: float) -> float:
    """Where this frequency lies on the axis, in CSS pixels from the left."""
    first, last = DECADES[0], DECADES[-1]
    across = (log10(frequency) - first) / (last - first)
    if not 0 <= across <= 1:
        raise ValueError(f"{_hertz(frequency)} lies beyond the axis of the spectrum")
    return LEFT + across * (WIDTH - LEFT - RIGHT)


def _axis(foot: float) -> str:
    drawn = []
    for decade in DECADES:
        x = position(10.0**decade)
        drawn.append(f'<path class="line" stroke-width="1.6" d="M{x:.1f} {foot}v4"/>')
        label = f"{10**decade:g}" if decade < 3 else f"{10 ** (decade - 3):g} k"
        drawn.append(_text(label, x, foot + TYPE + 6, ' text-anchor="middle"'))
    drawn.append(f'<path class="line" stroke-width="1.6" d="M{LEFT} {foot}H{WIDTH - RIGHT}"/>')
    return "".join(drawn)


def _row(row: Row, top: float) -> str:
    middle = top + TYPE + 4 + BAR / 2
    drawn = [_text(row.name, LEFT, top + TYPE)]
    for decade in DECADES:  # beside the bars only: a line through the words would blur them
        ends = f"M{position(10.0**decade):.1f} {middle - BAR}v{2 * BAR}"
        drawn.append(f'<path class="line stray" stroke-width="0.5" d="{ends}"/>')
    for low, high in row.partly:
        ends = f"M{position(low):.1f} {middle}H{position(high):.1f}"
        drawn.append(
            f'<path class="line stray" stroke-width="2" stroke-dasharray="4,3" d="{ends}"/>'
        )
    for low, high in row.bands:
        left, right = position(low), position(high)
        drawn.append(
            f'<rect class="solid" stroke-width="1" x="{left:.1f}" y="{middle - BAR / 2}" '
            f'width="{right - left:.1f}" height="{BAR}"/>'
        )
    for frequency in row.lines:
        ends = f"M{position(frequency):.1f} {middle - BAR / 2}v{BAR}"
        drawn.append(f'<path class="line" stroke-width="1.6" d="{ends}"/>')
    return "".join(drawn)


def _text(words: str, x: float, y: float, anchor: str = "") -> str:
    return f'<text class="text" x="{x:.1f}" y="{y}" font-size="{TYPE}"{anchor}>{words}</text>'


def _hertz(frequency: float) -> str:
    return f"{frequency:.3g} Hz" if frequency < 1000 else f"{frequency / 1000:.3g} kHz"


def _range(examples: Mapping[str, Example], names: tuple[str, ...], output: str) -> Span:
    """From the lowest to the highest that the tolerances of these examples allow."""
    found = [examples[name].worked.output(output) for name in names]
    answers = [answer for answer in found if answer is not None]
    assert len(answers) == len(names), f"every example has “{output}”"
    return min(a["low"] for a in answers), max(a["high"] for a in answers)


def _typed(examples: Mapping[str, Example], name: str, field: str) -> float:
    return float(examples[name].worked.fields[field])


OVERTONES = 10
"""Up to which multiple strumming and hum are drawn."""


def _field_noise(examples: Mapping[str, Example]) -> list[Row]:
    wave = 1 / _typed(examples, "eelgrass-mooring", "wave_period")
    speed = _typed(examples, "weir-mooring", "surface_speed")
    width = _typed(examples, "weir-tube-planned", "outer_diameter") / 1000
    strum = _range(examples, ("strum-cable", "eelgrass-mooring", "weir-mooring"), "strumming")
    bubbles = ("pond-bubble-small", "pond-bubble", "wiped-bubble", "eelgrass-bubble-outside")
    return [
        Row(name="waves overhead, eelgrass", lines=(wave,)),
        Row(
            name="flow past a hydrophone",
            bands=((10.0 ** DECADES[0], speed / width),),
            partly=((speed / width, 500.0),),
        ),
        Row(
            name="strumming, and its overtones",
            bands=(strum,),
            partly=((strum[1], OVERTONES * strum[1]),),
        ),
        Row(name="hum, 50 Hz", lines=tuple(50.0 * n for n in range(1, OVERTONES + 1))),
        Row(name="bubbles on the element", bands=(_range(examples, bubbles, "resonance"),)),
        Row(name="top of light rain", bands=((13e3, 15e3),)),
        Row(name="wanted: cod", bands=((50.0, 500.0),)),
        Row(name="wanted: water bugs", bands=((5e3, 22e3),)),
    ]


SPECTRA = {
    "field-noise": Spectrum("Where the noises of rig and place lie, and two calls", _field_noise),
}
