"""Collects what Node must draw (formulas, calculators), has it drawn in one go, fills it in.

A page gets a placeholder while Markdown is turned into HTML; one call to Node draws all of them
for the whole site, because starting Node once a page would cost more than the drawing.
"""

import json
import re
from dataclasses import dataclass, field
from typing import Any

from site_src.node import run_node
from site_src.paths import SITE_SRC

SCRIPT = SITE_SRC / "browser" / "prerender.mjs"
_SLOT = re.compile(
    r'<(span|div) data-slot="(math|calculators|drawings|rigs|recordings)-(\d+)"></\1>'
)


@dataclass
class Prerender:
    """The jobs for Node, and after ``run`` what it drew."""

    jobs: dict[str, list[dict[str, Any]]] = field(
        default_factory=lambda: {
            "math": [],
            "calculators": [],
            "drawings": [],
            "rigs": [],
            "recordings": [],
        }
    )
    drawn: dict[str, Any] = field(default_factory=dict)
    _known: dict[str, str] = field(default_factory=dict)

    def math(self, tex: str, *, display: bool) -> str:
        """A placeholder for this formula."""
        return self._slot("math", {"tex": tex, "display": display}, "div" if display else "span")

    def calculator(self, decl: Any, answer: Any, options: dict[str, Any]) -> str:
        """A placeholder for this calculator with this answer."""
        job = {"decl": decl, "answer": answer, "options": options}
        return self._slot("calculators", job, "div")

    def drawing(self, spec: Any, name: str) -> str:
        """A placeholder for this picture to scale; ``name`` makes its ids unique."""
        return self._slot("drawings", {"spec": spec, "id": name}, "div")

    def rig(self, check: Any, options: dict[str, Any]) -> str:
        """A placeholder for the verdict page of this rig."""
        return self._slot("rigs", {"check": check, "options": options}, "div")

    def recording(self, report: Any, base: str) -> str:
        """A placeholder for the recording check, with what it says of the demo."""
        return self._slot("recordings", {"report": report, "base": base}, "div")

    def run(self) -> None:
        """Have everything drawn."""
        self.drawn = json.loads(run_node(SCRIPT, stdin=self.jobs))

    @property
    def css(self) -> str:
        """The rules that the drawn formulas need."""
        return str(self.drawn["css"])

    def fill(self, html: str) -> str:
        """The page with every placeholder replaced by what was drawn."""
        return _SLOT.sub(lambda slot: _unsearched(self.drawn[slot[2]][int(slot[3])]), html)

    def _slot(self, kind: str, job: dict[str, Any], element: str) -> str:
        key = f"{kind} {json.dumps(job, sort_keys=True)}"
        if key not in self._known:
            number = len(self.jobs[kind])
            self.jobs[kind].append(job)
            self._known[key] = f'<{element} data-slot="{kind}-{number}"></{element}>'
        return self._known[key]


def _unsearched(html: str) -> str:
    """Mark an element as nothing for the search: fields and formulas would drown the text."""
    return re.sub(r"^<([\w-]+)", r"<\1 data-search-exclude", html, count=1)
