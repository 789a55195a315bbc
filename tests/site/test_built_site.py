"""Is the built handbook whole? Everything here reads the site that readers get."""

import hashlib
import json
import re
import urllib.error
import urllib.request
from fnmatch import fnmatch

import pytest

from calculators import EDITION
from calculators.formula import FORMULAS
from calculators.registry import CALCULATORS, TABLES
from calculators.rig.json_schema import rig_schema
from site_src import evidence
from site_src.examples import ask
from site_src.html_scan import scan
from site_src.links import dead_links
from site_src.origins import foreign_loads
from site_src.paths import DOCS
from site_src.policy import source_hash


def pages(built):
    return sorted(built.folder.rglob("*.html"))


def get(address):
    with urllib.request.urlopen(address, timeout=30) as answer:
        return answer.read()


def sha256(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_no_link_or_anchor_is_dead(built):
    """The build checks it too; here it is a test of its own."""
    assert dead_links(built.folder, built.url) == []


def test_no_file_loads_from_another_origin(built):
    """Fonts, search, runtime, formulas: all ours."""
    assert foreign_loads(built.folder, built.url) == []


def test_every_page_carries_the_one_policy_and_it_covers_its_scripts(built, address):
    """A script that the policy does not name would not run."""
    policies = set()
    for path in pages(built):
        found = re.findall(
            r'http-equiv="Content-Security-Policy" content="([^"]*)"', path.read_text()
        )
        assert len(found) == 1, path
        policies.add(found[0])
        for script in scan(path).inline_scripts:
            assert source_hash(script) in found[0], path
    assert len(policies) == 1
    served = urllib.request.urlopen(address, timeout=30).headers["Content-Security-Policy"]
    assert served == f"{policies.pop()}; frame-ancestors 'none'"


def test_no_tag_or_placeholder_is_left(built):
    """What the reader sees is never our own notation."""
    for path in pages(built):
        text = path.read_text()
        assert "data-slot=" not in text, path
        assert 'class="arithmatex"' not in text, path
        without_code = re.sub(r"<(pre|code|script)\b.*?</\1>", "", text, flags=re.DOTALL)
        assert not re.search(r"\[\[[a-z]+ |\[@[a-z]", without_code), path


def test_formulas_are_mathml_without_inline_style(built):
    """The ledger has one at least for every formula."""
    ledger = (built.folder / "reference/ledger/index.html").read_text()

    assert ledger.count("<math") > len(FORMULAS)
    assert "temml-error" not in ledger
    assert not scan(built.folder / "reference/ledger/index.html").inline_styles


def test_every_calculator_has_its_page_with_the_answer_in_it(built):
    """Readable before any script runs."""
    for name in CALCULATORS:
        html = (built.folder / f"calculators/{name}/index.html").read_text()
        section = html[html.index(f'data-calculator="{name}"') :]
        answer = re.search(
            r'<output[^>]*class="answer-value"[^>]*><span class="number">([^<]+)</span>', section
        )
        assert answer, name
        assert re.search(r"\d", answer[1]), name
        assert "by hand" in section, f"{name} does not say how to go on without scripts"
        assert "<math" in section, f"{name} shows no formula"


def test_the_published_declarations_are_the_bridges(address):
    """Other programs read what the page is made from."""
    told = ask({"op": "describe"})

    assert json.loads(get(f"{address}calculators.json")) == {
        key: value for key, value in told.items() if key != "ok"
    }


def test_the_published_schema_of_a_rig_is_the_cores(address):
    """Editors check a rig's file against it."""
    assert json.loads(get(f"{address}rig.schema.json")) == rig_schema()


def test_the_published_evidence_is_every_check_and_all_pass(address):
    """One row a check, with what came out of it."""
    data = json.loads(get(f"{address}reference/evidence.json"))

    assert data["edition"] == EDITION
    assert [row["id"] for row in data["checks"]] == [check.id for check in evidence.load()]
    assert all(row["passed"] for row in data["checks"])


def test_the_ledger_has_every_formula_and_every_check(built):
    """Each formula has its anchor, each check its row."""
    anchors = scan(built.folder / "reference/ledger/index.html").anchors

    assert {formula.anchor for formula in FORMULAS.values()} <= anchors
    assert {check.id for check in evidence.load()} <= anchors


def test_the_page_of_symbols_links_every_formula_once(built):
    """A letter without its formula, or a formula without its letter, would be a gap."""
    html = (built.folder / "reference/symbols/index.html").read_text()
    linked = re.findall(r'<a href="\.\./\.\./reference/ledger/#([^"]+)">', html)

    assert sorted(linked) == sorted(formula.anchor for formula in FORMULAS.values())


def test_the_list_of_tables_has_every_material_table(built):
    """Under its caption, on the page that shows it."""
    html = (built.folder / "reference/tables/index.html").read_text()

    assert {name for name in TABLES if f"#table-{name}" not in html} == set()


@pytest.fixture
def runtime(built):
    (folder,) = (built.folder / "runtime").iterdir()
    return folder


def test_the_runtime_is_named_by_what_is_in_it(runtime):
    """Every file of the folder is in the manifest, by size and hash, and nothing else is."""
    manifest = json.loads((runtime / "manifest.json").read_text())
    there = {p.name for p in runtime.iterdir()} - {"manifest.json"}

    assert {entry["path"] for entry in manifest["files"]} == there
    for entry in manifest["files"]:
        assert entry["sha256"] == sha256(runtime / entry["path"])
        assert entry["bytes"] == (runtime / entry["path"]).stat().st_size
    lines = "".join(f"{e['path']} {e['sha256']}\n" for e in manifest["files"])
    assert runtime.name == manifest["hash"] == hashlib.sha256(lines.encode()).hexdigest()[:16]
    assert manifest["edition"] == EDITION


def test_pages_name_the_runtime_they_were_built_with(built, runtime):
    """A page never runs with another version's runtime."""
    for path in pages(built):
        html = path.read_text()
        assert f'<meta name="wetside-runtime" content="{runtime.name}">' in html, path
        assert f'<meta name="wetside-edition" content="{EDITION}">' in html, path


def test_the_offline_list_is_the_whole_site(built):
    """Every file but the service worker, the list and what only a server reads."""
    listed = json.loads((built.folder / "offline-manifest.json").read_text())
    there = {p.relative_to(built.folder).as_posix() for p in built.folder.rglob("*") if p.is_file()}
    left_out = {"sw.js", "offline-manifest.json", "_headers", "headers.json"}

    assert {entry["path"] for entry in listed["files"]} == there - left_out
    assert listed["bytes"] == sum(entry["bytes"] for entry in listed["files"])
    for entry in listed["files"]:
        assert entry["sha256"] == sha256(built.folder / entry["path"])


def test_the_service_worker_knows_every_page_and_not_the_runtime(built):
    """The shell is kept at once; the runtime only on first use or on request."""
    code = (built.folder / "sw.js").read_text()

    for path in pages(built):
        assert f'"{path.relative_to(built.folder).as_posix()}"' in code, path
    assert "__WB_MANIFEST" not in code
    assert not re.search(r'url:"runtime/', code)
    assert "wasm-unsafe-eval" in code


def test_names_with_a_hash_are_kept_for_ever_and_pages_are_not(built, address):
    """By what our server really says."""
    scripts = list((built.folder / "assets/wetside").glob("page-*.js"))
    kept = urllib.request.urlopen(f"{address}assets/wetside/{scripts[0].name}", timeout=30)
    page = urllib.request.urlopen(address, timeout=30)

    assert kept.headers["Cache-Control"].endswith("immutable")
    assert page.headers["Cache-Control"] == "no-cache"


def test_nothing_of_the_workshop_is_published(built):
    """Sources of examples and bibliography, maps, drafts; example rigs are for readers."""
    for path in built.folder.rglob("*"):
        name = path.relative_to(built.folder).as_posix()
        if name.startswith("rigs/"):
            assert (DOCS / name).read_bytes() == path.read_bytes()
            continue
        assert not any(fnmatch(name, p) for p in ("*.toml", "*.map", "*.py", "*.md", "*.gz")), name


def test_an_unknown_address_is_answered_with_our_page(address):
    """With the way back into the handbook."""
    with pytest.raises(urllib.error.HTTPError) as caught:
        get(f"{address}nowhere/")

    assert caught.value.code == 404
    assert b"wetside-edition" in caught.value.read()


def test_the_search_finds_text_and_not_the_fields_of_forms(built):
    """A form's labels and a formula's signs would drown what the chapters say."""
    index = json.loads((built.folder / "search/search_index.json").read_text())
    texts = {entry["location"]: entry["text"] for entry in index["docs"]}

    assert "capacitor" in texts["build/front-end/"]
    form = (built.folder / "calculators/corner-frequency/index.html").read_text()
    of_the_form = re.search(r'class="accepted-title"[^>]*>([^<]+)<', form)
    assert of_the_form
    for location, text in texts.items():
        assert of_the_form[1] not in text, location
        assert "\\frac" not in text, location
