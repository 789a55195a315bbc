"""What the pictures are drawn with: shapes as SVG text, in the colours of the page around them.

Colours are custom properties of the style sheets with a light scheme's value to fall back on, as
attributes: a page's policy forbids styles inside a picture. Sizes are CSS pixels of the width that
the picture was made for, so its words are never scaled down.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape
from typing import Literal

from calculators.recording.heat_map import as_address

INK = "var(--ink, #12272e)"
QUIET = "var(--ink-2, #4a5f66)"
RULE = "var(--rule, #cfd9d6)"
FAINT = "var(--rule-2, #e6ece9)"
SHEET = "var(--sheet, #ffffff)"
DEEP = "var(--deep, #0c4f5c)"
SPREAD = "var(--brass-2, #ecd9b4)"
FAIL = "var(--fail, #a3261d)"
CARE = "var(--care, #8a5d10)"

SMALL, PLAIN, LARGE = 12, 13, 16
"""Sizes of type."""

CHARACTER = 0.6
"""Width of a letter, in parts of the size of type: wider than the mean of any face used here."""

TEXT_FONT = "var(--text, system-ui, sans-serif)"

DARK = {
    "--ink": "#e8efec",
    "--ink-2": "#a3b6b8",
    "--rule": "#2c424a",
    "--rule-2": "#20343b",
    "--sheet": "#13242a",
    "--deep": "#7fd0d6",
    "--brass-2": "#4b3a17",
    "--fail": "#ff9a8f",
    "--care": "#e2b968",
}
"""The dark scheme, for a picture or a page that stands alone."""

Anchor = Literal["start", "middle", "end"]
Points = Iterable[tuple[float, float]]


def text_width(words: str, size: float = SMALL) -> float:
    """How much room words need at most, CSS pixels."""
    return len(words) * size * CHARACTER


def number(value: float) -> str:
    """A coordinate: a tenth of a pixel is finer than is seen.

    >>> number(12.04), number(-0.01)
    ('12', '0')
    """
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


@dataclass
class Picture:
    """A drawing that grows: shapes in the order in which they lie on each other.

    Args:
        name: For the ids inside: once a page, letters and hyphens.
        width: CSS pixels that it is made for.
        title, description: What it shows, for those who hear the page.
    """

    name: str
    width: float
    title: str
    description: str
    height: float = 0.0
    shapes: list[str] = field(default_factory=list)

    def svg(self) -> str:
        """The whole picture, to be put into a page."""
        width, height = number(self.width), number(self.height)
        title, words = f"{self.name}-title", f"{self.name}-words"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="chart" viewBox="0 0 {width} {height}" '
            f'width="{width}" height="{height}" role="img" aria-labelledby="{title} {words}" '
            f'font-family="{TEXT_FONT}" font-size="{SMALL}">'
            f'<title id="{title}">{escape(self.title)}</title>'
            f'<desc id="{words}">{escape(self.description)}</desc>'
            f'<rect width="{width}" height="{height}" fill="{SHEET}"/>'
            f"{''.join(self.shapes)}</svg>"
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        anchor: Anchor = "start",
        size: float = SMALL,
        colour: str = QUIET,
        bold: bool = False,
    ) -> None:
        """Words that begin, end or are centred at a point of their base line."""
        where = f' text-anchor="{anchor}"' if anchor != "start" else ""
        large = f' font-size="{number(size)}"' if size != SMALL else ""
        heavy = ' font-weight="650"' if bold else ""
        self.shapes.append(
            f'<text x="{number(x)}" y="{number(y)}" fill="{colour}"{where}{large}{heavy}>'
            f"{escape(words, quote=False)}</text>"
        )

    def line(self, points: Points, colour: str, *, thick: float = 1.5, dashes: str = "") -> None:
        """A line through points, in pieces where a point is missing (NaN)."""
        drawn = line_path(points)
        if drawn:
            dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
            self.shapes.append(
                f'<path d="{drawn}" fill="none" stroke="{colour}" stroke-width="{number(thick)}" '
                f'stroke-linejoin="round" stroke-linecap="round"{dashed}/>'
            )

    def rules(
        self,
        lines: Iterable[tuple[float, float, float, float]],
        colour: str,
        *,
        thick: float = 1,
    ) -> None:
        """Straight lines from one point to another, all of one colour."""
        drawn = "".join(
            f"M{number(x)} {number(y)}L{number(to_x)} {number(to_y)}" for x, y, to_x, to_y in lines
        )
        if drawn:
            heavy = f' stroke-width="{number(thick)}"' if thick != 1 else ""
            self.shapes.append(f'<path d="{drawn}" fill="none" stroke="{colour}"{heavy}/>')

    def box(
        self, x: float, y: float, width: float, height: float, colour: str, *, edge: str = ""
    ) -> None:
        """An upright rectangle, with an edge where one is named."""
        outline = f' stroke="{edge}"' if edge else ""
        self.shapes.append(
            f'<rect x="{number(x)}" y="{number(y)}" width="{number(max(width, 0))}" '
            f'height="{number(height)}" fill="{colour}"{outline}/>'
        )

    def area(self, drawn: str, colour: str, *, edge: str = "") -> None:
        """A filled outline, given as the data of a path."""
        if drawn:
            outline = f' stroke="{edge}"' if edge else ""
            self.shapes.append(f'<path d="{drawn}" fill="{colour}"{outline}/>')

    def image(self, x: float, y: float, width: float, height: float, png: bytes) -> None:
        """A PNG stretched over a rectangle, its dots kept sharp."""
        self.shapes.append(
            f'<image x="{number(x)}" y="{number(y)}" width="{number(width)}" '
            f'height="{number(height)}" preserveAspectRatio="none" image-rendering="pixelated" '
            f'href="{as_address(png)}"/>'
        )

    def moments(self, area: tuple[float, float, float, float], first: float, last: float) -> None:
        """Where a click means a moment: left, right, top, bottom, and times at both sides (s).

        Nothing is drawn; a page reads the times, a paper has no use for them.
        """
        left, right, top, bottom = area
        self.shapes.append(
            f'<rect class="moments" x="{number(left)}" y="{number(top)}" '
            f'width="{number(right - left)}" height="{number(bottom - top)}" fill="none" '
            f'pointer-events="all" data-from="{first}" data-to="{last}"/>'
        )

    def hatched(self, x: float, y: float, width: float, height: float) -> None:
        """A rectangle that says: nothing was measured here."""
        pattern = f"{self.name}-nothing"
        if not any(f'id="{pattern}"' in shape for shape in self.shapes):
            self.shapes.append(
                f'<defs><pattern id="{pattern}" width="6" height="6" '
                'patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
                f'<path d="M0 0V6" stroke="{QUIET}" stroke-width="1"/></pattern></defs>'
            )
        self.box(x, y, width, height, f"url(#{pattern})", edge=RULE)


def line_path(points: Points) -> str:
    """The data of a line; a point that is NaN or infinite breaks it."""
    drawn: list[str] = []
    pen_down = False
    for x, y in points:
        if y - y != 0:  # NaN or infinite
            pen_down = False
            continue
        drawn.append(f"{'L' if pen_down else 'M'}{number(x)} {number(y)}")
        pen_down = True
    return "".join(drawn)


def alone(svg: str) -> str:
    """A picture as a file of its own, which follows the reader's scheme by itself."""
    dark = ";".join(f"{name}:{colour}" for name, colour in DARK.items())
    style = f"<style>@media (prefers-color-scheme:dark){{svg{{{dark}}}}}</style>"
    head, mark, rest = svg.partition("<title")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}{style}{mark}{rest}\n'
