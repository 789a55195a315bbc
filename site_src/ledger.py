"""The ledger: every public formula, its source, validity and checks, as a page and as data."""

from html import escape
from typing import Any

from calculators import EDITION, units
from calculators.formula import FORMULAS, Formula
from calculators.registry import CALCULATORS
from site_src.bibliography import Source
from site_src.evidence import KINDS, OUTSIDE, Check, Missing, Result
from site_src.tags import Tags

PAGE = "reference/ledger.md"
ROOT = "../../"
DATA = "reference/evidence.json"


def page(results: list[Result], missing: list[Missing], tags: Tags) -> str:
    """The ledger as a page; an anchor a formula."""
    outside = sum(r.check.from_outside for r in results)
    formulas = "\n\n".join(_formula(f, results, missing, tags) for f in FORMULAS.values())
    calculators = _calculators(results, tags)
    counted = f"{len(FORMULAS)} formulas, {len(results)} checks, {outside} of them from outside."
    return f"{_HEAD}\n{counted}\n\n{formulas}\n\n{calculators}\n"


def data(results: list[Result]) -> dict[str, Any]:
    """Every check with what came out of it, for other programs."""
    return {"edition": EDITION, "checks": [_row(result) for result in results]}


_HEAD = f"""---
title: Ledger
description: Every formula of the handbook, where it comes from and how it is checked.
---

# Ledger

Every formula that a calculator uses: its source, where it holds, and every check of it.
The column *obtained* was computed by our code when this edition was built.
An edition in which one check fails is not published.

A check from outside ({", ".join(OUTSIDE)}) owes nothing to this project.
Every formula has at least one.
Most have both a published number and one found another way; where one is missing, it says why.
The others ({", ".join(KINDS[len(OUTSIDE) :])}) can show a mistake, but prove nothing alone.
The same rows as data: [evidence.json](evidence.json). Sources in full: [Bibliography](sources.md).
"""


def _formula(formula: Formula, results: list[Result], missing: list[Missing], tags: Tags) -> str:
    own = [r for r in results if r.check.formula == formula.id]
    block = tags.formula_block(formula, ROOT, link_to_checks=False)
    lacking = [m.words for m in missing if m.formula == formula.id]
    parts = [f"## {formula.title} {{ #{formula.anchor} }}", block, _table(own, tags.sources)]
    return "\n\n".join(parts + lacking)


def _calculators(results: list[Result], tags: Tags) -> str:
    """Checks of whole calculators, from the form to the answer; one table an answer."""
    answers: dict[tuple[str, str], list[Result]] = {}
    for result in results:
        if result.check.calculator:
            key = (result.check.calculator, result.check.output)
            answers.setdefault(key, []).append(result)
    tables = []
    for (calculator, output), own in answers.items():
        card = CALCULATORS[calculator]
        title = f"{card.title}: {card.outputs_by_name[output].label}"
        tables.append(f"### {title}\n\n{_table(own, tags.sources)}")
    if not tables:
        return ""
    return "\n\n".join(["## Whole calculators { #calculators }", *tables])


def _table(results: list[Result], sources: dict[str, Source]) -> str:
    if not results:
        return "No check yet."
    heads = ["Inputs", "Expected", "Obtained", "Deviation", "Allowed", "Kind", "Source"]
    cells = "".join(f'<th scope="col">{head}</th>' for head in heads)
    rows = "\n".join(_table_row(result, sources) for result in results)
    return f"<table>\n<thead><tr>{cells}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table>"


def _table_row(result: Result, sources: dict[str, Source]) -> str:
    check = result.check
    unit = _unit(check)
    cells = [
        escape(_given(check)),
        f"{check.expected:.10g} {unit}",
        f"{result.obtained:.10g} {unit}",
        _deviation(result),
        f"{_allowed(check)}: {escape(check.why_tolerance)}",
        check.kind,
        _origin(check, sources),
    ]
    inner = "".join(f"<td>{cell}</td>" for cell in cells)
    return f'<tr id="{check.id}" data-passed="{str(result.passed).lower()}">{inner}</tr>'


def _given(check: Check) -> str:
    """The inputs in words, a formula's with their units, a calculator's as they are typed."""
    wanted = {a.name: a.unit for a in FORMULAS[check.formula].arguments} if check.formula else {}
    texts = [
        f"{name.replace('_', ' ')} {_with_unit(value, wanted.get(name, ''))}"
        for name, value in check.inputs.items()
    ]
    return ", ".join(texts) or "the values the form starts with"


def _with_unit(value: Any, unit: str) -> str:
    return str(value) if isinstance(value, str) else units.format_exact(float(value), unit)


def _unit(check: Check) -> str:
    """Unit of the expected value; shares and counts have none."""
    if check.formula:
        unit = FORMULAS[check.formula].unit
    else:
        unit = CALCULATORS[check.calculator].outputs_by_name[check.output].si_unit
    return "" if unit == "1" else unit


def _deviation(result: Result) -> str:
    if result.deviation == 0:
        return "none"
    if result.relative is None:
        return f"{result.deviation:.2g} {_unit(result.check)}"
    return f"{_share(result.relative)} of it"


def _allowed(check: Check) -> str:
    parts = []
    if "abs" in check.tolerance:
        absolute = check.tolerance["abs"]
        parts.append(f"{absolute:g} {_unit(check)}" if absolute else "none")
    if "rel" in check.tolerance:
        parts.append(f"{_share(check.tolerance['rel'])} of it")
    return " or ".join(parts)


def _share(part: float) -> str:
    """A share in per cent, or as a power of ten where per cent would be all zeros."""
    if abs(part) >= 1e-4:
        return _minus(f"{100 * part:.2g}\u00a0%")
    digits, _, power = f"{part:.1e}".partition("e")
    return _minus(f"{digits}\u00a0×\u00a010<sup>{int(power)}</sup>")


def _minus(text: str) -> str:
    return text.replace("-", "−")


def _origin(check: Check, sources: dict[str, Source]) -> str:
    parts = []
    if check.source:
        label = escape(sources[check.source].label)
        parts.append(f'<a class="cite" href="../sources/#{escape(check.source)}">{label}</a>')
    parts += [escape(text) for text in (check.tool, check.where) if text]
    note = f". {escape(check.note)}" if check.note else ""
    return ", ".join(parts) + note


def _row(result: Result) -> dict[str, Any]:
    check = result.check
    return {
        "id": check.id,
        "formula": check.formula or None,
        "calculator": check.calculator or None,
        "output": check.output or None,
        "inputs": check.inputs,
        "expected": check.expected,
        "obtained": result.obtained,
        "deviation": result.deviation,
        "tolerance": check.tolerance,
        "why_tolerance": check.why_tolerance,
        "passed": result.passed,
        "kind": check.kind,
        "outside": check.from_outside,
        "source": check.source or None,
        "tool": check.tool or None,
        "where": check.where or None,
        "note": check.note or None,
    }
