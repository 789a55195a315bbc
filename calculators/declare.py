"""How a calculator is declared: as data, once, for form, page, command line and link.

Every class checks its own declaration when the module is imported, so a bad default fails at once.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from inspect import signature
from math import inf
from operator import itemgetter
from typing import Any, ClassVar, Literal, TypeVar

from calculators import calendar_texts, entries, units
from calculators.drawing import Drawing
from calculators.errors import InputError
from calculators.logs import LogColumn, read_log
from calculators.tables import Row, Table
from calculators.units.showing import MINUS

Value = float | str
Values = dict[str, Value]
"""Every input of a calculator by name; rows after the first carry ``_2``, ``_3``, …"""

Results = dict[str, float]
"""Every output by name, SI; rows as in ``Values``."""

Level = Literal["good", "care", "fail"]

RigEntry = str
"""The entry of the rig that an input stands for, or that an output gives where the rig does not
state it: "element.capacitance"; in a group, "power.supply.capacity". An input without one is a
question of the calculator's own: for a rig it keeps its default.
"""

Stage = Literal["plan", "build", "seal", "test", "deploy", "listen"]
"""Where in the order of the work a question comes up first."""


@dataclass(frozen=True, kw_only=True)
class Shown:
    """The input is asked for only while a choice has one of these values."""

    input: str
    values: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Number:
    """A number that the reader gives.

    ``unit`` is the unit of the form. ``default``, ``low`` and ``high`` are texts with units, so
    that a declaration reads like a data sheet. ``why`` says what sets the two ends of the range.
    ``refers_to`` names the group whose rows this number counts. ``rig_otherwise`` is another entry
    of a rig that holds for it where the rig has none of its own: cells are as warm as the water.
    """

    name: str
    label: str
    unit: str
    default: str
    low: str
    high: str
    why: str
    hint: str = ""
    tolerance: str = ""
    integer: bool = False
    refers_to: str = ""
    group: str = ""
    shown: Shown | None = None
    rig: RigEntry = ""
    rig_otherwise: RigEntry = ""

    def __post_init__(self) -> None:
        if not self.low_si < self.high_si:
            raise TypeError(f"{self.name}: low must be below high")
        self.check(self.default_si, self.name, "metric")
        if self.tolerance:
            units.parse_tolerance(
                self.tolerance, self.default_si, self.unit, name=self.name, label=self.label
            )

    def _si(self, text: str) -> float:
        return units.parse(text, self.unit, name=self.name, label=self.label)

    @cached_property
    def low_si(self) -> float:
        """Lower end, SI."""
        return self._si(self.low)

    @cached_property
    def high_si(self) -> float:
        """Upper end, SI."""
        return self._si(self.high)

    @cached_property
    def default_si(self) -> float:
        """Default, SI."""
        return self._si(self.default)

    @cached_property
    def si_unit(self) -> str:
        """Unit of the value in ``Values``."""
        return units.base_unit(self.unit)

    def unit_in(self, system: str) -> str:
        """Unit of the form in this system."""
        return units.display_unit(self.unit, system)

    def unit_shown(self, system: str) -> str:
        """What stands beside the field: nothing for a plain count, dB for a level."""
        unit = self.unit_in(system)
        return "" if unit == "1" else entries.split_reference(unit)[0]

    @property
    def full_hint(self) -> str:
        """The hint, after the reference of a level, for which the field has no room."""
        reference = entries.split_reference(self.unit)[1]
        return "; ".join(part for part in (reference, self.hint) if part)

    def accepted(self, system: str) -> str:
        """The range in words, used by help, error and command line alike."""
        ends = (self.low_si, self.high_si)
        return " to ".join(entries.end_text(end, self.unit, system, within=ends) for end in ends)

    def shown_text(self, value: float, system: str) -> str:
        """A value of this input as the reader sees it."""
        return entries.shown_text(value, self.unit, system)

    def field_text(self, value: float, system: str) -> str:
        """A value as the form holds it, in the unit beside the field."""
        return entries.field_text(value, self.unit_in(system))

    def check(self, value: float, name: str, system: str) -> None:
        """Refuse a value outside the range, in the reader's unit."""
        if not self.low_si <= value <= self.high_si:
            raise InputError(
                name,
                f"{self.label}: {self.shown_text(value, system)} is not possible here. "
                f"Give {self.accepted(system)} ({self.why}).",
            )
        if self.integer and value != int(value):
            raise InputError(
                name,
                f"{self.label}: {self.shown_text(value, system)} is not a whole number. "
                f"Give {self.accepted(system)}.",
            )


@dataclass(frozen=True, kw_only=True)
class Option:
    """One value of a choice."""

    value: str
    label: str


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One of a few kinds. With ``unit`` the options are numbers of that unit."""

    name: str
    label: str
    options: tuple[Option, ...]
    default: str
    hint: str = ""
    unit: str | None = None
    group: str = ""
    shown: Shown | None = None
    rig: RigEntry = ""

    def __post_init__(self) -> None:
        self.read(self.default, self.name)

    @property
    def si_unit(self) -> str:
        """Unit of the value in ``Values``, empty for a kind."""
        return self.unit or ""

    def read(self, text: str, name: str) -> Value:
        """The option's value, or a refusal that lists the options."""
        if text not in (option.value for option in self.options):
            accepted = ", ".join(option.value for option in self.options)
            raise InputError(name, f"{self.label}: “{text[:40]}” is not one of: {accepted}.")
        return text if self.unit is None else float(text)


@dataclass(frozen=True, kw_only=True)
class Log:
    """Rows of measurements, typed, pasted or from a file. The value is the text, as it came.

    A card reads it with ``logs.read_log(text, columns)``, which is cached.
    """

    name: str
    label: str
    columns: tuple[LogColumn, ...]
    default: str
    hint: str = ""
    group: str = ""
    shown: Shown | None = None
    rig: RigEntry = ""

    def __post_init__(self) -> None:
        self.check(self.default, self.name)

    @property
    def si_unit(self) -> str:
        """A text has no unit."""
        return ""

    def check(self, text: str, name: str) -> str:
        """The text, or a refusal that says what is missing."""
        try:
            read_log(text, self.columns)
        except InputError as error:
            raise InputError(name, f"{self.label}: {error.message}") from error
        return text

    @property
    def accepted(self) -> str:
        """The columns in words, with what each accepts."""
        return "; ".join(
            f"{c.name} in {c.unit}, {c.low} to {c.high}"
            + ("" if c.required else ", if there is one")
            for c in self.columns
        )


@dataclass(frozen=True, kw_only=True)
class Written:
    """A number that is written in a form of its own, such as a date.

    It has no unit and no tolerance, and is not solved for. A subclass says how it is written: in
    the field (``field_text``), in words (``shown_text``), in a link, where only letters, digits,
    point and minus may stand (``link_text``).
    """

    name: str
    label: str
    default: str
    hint: str = ""
    why: str = ""
    group: str = ""
    shown: Shown | None = None
    rig: RigEntry = ""

    si_unit: ClassVar[str]
    kind: ClassVar[str]
    step: ClassVar[float]
    """How far an arrow key goes."""

    def __post_init__(self) -> None:
        self.read(self.default, self.name)

    @property
    def ends(self) -> tuple[float, float]:
        """The lowest and the highest value."""
        raise NotImplementedError

    def read(self, text: str, name: str) -> float:
        """The value of a text, or a refusal that says what is accepted."""
        raise NotImplementedError

    def field_text(self, value: float) -> str:
        """A value as the form holds it."""
        raise NotImplementedError

    def shown_text(self, value: float, system: str) -> str:
        """A value in words; units are the same in every system."""
        return self.field_text(value)

    def link_text(self, value: float) -> str:
        """A value as a link holds it."""
        return self.field_text(value)

    @property
    def accepted(self) -> str:
        """The range in words."""
        low, high = (self.shown_text(end, "metric") for end in self.ends)
        return f"{low} to {high}"

    def stepped(self, text: str, direction: int, name: str) -> str:
        """The text one step up or down; at the end of the range it stays."""
        low, high = self.ends
        after = self.read(text, name) + direction * self.step
        return self.field_text(after) if low <= after <= high else text


@dataclass(frozen=True, kw_only=True)
class Day(Written):
    """A date, written 2026-06-21. The value is whole days since 1970-01-01.

    ``low``, ``high`` and ``why`` are the range, as of a ``Number``.
    """

    low: str
    high: str
    why: str

    si_unit = "d since 1970-01-01"
    kind = "day"
    step = 1.0

    @cached_property
    def ends(self) -> tuple[float, float]:
        """First and last day that are accepted."""
        low, high = (
            calendar_texts.read_day(end, name=self.name, label=self.label)
            for end in (self.low, self.high)
        )
        return low, high

    def read(self, text: str, name: str) -> float:
        """Days since 1970-01-01, or a refusal that names the dates the text can mean."""
        value = calendar_texts.read_day(text, name=name, label=self.label)
        if not self.ends[0] <= value <= self.ends[1]:
            raise InputError(
                name,
                f"{self.label}: {text.strip()} is not possible here. "
                f"Give {self.accepted} ({self.why}).",
            )
        return value

    def field_text(self, value: float) -> str:
        """The date as ISO 8601 writes it."""
        return calendar_texts.day_text(value)


@dataclass(frozen=True, kw_only=True)
class Clock(Written):
    """A time of day, written 21:30. The value is seconds after midnight."""

    si_unit = "s after midnight"
    kind = "clock"
    step = 300.0

    @property
    def ends(self) -> tuple[float, float]:
        """Midnight to a minute before it."""
        return 0.0, calendar_texts.DAY - 60

    def read(self, text: str, name: str) -> float:
        """Seconds after midnight, or a refusal."""
        return calendar_texts.read_clock(text, name=name, label=self.label)

    def field_text(self, value: float) -> str:
        """Hours and minutes."""
        return calendar_texts.clock_text(value)

    def link_text(self, value: float) -> str:
        """A colon would have to be encoded: 21h30."""
        return calendar_texts.clock_text(value, "h")


@dataclass(frozen=True, kw_only=True)
class Zone(Written):
    """A time zone, written +2 or -3:30. The value is seconds that its clocks are ahead of UTC."""

    si_unit = "s ahead of UTC"
    kind = "zone"
    step = 1800.0

    @property
    def ends(self) -> tuple[float, float]:
        """The zones there are."""
        return calendar_texts.ZONES

    def read(self, text: str, name: str) -> float:
        """Seconds ahead of UTC, or a refusal."""
        return calendar_texts.read_zone(text, name=name, label=self.label)

    def field_text(self, value: float) -> str:
        """Hours ahead of UTC."""
        return calendar_texts.zone_text(value)

    def shown_text(self, value: float, system: str) -> str:
        """With the name of what it is ahead of: UTC+2."""
        return f"UTC{calendar_texts.zone_text(value) if value else ''}".replace("-", MINUS)

    def link_text(self, value: float) -> str:
        """A plus would have to be encoded: 2, -3.5."""
        return f"{value / 3600:g}"


@dataclass(frozen=True, kw_only=True)
class Coordinate(Written):
    """A latitude or longitude, written 61.53 N. The value is degrees, north and east positive.

    It is kept to 0.01°, a kilometre: a link carries it, and need not lead to a door.
    """

    letters: Literal["NS", "EW"]

    si_unit = "°"
    kind = "coordinate"
    step = 0.1

    @property
    def ends(self) -> tuple[float, float]:
        """90° or 180° to either side."""
        return (-90.0, 90.0) if self.letters == "NS" else (-180.0, 180.0)

    def read(self, text: str, name: str) -> float:
        """Degrees, or a refusal."""
        most = int(self.ends[1])
        return calendar_texts.read_coordinate(
            text, most=most, letters=self.letters, name=name, label=self.label
        )

    def field_text(self, value: float) -> str:
        """Degrees with the letter of their side."""
        return calendar_texts.coordinate_text(value, self.letters)

    def shown_text(self, value: float, system: str) -> str:
        """With the sign of a degree."""
        return calendar_texts.coordinate_text(value, self.letters, "° ")

    def link_text(self, value: float) -> str:
        """Without a space."""
        return calendar_texts.coordinate_text(value, self.letters, "")


Input = Number | Choice | Log | Written


@dataclass(frozen=True, kw_only=True)
class Fill:
    """Several inputs filled from one row of a table; the reader may change them afterwards.

    ``inputs`` gives the column for each input. A row that lacks one of them is not offered. A link
    holds the values alone: which row they are is found again from them.
    """

    name: str
    label: str
    table: Table
    inputs: Mapping[str, str]

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """The rows that fill every input."""
        wanted = set(self.inputs.values())
        return tuple(row for row in self.table.rows if wanted <= set(row.cells))

    def row(self, name: str) -> Row:
        """The row of this name, or a refusal that lists those there are."""
        for row in self.rows:
            if row.name == name:
                return row
        accepted = ", ".join(row.name for row in self.rows)
        raise InputError(self.name, f"{self.label}: “{name[:40]}” is not one of: {accepted}.")


@dataclass(frozen=True, kw_only=True)
class Group:
    """Inputs that repeat as rows: a battery, a load.

    ``most`` rows of every group together must still fit a link of 2 000 characters.
    """

    name: str
    label: str
    most: int


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What an answer means against a limit.

    ``limit`` is an SI number, the name of an input or of another output, or is worked out from
    them. The texts may hold ``{limit}``. A range that crosses the limit is neither met nor missed:
    it gets ``unsure``. ``level`` judges by itself where more counts than the range of this answer:
    it is given all values, low and high. With ``either_way`` an answer with a sign is held against
    the limit by its size.

    ``ample`` is how far from its limit an answer is called ample, SI: margins of different kinds
    are put in order by it. Without one it is the limit itself, and 6 dB for a level. ``in_rig`` is
    false for what is no requirement of a whole rig: what another verdict says already, or what
    would be if; it names a calculator that says it more closely, where there is one: then it is a
    requirement of a rig without that question alone. ``ends`` says that missing it ends the
    deployment: the case floods, the power or the card runs out, the line parts or the anchor drags.
    """

    better: Literal["below", "above"]
    limit: float | str | Callable[[Mapping[str, Value]], float]
    met: str
    missed: str
    unsure: str
    source: str
    missed_level: Level = "fail"
    level: Callable[[Mapping[str, Value], float, float], Level] | None = None
    either_way: bool = False
    ample: float | None = None
    in_rig: bool | str = True
    ends: bool = False

    def limit_in(self, values: Mapping[str, Value]) -> float:
        """The limit for these inputs and outputs, SI."""
        if callable(self.limit):
            return self.limit(values)
        return float(values[self.limit]) if isinstance(self.limit, str) else self.limit

    def judged(self, values: Mapping[str, Value], low: float, high: float) -> tuple[Level, str]:
        """Level and text for an answer between ``low`` and ``high``, all values being these."""
        if self.level is None:
            return self.judge(*self._held(low, high), self.limit_in(values))
        level = self.level(values, low, high)
        return level, {"good": self.met, "care": self.unsure, "fail": self.missed}[level]

    def above(self, answer: float, limit: float) -> float:
        """How far what is held against this limit lies above it."""
        return (abs(answer) if self.either_way else answer) - limit

    def _held(self, low: float, high: float) -> tuple[float, float]:
        """Lowest and highest of what is held against the limit."""
        if not self.either_way:
            return low, high
        least = 0.0 if low <= 0 <= high else min(abs(low), abs(high))
        return least, max(abs(low), abs(high))

    def judge(self, low: float, high: float, limit: float) -> tuple[Level, str]:
        """Level and text for an answer between ``low`` and ``high`` held against this limit."""
        best, worst = (low, high) if self.better == "below" else (-high, -low)
        edge = limit if self.better == "below" else -limit
        if worst <= edge:
            return "good", self.met
        return (self.missed_level, self.missed) if best > edge else ("care", self.unsure)


@dataclass(frozen=True, kw_only=True)
class Beyond:
    """From ``value`` on, a text with its unit, ``words`` say what a number would only hide."""

    value: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Output:
    """A number that the calculator gives; ``beyond`` puts words in the place of one too high."""

    name: str
    label: str
    unit: str
    digits: int = 3
    group: str = ""
    help: str = ""
    verdict: Verdict | None = None
    rig: RigEntry = ""
    beyond: Beyond | None = None

    @cached_property
    def si_unit(self) -> str:
        """Unit of the value in ``Results``."""
        return units.base_unit(self.unit)

    @cached_property
    def _beyond_si(self) -> float:
        if self.beyond is None:
            return inf
        return units.parse(self.beyond.value, self.unit, name=self.name, label=self.label)

    def text(self, value: float, system: str) -> str:
        """The value as the reader sees it."""
        if self.beyond is not None and value >= self._beyond_si:
            return self.beyond.words
        return units.format_display(value, self.unit, self.digits, system)

    def read(self, text: str, bare_unit: str, name: str) -> float:
        """A wanted value; a bare number is in ``bare_unit``."""
        return units.parse(text, bare_unit, name=name, label=self.label)


@dataclass(frozen=True, kw_only=True)
class Moment(Output):
    """A moment that the calculator gives, in seconds after the first midnight: 04:17 next day.

    An event that may not happen, such as a sunset near the pole, is no output: say it in
    ``remarks``, and give a length of time instead, which always exists.
    """

    unit: str = "s"

    def __post_init__(self) -> None:
        if self.verdict is not None:
            raise TypeError(f"{self.name}: a moment is not held against a limit")

    @cached_property
    def si_unit(self) -> str:
        """What the value counts."""
        return "s after the first midnight"

    def text(self, value: float, system: str) -> str:
        """The time of day, and how many days later."""
        return calendar_texts.moment_text(value)

    def read(self, text: str, bare_unit: str, name: str) -> float:
        """A wanted moment, written as it is shown."""
        return calendar_texts.read_moment(text, name=name, label=self.label)


T = TypeVar("T", Input, Output)


@dataclass(frozen=True, kw_only=True)
class Caution:
    """Something that can hurt, shown before the step. ``when`` says for which values."""

    title: str
    text: str
    when: Callable[[Values, Results], bool] = field(default=lambda values, results: True)


@dataclass(frozen=True, kw_only=True)
class Export:
    """The calculation as a text for another program: ``text`` makes it, ``file`` names it."""

    name: str
    label: str
    file: str
    text: Callable[[Values, Results], str]


@dataclass(frozen=True, kw_only=True)
class Change:
    """A change of a formula, so that a link made before it can say so."""

    edition: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Axis:
    """One axis of a plot, SI."""

    label: str
    unit: str
    domain: tuple[float, float]
    log: bool = False
    whole: bool = False
    """Only whole numbers are written: it counts things."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One curve."""

    name: str
    points: list[tuple[float, float]]
    kind: Literal["main", "second", "third"] = "main"


@dataclass(frozen=True, kw_only=True)
class Plot:
    """A picture of the answer: curves, a band for the range, marks and limits."""

    title: str
    description: str
    x: Axis
    y: Axis
    lines: list[Line]
    marks: list[tuple[float, str]] = field(default_factory=list)
    levels: list[tuple[float, str]] = field(default_factory=list)
    band: list[tuple[float, float, float]] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True, eq=False)
class Calculator:
    """One question of a builder, and how the core answers it.

    ``stage`` says where in the order of the work its question comes up first.
    ``compute`` takes every ungrouped input by name and every group by name, as a list of rows
    (dicts without the suffix), and returns every output by name, a list for outputs of a group.
    The first output is the one that stays in sight. ``remarks`` are sentences for what no number
    says, such as what gives first; ``drawing`` is a picture to scale. Both, like ``plot``, are
    given values, results and the reader's system of units. ``in_rig`` says that its verdicts are
    part of what is required of a whole rig; ``in_rig_for`` names a calculator that asks the same
    more closely: only of a rig without that question are these verdicts required. ``apart`` gives
    outputs that can be had without all the rest, each by a function that takes what ``compute``
    takes: for a rig that asks for no other.
    """

    id: str
    title: str
    question: str
    stage: Stage
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    compute: Callable[..., dict[str, Any]]
    groups: tuple[Group, ...] = ()
    cautions: tuple[Caution, ...] = ()
    plot: Callable[[Values, Results, str], Plot] | None = None
    drawing: Callable[[Values, Results, str], Drawing] | None = None
    remarks: Callable[[Values, Results, str], list[str]] | None = None
    changes: tuple[Change, ...] = ()
    fills: tuple[Fill, ...] = ()
    exports: tuple[Export, ...] = ()
    in_rig: bool = False
    apart: Mapping[str, Callable[..., float]] = field(default_factory=dict)
    in_rig_for: str = ""

    @property
    def is_question(self) -> bool:
        """Whether a rig can be asked this, and can say that it does not have the question."""
        return self.in_rig or bool(self.in_rig_for)

    def __post_init__(self) -> None:
        names = [item.name for item in (*self.inputs, *self.outputs, *self.fills)]
        if len(set(names)) != len(names):
            raise TypeError(f"{self.id}: a name is used twice")
        wanted = {i.name for i in self.inputs if not i.group} | {g.name for g in self.groups}
        if set(self.parameters) != wanted:
            raise TypeError(f"{self.id}: compute must take {sorted(wanted)}")
        for output in self.outputs:
            limit = output.verdict.limit if output.verdict else 0.0
            if isinstance(limit, str) and limit not in names:
                raise TypeError(f"{self.id}: {output.name} is held against {limit}, unknown")
        for fill in self.fills:
            self._check_fill(fill)

    def _check_fill(self, fill: Fill) -> None:
        """Every row must fit its fields, with its spread."""
        if not fill.rows:
            raise TypeError(f"{self.id}: {fill.table.id} has no row with {sorted(fill.inputs)}")
        for name in fill.inputs:
            if not isinstance(self.inputs_by_name.get(name), Number):
                raise TypeError(f"{self.id}: {fill.name} fills {name}, which is not a number")
            if self.inputs_by_name[name].group:
                raise TypeError(f"{self.id}: {fill.name} fills {name}, which is in a group")

    @cached_property
    def parameters(self) -> tuple[str, ...]:
        """The inputs and groups by name, in the order in which ``compute`` takes them."""
        return tuple(signature(self.compute).parameters)

    @cached_property
    def arguments(self) -> Callable[[Mapping[str, Any]], tuple[Any, ...]]:
        """Takes from inputs and groups by name what ``compute`` takes, in its order."""
        return _taking(self.parameters)

    @cached_property
    def answers(self) -> Callable[[Mapping[str, Any]], tuple[Any, ...]]:
        """Takes every output, in order, from what ``compute`` returns."""
        return _taking(tuple(self.outputs_by_name))

    @cached_property
    def fills_by_name(self) -> dict[str, Fill]:
        """Fills by their name."""
        return {fill.name: fill for fill in self.fills}

    @cached_property
    def inputs_by_name(self) -> dict[str, Input]:
        """Inputs by their plain name."""
        return {i.name: i for i in self.inputs}

    @cached_property
    def outputs_by_name(self) -> dict[str, Output]:
        """Outputs by their plain name."""
        return {o.name: o for o in self.outputs}

    @cached_property
    def _rows_of_keys(self) -> dict[str, tuple[str, int]]:
        """Group and row of every key that a grouped input may have."""
        most = {g.name: g.most for g in self.groups}
        return {
            row_key(i.name, n): (i.group, n)
            for i in self.inputs
            if i.group
            for n in range(1, most[i.group] + 1)
        }

    def shape(self, names: Iterable[str]) -> "Shape":
        """What these input names call for: as many rows as the highest one named."""
        rows = {g.name: 1 for g in self.groups}
        for name in names:
            group, row = self._rows_of_keys.get(name, ("", 0))
            if group and row > rows[group]:
                rows[group] = row
        counts = tuple(rows.values())
        if counts not in self._shapes:
            self._shapes[counts] = Shape.of(self, rows)
        return self._shapes[counts]

    @cached_property
    def _shapes(self) -> dict[tuple[int, ...], "Shape"]:
        """Shapes by rows of each group, made once: they are asked for at every keystroke."""
        return {}


@dataclass(frozen=True, eq=False)
class Shape:
    """A calculator with its rows counted: every input and output key, in the form's order.

    ``arguments`` holds the key of every grouped input, by group and row; ``places`` where each
    output stands among what the card's function returns.
    """

    rows: dict[str, int]
    inputs: dict[str, Input]
    outputs: dict[str, Output]
    plain: tuple[str, ...]
    arguments: dict[str, list[dict[str, str]]]
    places: tuple[tuple[str, int | None], ...]
    references: tuple[tuple[str, Number], ...]

    @classmethod
    def of(cls, card: Calculator, rows: dict[str, int]) -> "Shape":
        """The shape for these numbers of rows."""
        inputs, outputs = _keyed(card.inputs, rows), _keyed(card.outputs, rows)
        return cls(
            rows=rows,
            inputs=inputs,
            outputs=outputs,
            plain=tuple(i.name for i in card.inputs if not i.group),
            arguments={
                group: [
                    {i.name: row_key(i.name, n) for i in card.inputs if i.group == group}
                    for n in range(1, count + 1)
                ]
                for group, count in rows.items()
            },
            places=tuple(
                (o.name, row_of(key, o.name) - 1 if o.group else None) for key, o in outputs.items()
            ),
            references=tuple(
                (key, i) for key, i in inputs.items() if isinstance(i, Number) and i.refers_to
            ),
        )

    def label(self, key: str) -> str:
        """Label of an input or output, with its row where there is more than one."""
        item = self.inputs.get(key) or self.outputs[key]
        if not item.group or self.rows[item.group] == 1:
            return item.label
        return f"{item.label} {row_of(key, item.name)}"


def _taking(names: tuple[str, ...]) -> Callable[[Mapping[str, Any]], tuple[Any, ...]]:
    """Takes what has these names."""
    if len(names) == 1:
        return lambda given: (given[names[0]],)
    return itemgetter(*names)


def _keyed(members: tuple[T, ...], rows: dict[str, int]) -> dict[str, T]:
    """Inputs or outputs by key: the ungrouped first, then row by row."""
    found = {i.name: i for i in members if not i.group}
    for group, count in rows.items():
        for n in range(1, count + 1):
            found |= {row_key(i.name, n): i for i in members if i.group == group}
    return found


def row_key(name: str, row: int) -> str:
    """Name of an input or output in row ``row``: the first row has the plain name."""
    return name if row == 1 else f"{name}_{row}"


def row_of(key: str, name: str) -> int:
    """The row that ``key`` names, for an input or output called ``name``."""
    return 1 if key == name else int(key.removeprefix(f"{name}_"))
