"""The report as one page of HTML: no script, nothing from elsewhere, for a phone and for paper."""

from collections.abc import Iterable
from html import escape

from calculators import EDITION
from calculators.recording.axes import clock_text, length_text, position_text
from calculators.recording.calibration import level_text
from calculators.recording.charts import charts_of, draw
from calculators.recording.findings import Item, Span
from calculators.recording.layout import Encoding
from calculators.recording.method import how_measured, not_said
from calculators.recording.panels import channel_name
from calculators.recording.quantity import quantity, rate_text
from calculators.recording.report_style import STYLE
from calculators.recording.shown import Shown
from calculators.recording.summary import FileMeasures
from calculators.recording.tables import channel_heads, level_rows
from calculators.recording.usable import DAY_HEADS, by_day, summed_up, usable
from calculators.recording.verdict import SURE_WORDS, WEIGHT_WORDS, level_of, looked_at, verdict

NARROW, WIDE = 358.0, 1000.0
"""CSS pixels that the pictures are made for: a phone, and a desk or paper."""

ENCODINGS: dict[Encoding, str] = {
    "uint8": "8-bit",
    "int16": "16-bit",
    "int24": "24-bit",
    "int32": "32-bit",
    "float32": "32-bit floating point",
}

MOST_PLACES = 5
"""Places that a finding shows; the table of findings has them all."""

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
"""What a browser may load for this page: nothing but what is in it."""


def report_html(shown: Shown, handbook: str = "") -> str:
    """The whole page, ready to be kept as a file; well-formed as XML too.

    Args:
        shown: What was measured and found.
        handbook: Address of the handbook, to link findings into it; without one its chapters are
            named only.
    """
    title = f"Recording check: {shown.title}"
    sections = [
        _verdict(shown),
        _findings(shown, handbook),
        _usable(shown),
        _pictures(shown),
        _levels(shown),
        _bands(shown),
        _list_section("How it was measured", how_measured(shown)),
        _list_section("What is not said", not_said(shown)),
        _files(shown),
    ]
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8"/>\n'
        f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}"/>\n'
        '<meta name="viewport" content="width=device-width"/>\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f"<h1>{escape(title)}</h1>\n{''.join(sections)}"
        f'<p class="foot">Made by the recording check of the handbook’s edition {EDITION}.</p>\n'
        "</body>\n</html>\n"
    )


def _verdict(shown: Shown) -> str:
    summary, timeline = shown.summary, shown.timeline
    when = (
        f"{clock_text(timeline.start)} to {clock_text(timeline.end)} by the recorder’s own clock"
        if timeline.clocked
        else "The files do not say when they were made"
    )
    layout = summary.files[0].layout
    kind = f"{rate_text(summary.rate)}, {ENCODINGS[layout.encoding]}"
    facts = f"{looked_at(shown)}, {kind}. {when}."
    return (
        f'<div class="verdict {level_of(shown.findings)}">\n'
        f"<p><strong>{escape(verdict(shown))}</strong></p>\n<p>{escape(facts)}</p>\n"
        f"<p>{escape(shown.calibration.words)}</p>\n</div>\n"
    )


def _findings(shown: Shown, handbook: str) -> str:
    if not shown.findings:
        return "<h2>Findings</h2>\n<p>None.</p>\n"
    numbered = enumerate(shown.items, 1)
    items = "".join(_finding(shown, number, item, handbook) for number, item in numbered)
    return f'<h2>Findings</h2>\n<ol class="findings">\n{items}</ol>\n'


def _finding(shown: Shown, number: int, item: Item, handbook: str) -> str:
    finding, where = item.first, item.where
    places = [place_words(shown, span) for span in where[:MOST_PLACES]]
    if len(where) > MOST_PLACES:
        places.append(f"and {len(where) - MOST_PLACES} more places")
    says = "".join(f"<p>{escape(words)}</p>\n" for words in item.says)
    kind = f"{WEIGHT_WORDS[finding.weight]}; {SURE_WORDS[finding.sure]}"
    lists = (("Where", places), ("It may come from", finding.causes), ("To do", finding.todo))
    return (
        f'<li class="{finding.weight}">\n<h3>{number}. {escape(finding.title)} '
        f'<span class="kind">{escape(kind)}</span></h3>\n{says}'
        f'<div class="about">\n{"".join(_column(*one) for one in lists)}</div>\n'
        f"<p>In the handbook: {_chapter(finding.page, handbook)}</p>\n</li>\n"
    )


def _column(words: str, said: Iterable[str]) -> str:
    told = "".join(f"<li>{escape(one)}</li>\n" for one in said)
    return f"<div>\n<h4>{words}</h4>\n<ul>\n{told}</ul>\n</div>\n" if told else "<div></div>\n"


def _chapter(page: str, handbook: str) -> str:
    """A chapter by its address in the handbook; a link where that of the handbook is known."""
    path, _, part = page.partition("#")
    words = f"{path.removesuffix('.md')}/{f'#{part}' if part else ''}"
    if not handbook:
        return escape(words)
    return f'<a href="{escape(handbook.rstrip("/"))}/{escape(words)}">{escape(words)}</a>'


def place_words(shown: Shown, span: Span) -> str:
    """Where a finding holds, in words."""
    parts = []
    if span.file is not None:
        parts.append(shown.summary.files[span.file].name)
    if span.channel is not None:
        name = channel_name(span.channel, shown.summary.channels)
        parts.append(name if not parts else name[:1].lower() + name[1:])
    stretch = shown.stretch(span)
    if span.seconds > 0 or span.start > 0:
        parts.append(f"from {position_text(span.start)}")
        parts.append(f"for {length_text(span.seconds)}" if span.seconds > 0 else "")
        if stretch and shown.timeline.clocked:
            parts.append(f"by the clock {clock_text(stretch[0])}")
    return ", ".join(part for part in parts if part) or "the whole recording"


def _usable(shown: Shown) -> str:
    found = usable(shown)
    said = "".join(f"<p>{escape(words)}</p>\n" for words in summed_up(shown, found))
    table = _stacking_table("Which hours to use", list(DAY_HEADS), by_day(shown, found))
    return table + said


def _pictures(shown: Shown) -> str:
    """Every picture in two layouts, of which a screen shows the one that fits."""
    return "<h2>Pictures</h2>\n" + "".join(
        f'<figure class="wide">{draw(name, shown, WIDE)}</figure>\n'
        f'<figure class="narrow">{draw(name, shown, NARROW)}</figure>\n'
        for name in charts_of(shown)
    )


def _levels(shown: Shown) -> str:
    return _stacking_table("Levels", ["", *channel_heads(shown)], level_rows(shown))


def _bands(shown: Shown) -> str:
    """Mean levels of the bands; the table of bands has the percentiles too."""
    bands, calibration = shown.summary.bands, shown.calibration
    levels = calibration.level(shown.summary.band_mean_square)
    rows = [
        (quantity(centre, "Hz", 4), [level_text(a) if a > -1e9 else "" for a in of_band])
        for centre, of_band in zip(bands.centres, levels.T.tolist(), strict=True)
    ]
    title = f"Decidecade bands, mean, {calibration.level_unit}"
    return _table(title, ["centre", *channel_heads(shown)], rows)


def _files(shown: Shown) -> str:
    rows = [
        (file.name, [start, length_text(file.layout.seconds), _faults(file)])
        for file, start in zip(shown.summary.files, _starts(shown), strict=True)
    ]
    return _stacking_table("Files", ["name", "start", "length", "faults"], rows)


def _starts(shown: Shown) -> list[str]:
    if not shown.timeline.clocked:
        return ["not known"] * len(shown.summary.files)
    return [clock_text(start) for start, _ in shown.timeline.files]


def _faults(file: FileMeasures) -> str:
    return " ".join(fault.text for fault in file.layout.faults) or "none"


def _table(title: str, heads: list[str], rows: Iterable[tuple[str, list[str]]]) -> str:
    """A table of numbers that are compared along a column."""
    head = "".join(f'<th scope="col">{escape(words)}</th>' for words in heads)
    body = "".join(
        f'<tr><th scope="row">{escape(words)}</th>'
        f"{''.join(f'<td>{escape(cell)}</td>' for cell in cells)}</tr>\n"
        for words, cells in rows
    )
    return (
        f'<h2>{escape(title)}</h2>\n<div class="scroll" tabindex="0"><table>\n'
        f"<thead><tr>{head}</tr></thead>\n<tbody>\n{body}</tbody>\n</table></div>\n"
    )


def _stacking_table(title: str, heads: list[str], rows: Iterable[tuple[str, list[str]]]) -> str:
    """A table that a phone shows row below row, each cell after the name of its column.

    Roles are written out: a cell that is no longer laid out as one may lose its own.
    """
    head = "".join(f'<th scope="col" role="columnheader">{escape(words)}</th>' for words in heads)
    body = "".join(
        f'<tr role="row"><th scope="row" role="rowheader">{escape(words)}</th>'
        f"{''.join(map(_named_cell, heads[1:], cells))}</tr>\n"
        for words, cells in rows
    )
    return (
        f'<h2>{escape(title)}</h2>\n<div class="scroll" tabindex="0">'
        f'<table class="stacks" role="table">\n<thead role="rowgroup"><tr role="row">{head}</tr>'
        f'</thead>\n<tbody role="rowgroup">\n{body}</tbody>\n</table></div>\n'
    )


def _named_cell(column: str, words: str) -> str:
    return f'<td role="cell" data-column="{escape(column)}">{escape(words)}</td>'


def _list_section(title: str, said: Iterable[str]) -> str:
    items = "".join(f"<li>{escape(one)}</li>\n" for one in said)
    return f"<h2>{escape(title)}</h2>\n<ul>\n{items}</ul>\n"
