"""A sheet as one page of HTML by itself: no script, nothing from elsewhere, made to be printed."""

from collections.abc import Callable, Iterable
from html import escape
from typing import Any

from calculators.rig.hazards import Hazard
from calculators.rig.sheet import Code, Part, Parts, Sheet, Step, Ticks, Value, Values, Writing
from calculators.square_code import square_code

QUIET = 4
"""Modules of the quiet edge around a code."""

STYLE = """
@page { size: A4; margin: 8mm 10mm; }
body { margin: 0 auto; max-width: 190mm; color: #000; background: #fff;
  font: 10pt/1.35 system-ui, sans-serif; }
h1 { margin: 0; font-size: 15pt; }
h2 { margin: 5mm 0 1mm; font-size: 11.5pt; break-after: avoid; }
h3 { margin: 2mm 0 0; font-size: 10pt; break-after: avoid; }
p { margin: 1mm 0; }
ul, ol { margin: 1mm 0; padding-left: 5mm; }
table { width: 100%; border-collapse: collapse; }
th, td { padding: 0.3mm 3mm 0.3mm 0; border-bottom: 0.2mm solid #bbb; text-align: left;
  vertical-align: top; font-weight: 400; }
th { width: 55%; }
td { font-variant-numeric: tabular-nums; }
.caution { margin: 1.5mm 0; padding: 1mm 2mm; border: 0.3mm solid #000; border-left-width: 2mm;
  break-inside: avoid; }
.step :is(.caution, ol, ul) { break-after: avoid; }
.proved { break-before: avoid; }
.part, .step ol, .step ul, table, tr, .field { break-inside: avoid; }
.parts { font-size: 9pt; columns: 2; column-gap: 7mm; }
.parts h1, .parts > .lead { column-span: all; }
.parts th { width: 48%; }
.unknown { font-style: italic; }
.lead { font-size: 9pt; }
.box { display: inline-block; width: 3mm; height: 3mm; margin-right: 2mm;
  border: 0.3mm solid #000; }
.ticks { padding: 0; list-style: none; }
.ticks li { padding-left: 5mm; text-indent: -5mm; break-inside: avoid; }
.line { border-bottom: 0.2mm solid #000; }
.one-page { font-size: 8.1pt; line-height: 1.25; }
.one-page h1 { font-size: 13pt; }
.one-page h2 { margin: 1.6mm 0 0.4mm; font-size: 9pt; }
.one-page .lead { font-size: 7pt; }
.one-page .caution { margin: 0.6mm 0; padding: 0.4mm 1.5mm; font-size: 7pt; }
.one-page .caution p, .one-page .ticks { margin: 0; }
.one-page .columns, .one-page .ticks { columns: 2; column-gap: 6mm; }
.one-page .values { break-inside: avoid; }
.one-page .values h2 { margin-top: 0.6mm; }
.one-page td, .one-page th { padding: 0 2mm 0 0; }
.one-page th { width: 49%; }
.one-page .fields { display: grid; grid-template-columns: repeat(3, 1fr); gap: 0 5mm; }
.one-page .field { height: 7mm; border-bottom: 0.2mm solid #000; font-size: 7pt; }
.one-page td.blank { border-bottom-color: #000; }
.code { margin-top: 3mm; break-inside: avoid; }
.square-code { display: block; width: 35mm; shape-rendering: crispEdges; }
.square-code.large { width: 90mm; }
.one-page .code { break-before: page; }
.one-page .code .lead { font-size: 9pt; }
.one-page .box { width: 2.4mm; height: 2.4mm; }
"""


def sheet_html(sheet: Sheet) -> str:
    """The whole page, ready to be kept as a file; well-formed as XML too."""
    kind = f' class="{sheet.name}{" one-page" if sheet.pages == 1 else ""}"'
    title = f"{sheet.title}: {sheet.rig}"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8"/>\n'
        '<meta name="viewport" content="width=device-width"/>\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body{kind}>\n"
        f'<h1>{escape(title)}</h1>\n<p class="lead">{escape(sheet.lead)}</p>\n'
        f"{_blocks(sheet)}</body>\n</html>\n"
    )


def _blocks(sheet: Sheet) -> str:
    """Every block in order; values that follow each other share the columns of one page."""
    pieces, together = [], ""
    for number, block in enumerate(sheet.blocks, 1):
        if isinstance(block, Values):
            together += _values(block)
            continue
        if together:
            pieces.append(f'<div class="columns">\n{together}</div>\n')
            together = ""
        pieces.append(_step(block, number) if isinstance(block, Step) else _block(block))
    return "".join(pieces) + (f'<div class="columns">\n{together}</div>\n' if together else "")


def _block(block: Any) -> str:
    draw: dict[type, Callable[[Any], str]] = {
        Parts: _parts,
        Ticks: _ticks,
        Writing: _writing,
        Code: _code,
    }
    return draw[type(block)](block)


def _parts(block: Parts) -> str:
    return f"<h2>{escape(block.title)}</h2>\n" + "".join(_part(part) for part in block.parts)


def _part(part: Part) -> str:
    amount = f": {escape(_amount(part.quantity))}" if part.quantity else ""
    return (
        f'<div class="part">\n<h3><span class="box"></span>{escape(part.name)}{amount}</h3>\n'
        f"{_table(part.values)}{_unknown(part.unknown)}</div>\n"
    )


def _amount(quantity: Value) -> str:
    return f"{quantity.text} {quantity.label}"


def _step(block: Step, number: int) -> str:
    return (
        f'<div class="step">\n<h2>{number}. {escape(block.title)}</h2>\n'
        f"{_cautions(block.cautions)}{_list('ol', block.todo)}{_table(block.values)}"
        f"{_unknown(block.unknown)}<h3>Proved by</h3>\n{_list('ul', block.tests)}"
        f"{_table(block.proof)}"
        '<p class="proved"><span class="box"></span>Proved. Measured: <span class="line">'
        f'{"&#160;" * 40}</span> Date, who: <span class="line">{"&#160;" * 30}</span></p>\n'
        f"</div>\n"
    )


def _values(block: Values) -> str:
    blanks = "".join(
        f'<tr><th scope="row">{escape(label)}</th><td class="blank">not stated</td></tr>\n'
        for label in block.blanks
    )
    rows = _rows(block.values) + blanks
    table = f"<table>\n{rows}</table>\n" if rows else ""
    return f'<div class="values">\n<h2>{escape(block.title)}</h2>\n{table}</div>\n'


def _ticks(block: Ticks) -> str:
    items = "".join(f'<li><span class="box"></span>{escape(item)}</li>\n' for item in block.items)
    return (
        f"<h2>{escape(block.title)}</h2>\n{_cautions(block.cautions)}"
        f'<ul class="ticks">\n{items}</ul>\n'
    )


def _writing(block: Writing) -> str:
    fields = "".join(f'<div class="field">{escape(label)}</div>\n' for label in block.fields)
    return f'<h2>{escape(block.title)}</h2>\n<div class="fields">\n{fields}</div>\n'


def _code(block: Code) -> str:
    """The code, or in words why there is none."""
    if not block.qr:
        return f'<p class="lead">{escape(block.words)}</p>\n'
    try:
        made = square_code(block.address)
    except ImportError:
        words = "No code: the library that draws it, segno, is not installed here."
        return f'<p class="lead">{words}</p>\n'
    across = made["size"] + 2 * QUIET
    return (
        '<div class="code">\n'
        f'<svg class="square-code {block.size}" role="img" aria-label="Code that opens this rig" '
        f'viewBox="-{QUIET} -{QUIET} {across} {across}">'
        f'<path d="{made["path"]}"/></svg>\n<p class="lead">{escape(block.words)}</p>\n</div>\n'
    )


def _cautions(cautions: Iterable[Hazard]) -> str:
    return "".join(
        f'<div class="caution"><p><strong>{escape(c.title)}</strong> {escape(c.text)}</p></div>\n'
        for c in cautions
    )


def _list(tag: str, items: Iterable[str]) -> str:
    return f"<{tag}>\n" + "".join(f"<li>{escape(item)}</li>\n" for item in items) + f"</{tag}>\n"


def _table(values: tuple[Value, ...]) -> str:
    return f"<table>\n{_rows(values)}</table>\n" if values else ""


def _rows(values: Iterable[Value]) -> str:
    return "".join(
        f'<tr><th scope="row">{escape(v.label)}</th><td>{escape(v.text)}</td></tr>\n'
        for v in values
    )


def _unknown(sentences: Iterable[str]) -> str:
    return "".join(f'<p class="unknown">{escape(said)}</p>\n' for said in sentences)
