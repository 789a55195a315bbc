"""The evidence: check values from outside the project, and what our code makes of them.

The tests run every check; the ledger page shows every check with the deviation found at build.

A formula should have both a published number and one found another way. Where one of the two could
not be had, a ``[[missing]]`` entry of the same file says which and why, and the ledger shows it.
"""

import tomllib
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any

from calculators import formulas
from calculators.formula import FORMULAS
from calculators.registry import CALCULATORS
from site_src.examples import work
from site_src.paths import EVIDENCE

INDEPENDENT = ("reference library", "simulation", "independent method")
OUTSIDE = ("published", *INDEPENDENT)
KINDS = (*OUTSIDE, "limit", "common practice", "from memory")

# Every module, also one that no calculator uses yet: its formulas are public all the same.
for _module in iter_modules(formulas.__path__, f"{formulas.__name__}."):
    import_module(_module.name)


class BadCheck(ValueError):
    """A check that cannot be run as it is written; the message names file and place."""


@dataclass(frozen=True, kw_only=True)
class Check:
    """One expected value and where it comes from."""

    id: str
    expected: float
    kind: str
    inputs: dict[str, Any]
    tolerance: dict[str, float]
    why_tolerance: str
    formula: str = ""
    calculator: str = ""
    output: str = ""
    source: str = ""
    tool: str = ""
    where: str = ""
    note: str = ""

    @property
    def allowed(self) -> float:
        """How far the obtained value may lie from the expected one, in its unit."""
        relative = self.tolerance.get("rel", 0.0) * abs(self.expected)
        return max(relative, self.tolerance.get("abs", 0.0))

    @property
    def from_outside(self) -> bool:
        """Whether the expected value owes nothing to this project."""
        return self.kind in OUTSIDE


@dataclass(frozen=True, kw_only=True)
class Missing:
    """One of the two kinds of evidence that a formula lacks, and why."""

    formula: str
    kind: str
    why: str

    @property
    def words(self) -> str:
        """As the ledger says it."""
        lacks = "No published number" if self.kind == "published" else "No second way to it"
        return f"{lacks}: {self.why}"


@dataclass(frozen=True)
class Result:
    """What our code gave for a check."""

    check: Check
    obtained: float
    deviation: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "deviation", self.obtained - self.check.expected)

    @property
    def passed(self) -> bool:
        """Within the tolerance; a value that is not a number never is."""
        return abs(self.deviation) <= self.check.allowed

    @property
    def relative(self) -> float | None:
        """The deviation against the expected value, where that is not zero."""
        return self.deviation / self.check.expected if self.check.expected else None


def load(folder: Path = EVIDENCE) -> list[Check]:
    """Every check of every file, in order of file and place."""
    return [check for file in sorted(folder.glob("*.toml")) for check in _checks(file)]


def run(check: Check) -> Result:
    """Compute what the check asks for."""
    if check.formula:
        return Result(check, FORMULAS[check.formula].function(**check.inputs))
    texts = {name: str(text) for name, text in check.inputs.items()}
    output = work(check.calculator, texts).output(check.output)
    if output is None:
        raise BadCheck(f"{check.id}: {check.calculator} has no output “{check.output}”")
    return Result(check, float(output["value"]))


def formulas_without_outside_check(checks: list[Check] | None = None) -> list[str]:
    """Ids of public formulas that nothing from outside the project confirms."""
    found = load() if checks is None else checks
    confirmed = {check.formula for check in found if check.from_outside}
    return sorted(set(FORMULAS) - confirmed)


def load_missing(folder: Path = EVIDENCE) -> list[Missing]:
    """What is declared to be missing, in order of file and place."""
    rows = [
        row
        for file in sorted(folder.glob("*.toml"))
        for row in tomllib.loads(file.read_text()).get("missing", [])
    ]
    return [Missing(**row) for row in rows]


def one_sided(checks: list[Check], missing: list[Missing]) -> list[str]:
    """Every formula that lacks a kind of evidence unsaid, and everything said without need."""
    kinds: dict[str, set[str]] = {name: set() for name in FORMULAS}
    for check in checks:
        if check.formula:
            kinds[check.formula].add(check.kind)
    lacking = {(name, "published") for name, found in kinds.items() if "published" not in found}
    lacking |= {
        (name, "independent") for name, found in kinds.items() if not found & set(INDEPENDENT)
    }
    said = {(one.formula, one.kind) for one in missing}
    unsaid = [f"{name}: no {kind} check" for name, kind in lacking - said]
    needless = [f"{name}: “{kind}” is said to be missing" for name, kind in said - lacking]
    return sorted(unsaid + needless)


def _checks(file: Path) -> list[Check]:
    rows = tomllib.loads(file.read_text()).get("check", [])
    return [_check(f"{file.stem}-{number}", row) for number, row in enumerate(rows, start=1)]


def _check(name: str, row: dict[str, Any]) -> Check:
    try:
        check = Check(id=name, **row)
    except TypeError as error:
        raise BadCheck(f"{name}: {error}") from error
    for problem in _problems(check):
        raise BadCheck(f"{name}: {problem}")
    return check


def _problems(check: Check) -> list[str]:
    wrong = []
    if bool(check.formula) == bool(check.calculator):
        wrong.append("names a formula or a calculator, one of the two")
    if check.formula and check.formula not in FORMULAS:
        wrong.append(f"“{check.formula}” is not a formula")
    if check.calculator and check.calculator not in CALCULATORS:
        wrong.append(f"“{check.calculator}” is not a calculator")
    if check.kind not in KINDS:
        wrong.append(f"kind “{check.kind}” is not one of: {', '.join(KINDS)}")
    if set(check.tolerance) - {"rel", "abs"} or not check.tolerance:
        wrong.append("tolerance is {rel = …} or {abs = …}")
    if check.from_outside and not (check.source or check.tool):
        wrong.append("names neither source nor tool")
    return wrong
