"""Takes out of the theme's files what the site does not use and what would ask another origin.

And has the theme's search wait until it is wanted.
"""

import shutil
from pathlib import Path

UNUSED = ("assets/javascripts/lunr", "assets/stylesheets", "sitemap.xml.gz")

# What the theme's script would fetch from elsewhere, each for something this site does not have:
# diagrams, a replacement for browsers of before 2020, counts of a code host.
FOREIGN = {
    "https://unpkg.com/mermaid@11/dist/mermaid.min.js": "",
    "https://unpkg.com/resize-observer-polyfill": "",
    "https://api.github.com/": "./",
    "https://${e}/api/v4/": "./${e}/",
}

# The theme's search makes its index ready on every page: a second or two of work, and some 100 MB,
# while Python starts beside it. From a file it waits until the search is opened; so it does here.
SEARCH_AT_ONCE = '(location.protocol!=="file:"),'
SEARCH_WHEN_OPENED = "(!1),"


class ThemeChanged(RuntimeError):
    """The theme is not the one these changes were written for."""


def clean(site: Path) -> None:
    """Remove unused files and foreign addresses from the built site."""
    for name in UNUSED:
        remove(site / name)
    for path in site.rglob("*.map"):
        path.unlink()
    for script in site.glob("assets/javascripts/bundle.*.min.js"):
        text = search_when_opened(without_foreign(script.read_text(encoding="utf-8")))
        script.write_text(text, encoding="utf-8")
    for script in site.glob("assets/javascripts/**/*.js"):
        text = script.read_text(encoding="utf-8")
        script.write_text(text.partition("\n//# sourceMappingURL=")[0], encoding="utf-8")


def without_foreign(script: str) -> str:
    """The script with every foreign address taken out."""
    for address, instead in FOREIGN.items():
        if address not in script:
            raise ThemeChanged(f"the theme's script does not hold {address} any more")
        script = script.replace(address, instead)
    return script


def search_when_opened(script: str) -> str:
    """The script with a search that is made ready when it is opened, not before."""
    if script.count(SEARCH_AT_ONCE) != 1:
        raise ThemeChanged("the theme's script does not begin its search as it did")
    return script.replace(SEARCH_AT_ONCE, SEARCH_WHEN_OPENED)


def remove(path: Path) -> None:
    """Remove a file or a folder; it must be there."""
    if path.is_dir():
        shutil.rmtree(path)
    else:
        path.unlink()
