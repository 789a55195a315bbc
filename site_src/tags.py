"""The tags a chapter may hold, and the HTML that takes their place.

``[[calculator ID]]``, ``[[calculator ID example=NAME]]``, ``[[calculators]]``,
``[[value EXAMPLE name]]``, ``[[value EXAMPLE name range]]``, ``[[tolerance EXAMPLE name]]``,
``[[link EXAMPLE words…]]``, ``[[formula ID]]``, ``[[table ID]]``, ``[[tables]]``,
``[[circuit NAME example=EXAMPLE]]``, ``[[spectrum NAME]]``, ``[[noise NAME]]``,
``[[rig NAME]]``,
``[[rig NAME live]]``, ``[[rig-value RIG what]]``, ``[[rig-value RIG what range]]``,
``[[rig-margin RIG calculator.output]]``, ``[[recording-check]]`` and ``[@key]``.
A tag in code is left as it stands.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from html import escape, unescape
from typing import Any, get_args

from calculators.declare import Choice, Log, Stage, Written
from calculators.formula import FORMULAS, Formula
from calculators.logs import read_log
from calculators.registry import CALCULATORS, TABLES
from calculators.units import parse
from site_src import demo_recording, rig_numbers, rigs, table_list
from site_src.bibliography import Source
from site_src.circuits import CIRCUITS
from site_src.circuits.parts import circuit_svg
from site_src.examples import Example, Worked, declarations, work
from site_src.material_tables import table_html
from site_src.noises import NOISES, noise_svg
from site_src.prerender import Prerender
from site_src.spectra import SPECTRA, spectrum_svg

LEDGER = "reference/ledger/"
SOURCES = "reference/sources/"

# Code comes first in the alternatives, so that what looks like a tag inside it is passed over.
_TAG = re.compile(
    r"(?P<code>^(?P<fence>```+|~~~+)[^\n]*\n.*?^(?P=fence)[^\n]*$|(?P<tick>`+)(?!`).+?(?<!`)(?P=tick)(?!`))"
    r"|\[\[(?P<tag>[a-z-]+)(?P<rest>[^\]\n]*)\]\]"
    r"|\[@(?P<key>[^\]\n]+)\]",
    re.MULTILINE | re.DOTALL,
)
_MATHS = re.compile(
    r'<(?P<element>span|div) class="arithmatex">\\[(\[](?P<tex>.*?)\\[)\]]</(?P=element)>',
    re.DOTALL,
)


class BadTag(ValueError):
    """A tag that asks for something that does not exist."""


@dataclass
class Tags:
    """Everything that tags can ask for, and the list of what went wrong."""

    examples: Mapping[str, Example]
    sources: dict[str, Source]
    prerender: Prerender
    problems: list[str] = field(default_factory=list)

    def replace(self, markdown: str, page: str, root: str) -> str:
        """The page's Markdown with its tags replaced; ``root`` leads from it to the site's root."""

        def put(found: re.Match[str]) -> str:
            if found["code"]:
                return found[0]
            try:
                return self._replacement(found, root)
            except ValueError as error:
                self.problems.append(f"{page}: {found[0]}: {error}")
                return found[0]

        return _TAG.sub(put, markdown)

    def collect_maths(self, html: str) -> str:
        """The page's HTML with a placeholder for every formula in it."""
        return _MATHS.sub(self._math, html)

    def _math(self, found: re.Match[str]) -> str:
        """A formula within a chapter; a display may be wider than a phone, so it can scroll."""
        display = found["element"] == "div"
        drawn = self.prerender.math(unescape(found["tex"]).strip(), display=display)
        box = '<div class="math-box" tabindex="0" role="group" aria-label="Formula">'
        return f"{box}{drawn}</div>" if display else drawn

    def _replacement(self, found: re.Match[str], root: str) -> str:
        if found["key"]:
            return self._citation(found["key"], root)
        makers: dict[str, Callable[[list[str], str], str]] = {
            "calculator": self._calculator,
            "calculators": self._calculators,
            "value": self._value,
            "tolerance": self._tolerance,
            "link": self._link,
            "formula": self._formula,
            "table": self._table,
            "tables": self._tables,
            "circuit": self._circuit,
            "drawing": self._drawing,
            "spectrum": self._spectrum,
            "noise": self._noise,
            "rig-value": self._rig_value,
            "rig-margin": self._rig_margin,
            "rig": self._rig,
            "recording-check": self._recording_check,
        }
        if found["tag"] not in makers:
            raise BadTag(f"“{found['tag']}” is not a tag; there are: {', '.join(makers)}")
        return makers[found["tag"]](found["rest"].split(), root)

    def _calculator(self, words: list[str], root: str) -> str:
        name, _, example = " ".join(words).partition(" example=")
        if name not in declarations():
            raise BadTag(f"“{name}” is not a calculator; there are: {', '.join(declarations())}")
        shown = self._example(example) if example else None
        if shown and shown.worked.decl["id"] != name:
            raise BadTag(f"example “{example}” belongs to {shown.worked.decl['id']}")
        worked = shown.worked if shown else work(name, {})
        options: dict[str, Any] = {"example": None, "base": root}
        if shown:
            page = shown.page.removesuffix("index.md").removesuffix(".md")
            link = f"{root}{page}/" if page else root
            options["example"] = {"name": shown.name, "title": shown.title, "link": link}
        return self.prerender.calculator(worked.decl, worked.answer, options)

    def _calculators(self, words: list[str], root: str) -> str:
        _count(words, 0, 0)
        stages: dict[str, str] = {}
        for decl in declarations().values():
            stages[decl["stage"]] = stages.get(decl["stage"], "") + (
                f'<dt><a href="{root}{decl["page"]}">{escape(decl["title"])}</a></dt>'
                f"<dd>{escape(decl['question'])}</dd>"
            )
        return "\n\n".join(
            f'## {stage.title()}\n\n<dl class="calculators">{stages[stage]}</dl>'
            for stage in get_args(Stage)
            if stage in stages
        )

    def _value(self, words: list[str], root: str) -> str:
        _count(words, 2, 3)
        worked = self._example(words[0]).worked
        if len(words) == 3:
            return _computed(_range(worked, words[1], words[2]))
        return _computed(_text_of(worked, words[1]))

    def _tolerance(self, words: list[str], root: str) -> str:
        _count(words, 2, 2)
        worked = self._example(words[0]).worked
        tolerance = worked.tolerances.get(words[1], "")
        if not tolerance:
            raise BadTag(f"input “{words[1]}” has no tolerance in this example")
        return _computed(tolerance)

    def _link(self, words: list[str], root: str) -> str:
        _count(words, 2, 99)
        link = self._example(words[0]).worked.link
        return f'<a class="share" href="{root}{escape(link)}">{escape(" ".join(words[1:]))}</a>'

    def _formula(self, words: list[str], root: str) -> str:
        _count(words, 1, 1)
        if words[0] not in FORMULAS:
            raise BadTag(f"“{words[0]}” is not a formula; there are: {', '.join(FORMULAS)}")
        return self.formula_block(FORMULAS[words[0]], root)

    def _table(self, words: list[str], root: str) -> str:
        _count(words, 1, 1)
        if words[0] not in TABLES:
            raise BadTag(f"“{words[0]}” is not a table; there are: {', '.join(TABLES)}")
        return table_html(TABLES[words[0]], lambda key: self._citation(key, root))

    def _tables(self, words: list[str], root: str) -> str:
        _count(words, 0, 0)
        return table_list.PLACE

    def _circuit(self, words: list[str], root: str) -> str:
        name, _, example = " ".join(words).partition(" example=")
        if name not in CIRCUITS:
            raise BadTag(f"“{name}” is not a circuit; there are: {', '.join(CIRCUITS)}")
        circuit = CIRCUITS[name]
        if not example:
            return _figure(circuit_svg(circuit, lambda part: ""), circuit.title)
        worked = self._example(example).worked
        drawing = circuit_svg(circuit, lambda part: _text_of(worked, part))
        values = self._link([example, "the values of this example"], root)
        return _figure(drawing, f"{circuit.title}, with {values}")

    def _drawing(self, words: list[str], root: str) -> str:
        name, _, example = " ".join(words).partition(" example=")
        worked = self._example(example).worked
        drawing = worked.answer["drawing"]
        if worked.decl["id"] != name or drawing is None:
            raise BadTag(f"example “{example}” has no drawing of “{name}”")
        values = self._link([example, "the values of this example"], root)
        picture = self.prerender.drawing(drawing, f"drawing-{example}")
        caption = f"{drawing['title']}, with {values}. {drawing['description']}"
        return f'<figure class="scale">{picture}<figcaption>{caption}</figcaption></figure>'

    def _noise(self, words: list[str], root: str) -> str:
        """A figure: the spectrum of a made-up noise over that of quiet water."""
        if len(words) != 1 or words[0] not in NOISES:
            raise BadTag(f"“{' '.join(words)}” is not a noise; there are: {', '.join(NOISES)}")
        return _figure(noise_svg(words[0]), NOISES[words[0]].title)

    def _spectrum(self, words: list[str], root: str) -> str:
        _count(words, 1, 1)
        if words[0] not in SPECTRA:
            raise BadTag(f"“{words[0]}” is not a spectrum; there are: {', '.join(SPECTRA)}")
        spectrum = SPECTRA[words[0]]
        return _figure(spectrum_svg(spectrum, self.examples), spectrum.title)

    def _rig_value(self, words: list[str], root: str) -> str:
        """What an example rig states of an entry, or an answer of it, or the answer's range."""
        _count(words, 2, 3)
        if words[2:] not in ([], ["range"]):
            raise BadTag(f"“{words[2]}” is not “range”")
        shown = rig_numbers.value_range if words[2:] else rig_numbers.value
        return _computed(shown(words[0], words[1]))

    def _rig_margin(self, words: list[str], root: str) -> str:
        """How far an answer of an example rig is from its limit."""
        _count(words, 2, 2)
        return _computed(rig_numbers.margin(words[0], words[1]))

    def _rig(self, words: list[str], root: str) -> str:
        """The verdict page of an example rig; ``live`` where readers have their own rigs."""
        _count(words, 1, 2)
        known = rigs.load()
        if words[0] not in known:
            raise BadTag(f"“{words[0]}” is not a rig; there are: {', '.join(known)}")
        if words[1:] not in ([], ["live"]):
            raise BadTag(f"“{words[1]}” is not “live”")
        rig = known[words[0]]
        options = {
            "base": root,
            "name": rig.name,
            "toml": rig.toml,
            "live": len(words) == 2,
            "examples": [each.listed for each in known.values()],
        }
        return self.prerender.rig(rig.check, options)

    def _recording_check(self, words: list[str], root: str) -> str:
        """Where recordings are checked, with what the check says of the demo."""
        _count(words, 0, 0)
        return self.prerender.recording(demo_recording.report(), root)

    def formula_block(self, formula: Formula, root: str, *, link_to_checks: bool = True) -> str:
        """A formula with its symbols, where it holds and where it comes from."""
        symbols = [_symbol(self.prerender, formula.symbol, formula.title, formula.unit)]
        symbols += [_symbol(self.prerender, a.symbol, a.meaning, a.unit) for a in formula.arguments]
        after = [self._citation(key, root) for key in formula.sources]
        if link_to_checks:
            ledger = f"{root}{LEDGER}#{formula.anchor}"
            after.append(f'<a href="{ledger}">How this formula is checked</a>')
        return (
            f'<figure class="formula" data-formula="{formula.id}">'
            f'<div class="math-box" tabindex="0" role="group" aria-label="{escape(formula.title)}">'
            f"{self.prerender.math(formula.tex, display=True)}</div>"
            f'<figcaption><dl class="symbols">{"".join(symbols)}</dl>'
            f'<p class="validity">{escape(formula.validity)} {" ".join(after)}</p>'
            f"</figcaption></figure>"
        )

    def _citation(self, key: str, root: str) -> str:
        if key not in self.sources:
            raise BadTag(f"“{key}” is not in the bibliography")
        label = escape(self.sources[key].label)
        return f'<a class="cite" href="{root}{SOURCES}#{escape(key)}">[{label}]</a>'

    def _example(self, name: str) -> Example:
        if name not in self.examples:
            raise BadTag(f"“{name}” is not an example; there are: {', '.join(self.examples)}")
        return self.examples[name]


def _count(words: list[str], least: int, most: int) -> None:
    if not least <= len(words) <= most:
        raise BadTag(f"takes {least} to {most} words, given {len(words)}")


def _computed(text: str) -> str:
    """A quantity that the build computed, marked as such."""
    return f'<span class="computed">{escape(text)}</span>'


def _text_of(worked: Worked, name: str) -> str:
    """An output, an input or a material of an example, as a page shows it."""
    output = worked.output(name)
    return str(output["text"]) if output else _input_text(worked, name)


def _figure(drawing: str, caption: str) -> str:
    return f'<figure class="circuit">{drawing}<figcaption>{caption}.</figcaption></figure>'


def _range(worked: Worked, name: str, word: str) -> str:
    output = worked.output(name)
    if word != "range":
        raise BadTag(f"“{word}” is not “range”")
    if output is None:
        raise BadTag(f"{_unknown(worked, name)}; a range belongs to an output")
    if not output["range_text"]:
        raise BadTag(f"“{name}” has no range: no input of this example has a tolerance")
    return str(output["range_text"])


def _input_text(worked: Worked, name: str) -> str:
    card = CALCULATORS[worked.decl["id"]]
    if name in card.fills_by_name:
        return _row_label(worked, name)
    item = card.shape(worked.fields).inputs.get(name)
    if item is None:
        raise BadTag(_unknown(worked, name))
    text = worked.fields[name]
    if isinstance(item, Log):
        return f"{read_log(text, item.columns).rows} rows"
    if isinstance(item, Choice):
        return next(o.label for o in item.options if o.value == text)
    if isinstance(item, Written):
        return item.shown_text(item.read(text, name), "metric")
    return item.shown_text(parse(text, item.unit, name=name), "metric")


def _row_label(worked: Worked, name: str) -> str:
    """The material or part that the example's values stand for."""
    fill = CALCULATORS[worked.decl["id"]].fills_by_name[name]
    row = worked.answer["fills"][name]
    if not row:
        raise BadTag(f"the example's values are no row of the table “{fill.table.id}”")
    return fill.row(row).label


def _unknown(worked: Worked, name: str) -> str:
    names = [o["name"] for o in worked.answer["outputs"]] + list(worked.fields)
    return f"{worked.decl['id']} has no “{name}”; it has: {', '.join(names)}"


def _symbol(prerender: Prerender, symbol: str, meaning: str, unit: str) -> str:
    drawn = prerender.math(symbol, display=False)
    shown = f", {escape(unit)}" if unit not in ("", "1") else ""
    return f"<div><dt>{drawn}</dt><dd>{escape(meaning)}{shown}</dd></div>"
