"""Sizes of O-rings, and the squeeze that published charts allow them."""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from calculators.tables import Cell, Column, Row, Table

_INCH = Decimal("25.4")

# Tolerance of the inner diameter, first number of the series, inner diameters; all in inches.
_SECTION_070 = (
    ("0.005", 6, "0.114 0.145 0.176 0.208 0.239 0.301 0.364 0.426 0.489"),
    ("0.007", 15, "0.551"),
    ("0.009", 16, "0.614 0.676 0.739 0.801 0.864 0.926"),
    ("0.010", 22, "0.989 1.051 1.114"),
    ("0.011", 25, "1.176 1.239 1.301"),
    ("0.013", 28, "1.364 1.489 1.614"),
    ("0.015", 31, "1.739 1.864"),
    ("0.018", 33, "1.989 2.114 2.239 2.364 2.489"),
    ("0.020", 38, "2.614 2.739 2.864"),
    ("0.024", 41, "2.989 3.239 3.489"),
    ("0.027", 44, "3.739 3.989"),
    ("0.030", 46, "4.239 4.489 4.739"),
    ("0.037", 49, "4.989 5.239"),
)
_SECTION_103 = (
    ("0.005", 102, "0.049 0.081 0.112 0.143 0.174 0.206 0.237 0.299 0.362 0.424 0.487"),
    ("0.007", 113, "0.549"),
    ("0.009", 114, "0.612 0.674 0.737"),
    ("0.010", 117, "0.799 0.862 0.924 0.987 1.049 1.112"),
    ("0.012", 123, "1.174 1.237 1.299 1.362 1.424 1.487"),
    ("0.015", 129, "1.549 1.612 1.674 1.737 1.799 1.862"),
    ("0.017", 135, "1.925 1.987 2.050 2.112 2.175 2.237"),
    ("0.020", 141, "2.300 2.362 2.425 2.487 2.550 2.612"),
    ("0.022", 147, "2.675 2.737 2.800 2.862"),
    ("0.024", 151, "2.987 3.237 3.487"),
    ("0.028", 154, "3.737 3.987"),
    ("0.030", 156, "4.237 4.487 4.737"),
    ("0.035", 159, "4.987 5.237 5.487 5.737 5.987"),
    ("0.040", 164, "6.237 6.487 6.737 6.987"),
    ("0.045", 168, "7.237 7.487 7.737 7.987"),
    ("0.050", 172, "8.237 8.487 8.737 8.987"),
    ("0.055", 176, "9.237 9.487 9.737"),
)
_SECTION_139 = (
    ("0.005", 201, "0.171 0.234 0.296 0.359 0.421 0.484"),
    ("0.007", 207, "0.546"),
    ("0.009", 208, "0.609 0.671"),
    ("0.010", 210, "0.734 0.796 0.859 0.921 0.984 1.046"),
    ("0.012", 216, "1.109 1.171 1.234 1.296 1.359 1.421"),
    ("0.015", 222, "1.484 1.609 1.734"),
    ("0.018", 225, "1.859 1.984 2.109"),
    ("0.020", 228, "2.234 2.359 2.484 2.609"),
    ("0.024", 232, "2.734 2.859 2.984 3.109 3.234 3.359 3.484 3.609"),
    ("0.028", 240, "3.734 3.859 3.984 4.109"),
    ("0.030", 244, "4.234 4.359 4.484 4.609 4.734"),
    ("0.035", 249, "4.859 4.984 5.109 5.234 5.359 5.484 5.609 5.734 5.859 5.984"),
    ("0.040", 259, "6.234 6.484 6.734 6.984"),
    ("0.045", 263, "7.234 7.484 7.734 7.984"),
    ("0.050", 267, "8.234 8.484 8.734 8.984"),
    ("0.055", 271, "9.234 9.484 9.734 9.984 10.484"),
    ("0.065", 276, "10.984 11.484 11.984"),
)

_SERIES = (
    ("0.070", "0.003", _SECTION_070),
    ("0.103", "0.003", _SECTION_103),
    ("0.139", "0.004", _SECTION_139),
)
"""Section, its tolerance, and the inner diameters that there are."""


def _millimetres(inches: str) -> str:
    return str((Decimal(inches) * _INCH).quantize(Decimal("0.01"), ROUND_HALF_UP))


def _length(inches: str, tolerance: str) -> str:
    return f"{_millimetres(inches)} mm ± {_millimetres(tolerance).rstrip('0')} mm"


def _row(number: int, inner: str, tolerance: str, section: str) -> Row:
    name = f"{number:03d}"
    return Row(
        name=name,
        label=f"{name}: {_millimetres(inner)} × {_millimetres(section.split()[0])} mm",
        cells={
            "inner_diameter": Cell(
                text=_length(inner, tolerance), source="sae-as568", where=f"size {name}"
            ),
            "section": Cell(
                text=_length(*section.split()), source="sae-as568", where=f"size {name}"
            ),
        },
    )


def _rows() -> Iterator[Row]:
    for section, spread, groups in _SERIES:
        for tolerance, first, inner_diameters in groups:
            for n, inner in enumerate(inner_diameters.split()):
                yield _row(first + n, inner, tolerance, f"{section} {spread}")


O_RINGS = Table(
    id="o-rings",
    title="O-rings of AS568, sections 1.78, 2.62 and 3.53 mm, up to an inner diameter of 305 mm",
    columns=(
        Column(name="inner_diameter", label="Inner diameter", unit="mm"),
        Column(name="section", label="Section", unit="mm", help="thickness of the ring"),
    ),
    rows=tuple(_rows()),
    note="Given in inches; here to 0.01 mm. Thicker rings (5.33 and 6.99 mm) and the metric sizes "
    "that shops sell as well are typed into the form.",
)


def _limits(name: str, label: str, least: str, most: str, source: str, where: str) -> Row:
    return Row(
        name=name,
        label=label,
        cells={
            "least": Cell(text=least, source=source, where=where),
            "most": Cell(text=most, source=source, where=where),
        },
    )


def _chart(kind: str, column: str, section: str, least: str, most: str) -> Row:
    return _limits(
        f"{kind}-{section.replace('.', '')}",
        f"{kind.capitalize()} seal, section {section} mm, machined to a chart",
        f"{least} %",
        f"{most} %",
        "seal-guide-glands",
        f"static glands, {column} squeeze",
    )


SQUEEZE_LIMITS = Table(
    id="squeeze-limits",
    title="Squeeze of static seals: least and most over all tolerances",
    columns=(
        Column(name="least", label="Least", unit="%"),
        Column(name="most", label="Most", unit="%"),
    ),
    rows=(
        _limits("face", "Face seal", "10 %", "35 %", "oring-notes", "typical compression"),
        _limits("radial", "Radial seal", "5 %", "30 %", "oring-notes", "typical compression"),
        _chart("face", "axial", "1.78", "19", "33"),
        _chart("face", "axial", "2.62", "19", "29"),
        _chart("face", "axial", "3.53", "20", "30"),
        _chart("face", "axial", "5.33", "20", "28"),
        _chart("face", "axial", "6.99", "20", "27"),
        _chart("radial", "radial", "1.78", "18", "32"),
        _chart("radial", "radial", "2.62", "14", "25"),
        _chart("radial", "radial", "3.53", "14", "23"),
        _chart("radial", "radial", "5.33", "14", "21"),
        _chart("radial", "radial", "6.99", "13", "20"),
    ),
    note="The charts count the tolerances of the section and of the depth alone, both tight. This "
    "handbook counts stretch, cold and a plug that lies aside as well, so the two wide rows are "
    "the ones to hold its answers against.",
)
