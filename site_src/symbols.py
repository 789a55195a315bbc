"""The page of symbols: what every letter of the formulas stands for, and in which unit."""

from collections import defaultdict
from dataclasses import dataclass, field
from html import escape

from calculators.formula import FORMULAS, Formula
from site_src.tags import LEDGER, Tags

PAGE = "reference/symbols.md"
ROOT = "../../"

_HEAD = """---
title: Symbols
description: Every letter in the formulas of the handbook, with its meaning and its unit.
---

# Symbols

A letter means what stands beside its formula; the same letter may mean something else elsewhere.
This list is made from the formulas themselves when an edition is built.
A meaning with a link is what a formula gives: the link leads to the formula and its checks.
Units are those in which the core calculates; a form may show others.
Letters follow the books of each trade.
"""


@dataclass
class _Meaning:
    """One meaning of a symbol: the unit, and the formulas that give it."""

    unit: str
    given_by: list[Formula] = field(default_factory=list)


def page(tags: Tags) -> str:
    """The page: Latin letters first, then Greek, each symbol with all its meanings."""
    symbols = _collect()
    latin = [s for s in symbols if s[0].isascii()]
    greek = [s for s in symbols if not s[0].isascii()]
    parts = [_HEAD]
    for title, members in (("Latin letters", latin), ("Greek letters", greek)):
        rows = "\n".join(_row(s, symbols[s], tags) for s in sorted(members, key=_order))
        parts.append(f"## {title}\n\n{_HEADS}{rows}\n</tbody></table>")
    return "\n\n".join(parts) + "\n"


_HEADS = (
    '<table>\n<thead><tr><th scope="col">Symbol</th><th scope="col">Meaning</th>'
    '<th scope="col">Unit</th></tr></thead>\n<tbody>\n'
)


def _collect() -> dict[str, dict[tuple[str, str], _Meaning]]:
    """Meanings by symbol, then by the meaning in small letters and its unit."""
    found: dict[str, dict[tuple[str, str], _Meaning]] = defaultdict(dict)
    for formula in FORMULAS.values():
        key = (formula.title.lower(), formula.unit)
        meanings = found[formula.symbol]
        meanings.setdefault(key, _Meaning(formula.unit)).given_by.append(formula)
        for argument in formula.arguments:
            if argument.symbol != argument.meaning:  # a choice has no letter
                key = (argument.meaning, argument.unit)
                found[argument.symbol].setdefault(key, _Meaning(argument.unit))
    return dict(found)


def _order(symbol: str) -> tuple[str, str]:
    """Letters in the order of the alphabet, a capital after its small letter."""
    return symbol.lower(), symbol.swapcase()


def _row(symbol: str, meanings: dict[tuple[str, str], _Meaning], tags: Tags) -> str:
    words, units = [], []
    for (words_of, _), meaning in sorted(meanings.items()):
        words.append(_linked(meaning.given_by) or escape(words_of))
        units.append("" if meaning.unit in ("", "1") else escape(meaning.unit))
    lines = [f"<td>{w}</td><td>{u}</td>" for w, u in zip(words, units, strict=True)]
    drawn = tags.prerender.math(symbol, display=False)
    head = f'<th scope="rowgroup" rowspan="{len(lines)}">{drawn}</th>'
    return "\n".join(
        f"<tr>{head if number == 0 else ''}{line}</tr>" for number, line in enumerate(lines)
    )


def _linked(formulas: list[Formula]) -> str:
    """What these formulas give, each a link to its place in the ledger."""
    return ", ".join(
        f'<a href="{ROOT}{LEDGER}#{formula.anchor}">{escape(formula.title)}</a>'
        for formula in formulas
    )
