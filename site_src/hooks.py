"""MkDocs calls these while it builds; what they do lives in the modules beside this one.

Order: pages are read (tags become HTML or placeholders), then everything that Node draws is drawn
in one go and filled in, then the templates are rendered.
"""

import hashlib
import json
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, get_args
from urllib.parse import urlsplit

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.utils import get_relative_url

from calculators.declare import Stage
from calculators.registry import CALCULATORS
from calculators.rig import json_schema
from site_src import (
    bibliography,
    evidence,
    examples,
    ledger,
    stacked_tables,
    symbols,
    table_list,
)
from site_src.examples import ask
from site_src.navigation import expand
from site_src.paths import BUILD, PLAIN_STYLE, STYLE
from site_src.prerender import Prerender
from site_src.tags import Tags

state: dict[str, Tags] = {}
tables: dict[str, list[table_list.Entry]] = {}


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Tell the templates what the build has made, and start with a clean slate."""
    config.extra["assets"] = json.loads((BUILD / "site.json").read_text())
    config.extra["scope"] = urlsplit(config.site_url or "/").path or "/"
    config.nav = expand(config.nav, config.docs_dir, calculator_headings())
    with reported():
        state["tags"] = Tags(examples.load(), bibliography.load(), Prerender())
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the pages and data that are made from the code and its evidence."""
    tags = state["tags"]
    with reported():
        results = [evidence.run(check) for check in evidence.load()]
        ledger_page = ledger.page(results, evidence.load_missing(), tags)
    tags.problems += [f"check {r.check.id} fails: {r}" for r in results if not r.passed]
    described = {key: value for key, value in ask({"op": "describe"}).items() if key != "ok"}
    made = {
        ledger.PAGE: ledger_page,
        ledger.DATA: json.dumps(ledger.data(results), ensure_ascii=False, indent=1),
        bibliography.PAGE: bibliography.page(tags.sources),
        symbols.PAGE: symbols.page(tags),
        "calculators.json": json.dumps(described, ensure_ascii=False, indent=1),
        json_schema.FILE: json.dumps(json_schema.rig_schema(), ensure_ascii=False, indent=1),
    }
    for path, content in made.items():
        files.append(File.generated(config, path, content=content))
    return files


def on_page_markdown(markdown: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Replace the tags of a page."""
    return state["tags"].replace(markdown, page.file.src_uri, root_of(page))


def on_page_content(html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """Put the page's formulas on the list of what Node draws, and note its tables."""
    tables[page.url] = table_list.tables_of(html)
    return state["tags"].collect_maths(stacked_tables.mark(html))


def on_env(env: Any, config: MkDocsConfig, files: Files) -> Any:
    """Report every problem at once, else draw everything and fill it in."""
    tags = state["tags"]
    if tags.problems:
        raise PluginError("\n".join(["The handbook cannot be built:", *tags.problems]))
    tags.prerender.run()
    config.extra["assets"]["style"] = write_style(tags.prerender.css)
    listed = table_list.html([(str(p.title), p.url, tables[p.url]) for p in in_order(files)])
    for file in files.documentation_pages():
        if file.page and file.page.content:
            content = tags.prerender.fill(file.page.content)
            file.page.content = content.replace(table_list.PLACE, listed)
    return env


def in_order(files: Files) -> Iterator[Page]:
    """The pages as the navigation has them."""
    home = files.get_file_from_path("index.md")
    page = home.page if home else None
    while page:
        yield page
        page = page.next_page


def calculator_headings() -> dict[str, list[str]]:
    """The pages of the calculators by stage, in the order of the work."""
    pages: dict[str, list[str]] = {stage.title(): [] for stage in get_args(Stage)}
    for card in CALCULATORS.values():
        pages[card.stage.title()].append(f"calculators/{card.id}.md")
    return pages


@contextmanager
def reported() -> Iterator[None]:
    """Turn a fault in our data into MkDocs' own kind of error: shown without a traceback."""
    try:
        yield
    except ValueError as fault:
        raise PluginError(f"The handbook cannot be built:\n{fault}") from fault


def root_of(page: Page) -> str:
    """The way from a page to the root of the site: "" or "../"…"""
    root = get_relative_url("", page.url)
    return "" if root in (".", "./") else root.rstrip("/") + "/"


def write_style(maths_css: str) -> str:
    """Write the site's style with the rules that the drawn formulas need, named by its hash."""
    css = f"{PLAIN_STYLE.read_text()}{maths_css}\n"
    name = f"style-{hashlib.sha256(css.encode()).hexdigest()[:8].upper()}.css"
    (STYLE / name).write_text(css)
    return name
