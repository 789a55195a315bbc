"""Where things lie in the checkout."""

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CORE = ROOT / "calculators"
SITE_SRC = ROOT / "site_src"
DOCS = ROOT / "docs"
EVIDENCE = ROOT / "tests" / "evidence"
NODE_MODULES = ROOT / "node_modules"
BUILD = ROOT / "build"

# Made on the way, shared by all builds of this checkout.
ASSETS = BUILD / "assets"
FONTS = BUILD / "fonts"
PLAIN_STYLE = BUILD / "wetside.css"
STYLE = BUILD / "style"
