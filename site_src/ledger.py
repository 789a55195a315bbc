"""The ledger: every public formula, its source, validity and checks, as a page and as data."""

from html import escape
from typing import Any

from calculators import EDITION
from calculators.formula import FORMULAS, Formula
from site_src.bibliography import Source
from site_src.evidence import KINDS, OUTSIDE, Check, Result
from site_src.tags import Tags

PAGE = "reference/ledger.md"
DATA = "reference/evidence.json"


def page(results: list[Result], tags: Tags) -> str:
    """The ledger as a page; an anchor a formula."""
    outside = sum(r.check.from_outside for r in results)
    formulas = "\n\n".join(_formula(f, results, tags) for f in FORMULAS.values())
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
The others ({", ".join(KINDS[len(OUTSIDE) :])}) can show a mistake, but prove nothing alone.
The same rows as data: [evidence.json](evidence.json). Sources in full: [Bibliography](sources.md).
"""


def _formula(formula: Formula, results: list[Result], tags: Tags) -> str:
    own = [r for r in results if r.check.formula == formula.id]
    return (
        f"## {formula.title} {{ #{formula.anchor} }}\n\n"
        f"[[formula {formula.id}]]\n\n{_table(own, tags.sources, with_subject=False)}"
    )


def _calculators(results: list[Result], tags: Tags) -> str:
    own = [r for r in results if r.check.calculator]
    if not own:
        return ""
    table = _table(own, tags.sources, with_subject=True)
    return f"## Whole calculators {{ #calculators }}\n\nFrom the form to the answer.\n\n{table}"


def _table(results: list[Result], sources: dict[str, Source], *, with_subject: bool) -> str:
    if not results:
        return "No check yet."
    heads = ["Inputs", "Expected", "Obtained", "Deviation", "Allowed", "Kind", "Source"]
    cells = "".join(f'<th scope="col">{head}</th>' for head in heads)
    rows = "\n".join(_table_row(result, sources, with_subject) for result in results)
    return f"<table>\n<thead><tr>{cells}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table>"


def _table_row(result: Result, sources: dict[str, Source], with_subject: bool) -> str:
    check = result.check
    given = ", ".join(f"{name.replace('_', ' ')} = {value}" for name, value in check.inputs.items())
    if with_subject:
        given = f"{check.calculator}, {check.output.replace('_', ' ')}: {given or 'defaults'}"
    cells = [
        escape(given),
        f"{check.expected:.10g}",
        f"{result.obtained:.10g}",
        _deviation(result),
        escape(f"{_allowed(check)}: {check.why_tolerance}"),
        check.kind,
        _origin(check, sources),
    ]
    inner = "".join(f"<td>{cell}</td>" for cell in cells)
    return f'<tr id="{check.id}" data-passed="{str(result.passed).lower()}">{inner}</tr>'


def _deviation(result: Result) -> str:
    if result.relative is None:
        return f"{result.deviation:.2g}"
    return f"{result.deviation:.2g} ({result.relative:.1e} of it)"


def _allowed(check: Check) -> str:
    parts = []
    if "abs" in check.tolerance:
        parts.append(f"{check.tolerance['abs']:g}")
    if "rel" in check.tolerance:
        parts.append(f"{check.tolerance['rel']:g} of the value")
    return " or ".join(parts)


def _origin(check: Check, sources: dict[str, Source]) -> str:
    parts = []
    if check.source:
        label = escape(sources[check.source].label)
        parts.append(f'<a class="cite" href="../sources/#{escape(check.source)}">{label}</a>')
    parts += [escape(text) for text in (check.tool, check.where, check.note) if text]
    return ", ".join(parts)


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
