"""Tables of materials and parts: every value with its spread and its own source.

A table is shown in the handbook (``[[table ID]]``) and can fill a form (``declare.Fill``).
"""

from dataclasses import dataclass
from functools import cached_property

from calculators import units
from calculators.entries import split_tolerance

TEXT = "text"

UNPUBLISHED = ("common practice", "from memory")
"""What may stand in the place of a source."""


@dataclass(frozen=True, kw_only=True)
class Column:
    """One property: its name in code, its label, and the unit that the table shows it in.

    The unit ``TEXT`` is for words: they are shown as they stand and fill no field.
    """

    name: str
    label: str
    unit: str
    help: str = ""


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One value as its source gives it.

    ``text`` holds the value with its unit and spread, as in ``"1300 ± 12.5 %"`` or
    ``"1150 kg/m³ +50/-30 kg/m³"``. ``source`` is a key of the bibliography, or one of
    ``UNPUBLISHED``. ``where`` names table or page; ``note`` says what a reader must know.
    """

    text: str
    source: str
    where: str = ""
    note: str = ""

    @property
    def value(self) -> str:
        """The value alone, with its unit."""
        return split_tolerance(self.text)[0]

    @property
    def tolerance(self) -> str:
        """The spread as a form takes it, empty where the source gives none."""
        spread = split_tolerance(self.text)[1]
        signed = spread.replace("-", "−")  # the sign that forms show
        return signed if signed.startswith("+") or not signed else f"±{signed}"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One material or part, described by what matters."""

    name: str
    label: str
    cells: dict[str, Cell]
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of materials or parts with the same properties. A row may lack a cell."""

    id: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: str = ""

    def __post_init__(self) -> None:
        for row in self.rows:
            unknown = set(row.cells) - set(self.columns_by_name)
            if unknown:
                raise TypeError(f"{self.id}, {row.name}: no column {sorted(unknown)}")
            for name, cell in row.cells.items():
                self._check(row, self.columns_by_name[name], cell)

    def _check(self, row: Row, column: Column, cell: Cell) -> None:
        """A cell that a form could not read, or without a source, is a defect of the table."""
        label = f"{self.id}, {row.name}, {column.label}"
        if not cell.source:
            raise TypeError(f"{label}: no source")
        if column.unit == TEXT:
            return
        value = units.parse(cell.value, column.unit, name=column.name, label=label)
        if cell.tolerance:
            units.parse_tolerance(cell.tolerance, value, column.unit, name=column.name, label=label)

    @cached_property
    def columns_by_name(self) -> dict[str, Column]:
        """Columns by their name."""
        return {column.name: column for column in self.columns}

    @cached_property
    def rows_by_name(self) -> dict[str, Row]:
        """Rows by their name."""
        return {row.name: row for row in self.rows}

    def cell(self, row: str, column: str) -> Cell:
        """The cell in this row and column."""
        return self.rows_by_name[row].cells[column]
