"""The fonts of the site, from npm packages of open licence: two for text, one for formulas.

The formula font is cut down to the characters that formulas use. Its MATH table stays: without it
brackets and roots do not grow with what they hold.
"""

import shutil
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

from site_src.paths import NODE_MODULES

TEXT_FONTS = (
    "atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2",
    "atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-italic.woff2",
    "atkinson-hyperlegible-mono/files/atkinson-hyperlegible-mono-latin-wght-normal.woff2",
)
MATH_FONT = NODE_MODULES / "@fontsource/noto-sans-math/files/noto-sans-math-latin-400-normal.woff2"
MATH_NAME = "wetside-math.woff2"
# Latin, signs, Greek, super- and subscripts, arrows, operators, brackets, italic letters.
MATH_CHARACTERS = (
    (0x20, 0x7E), (0xA0, 0xB7), (0xD7, 0xD7), (0xF7, 0xF7), (0x370, 0x3FF), (0x2010, 0x2044),
    (0x2061, 0x2064), (0x2070, 0x209F), (0x20D7, 0x20D7), (0x2100, 0x2127), (0x2190, 0x2194),
    (0x21D2, 0x21D2), (0x2200, 0x22FF), (0x2308, 0x230B), (0x239B, 0x23B7), (0x27E8, 0x27E9),
    (0x1D434, 0x1D467), (0x1D6E2, 0x1D71B),
)  # fmt: skip


def make_fonts(folder: Path) -> None:
    """Put every font of the site into this folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in TEXT_FONTS:
        source = NODE_MODULES / "@fontsource-variable" / name
        shutil.copyfile(source, folder / source.name)
    if not (folder / MATH_NAME).exists():
        make_math_font(folder / MATH_NAME)


def make_math_font(target: Path) -> None:
    """Cut the formula font down to what formulas use."""
    options = subset.Options(flavor="woff2", layout_features=["*"], notdef_outline=True)
    font = TTFont(MATH_FONT, recalcTimestamp=False)
    cut = subset.Subsetter(options)
    cut.populate(unicodes=[n for low, high in MATH_CHARACTERS for n in range(low, high + 1)])
    cut.subset(font)
    if "MATH" not in font:
        raise RuntimeError(f"{MATH_FONT.name} has no MATH table: formulas would not grow")
    font.flavor = "woff2"
    font.save(target)
