"""Figures: what was measured, summed up, and printed as a plain table."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from math import ceil
from statistics import median
from typing import Any


@dataclass(frozen=True)
class Figure:
    """One measured quantity. ``most`` or ``least`` is its target, where it has one."""

    part: str
    name: str
    unit: str
    value: float
    low: float
    high: float
    runs: int
    most: float | None = None
    least: float | None = None

    @property
    def met(self) -> bool | None:
        """Whether the target was met; None without one."""
        if self.most is not None:
            return self.value <= self.most
        return self.value >= self.least if self.least is not None else None

    @property
    def target(self) -> str:
        """The target in words."""
        if self.most is not None:
            return f"≤ {self.most:g}"
        return f"≥ {self.least:g}" if self.least is not None else ""

    def as_json(self) -> dict[str, Any]:
        """All of it, for build/bench.json."""
        return {**asdict(self), "met": self.met}


def middle(part: str, name: str, unit: str, samples: Sequence[float], **target: float) -> Figure:
    """The median of the samples, with their ends."""
    return _figure(part, name, unit, median(samples), samples, **target)


def percentile(
    part: str, name: str, unit: str, samples: Sequence[float], percent: int, **target: float
) -> Figure:
    """The sample that ``percent`` of all do not exceed (nearest rank)."""
    at = sorted(samples)[ceil(len(samples) * percent / 100) - 1]
    return _figure(part, f"{name}, p{percent}", unit, at, samples, **target)


def _figure(
    part: str, name: str, unit: str, value: float, samples: Sequence[float], **target: float
) -> Figure:
    return Figure(part, name, unit, value, min(samples), max(samples), len(samples), **target)


def table(figures: Sequence[Figure]) -> str:
    """The figures as text, one a line, a heading for each part."""
    rows = [_row(figure) for figure in figures]
    widths = [max(map(len, column)) for column in zip(_HEADINGS, *rows, strict=True)]
    lines = [_line(_HEADINGS, widths)]
    part = ""
    for figure, row in zip(figures, rows, strict=True):
        if figure.part != part:
            part = figure.part
            lines += ["", part]
        lines.append(_line(row, widths))
    return "\n".join(lines)


_HEADINGS = ("", "value", "min–max", "runs", "target", "met")


def _row(figure: Figure) -> tuple[str, ...]:
    met = {True: "yes", False: "NO", None: ""}[figure.met]
    return (
        f"  {figure.name}",
        f"{number(figure.value)} {figure.unit}".strip(),
        f"{number(figure.low)}–{number(figure.high)}" if figure.runs > 1 else "",
        str(figure.runs),
        figure.target,
        met,
    )


def _line(row: tuple[str, ...], widths: list[int]) -> str:
    cells = [
        row[0].ljust(widths[0]),
        *(c.rjust(w) for c, w in zip(row[1:], widths[1:], strict=True)),
    ]
    return "  ".join(cells).rstrip()


def number(value: float) -> str:
    """Three digits, and all of those before the point."""
    if value == 0 or abs(value) >= 100:
        return f"{value:.0f}"
    return f"{value:#.3g}".rstrip(".")
