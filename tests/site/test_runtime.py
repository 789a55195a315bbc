"""Is the browser's Python the one we verified, and does it run our bytecode?"""

import fnmatch
import hashlib
import json
import re
import subprocess
import zipfile

import pytest

from site_src import demo_recording
from site_src.examples import ask
from site_src.paths import NODE_MODULES, ROOT
from site_src.runtime import (
    FOR_RECORDINGS,
    LIBRARY,
    LIBRARY_DROPS,
    LIBRARY_FOR_RECORDINGS,
    NUMPY_DROPS,
    PYODIDE_FILES,
    make_runtime,
)
from site_src.wheels import get_wheel


@pytest.fixture(scope="module")
def runtime():
    return make_runtime().folder


def test_python_for_the_browser_is_the_pinned_release_unchanged(runtime):
    """npm checks the package against the lock file's hash; here: we changed nothing of it."""
    package = json.loads((NODE_MODULES / "pyodide/package.json").read_text())
    lock = json.loads((ROOT / "package-lock.json").read_text())

    assert package["version"] == "0.27.7"
    assert lock["packages"]["node_modules/pyodide"]["integrity"].startswith("sha512-")
    for name in PYODIDE_FILES:
        ours = hashlib.sha256((runtime / name).read_bytes()).digest()
        assert ours == hashlib.sha256((NODE_MODULES / "pyodide" / name).read_bytes()).digest()


def names(archive):
    with zipfile.ZipFile(archive) as packed:
        return {
            name.removesuffix("c") for name in packed.namelist() if name.endswith((".py", ".pyc"))
        }


def test_the_standard_library_is_the_pinned_one_compiled_less_what_is_named(runtime):
    """Nothing else is left out, nothing is added, and it is not larger to fetch."""
    ours, theirs = runtime / LIBRARY, NODE_MODULES / "pyodide" / LIBRARY
    dropped = {name for name in names(theirs) if name.startswith(LIBRARY_DROPS)}

    assert names(ours) == names(theirs) - dropped
    assert ours.stat().st_size < theirs.stat().st_size


def test_archives_hold_bytecode_of_3_12_and_no_source(runtime):
    """Magic number 3531 is Python 3.12's; flag 1 is "by hash, not checked"."""
    for archive in ("core.zip", "segno.zip", LIBRARY, *FOR_RECORDINGS):
        with zipfile.ZipFile(runtime / archive) as packed:
            assert not [name for name in packed.namelist() if name.endswith(".py")]
            for name in (name for name in packed.namelist() if name.endswith(".pyc")):
                head = packed.read(name)[:8]
                assert head[:2] == (3531).to_bytes(2, "little"), name
                assert head[4] == 1, name


def test_the_core_has_every_module_in_one_of_two_archives(runtime):
    """A module that is left out would be missed only when a reader needs it."""
    core, recording = names(runtime / "core.zip"), names(runtime / "recording.zip")
    modules = {p.relative_to(ROOT).as_posix() for p in (ROOT / "calculators").rglob("*.py")}

    assert core | recording == modules | set(LIBRARY_FOR_RECORDINGS)
    assert recording - set(LIBRARY_FOR_RECORDINGS) == {
        name for name in modules if name.startswith("calculators/recording/")
    }
    assert not core & recording


def test_numpy_is_the_wheel_of_this_release_less_what_is_named(runtime):
    """All that is kept is there; libraries unchanged, modules compiled."""
    dropped = re.compile("|".join(fnmatch.translate(f"{drop}*") for drop in NUMPY_DROPS))
    with (
        zipfile.ZipFile(get_wheel("numpy")) as wheel,
        zipfile.ZipFile(runtime / "numpy.zip") as ours,
    ):
        files = [name for name in wheel.namelist() if not name.endswith("/")]
        wanted = {name for name in files if not dropped.match(name)}
        assert {name.replace(".pyc", ".py") for name in ours.namelist()} == wanted
        libraries = [name for name in wanted if name.endswith(".so")]
        assert len(libraries) == 5
        assert [wheel.read(name) == ours.read(name) for name in libraries] == [True] * 5


def test_what_only_recordings_need_is_named_apart(runtime):
    """The list by which a failed start of the calculators passes over it."""
    manifest = json.loads((runtime / "manifest.json").read_text())

    demo = [made.name for made in demo_recording.files()]
    assert manifest["later"] == [*FOR_RECORDINGS, *demo]
    assert set(manifest["later"]) < {entry["path"] for entry in manifest["files"]}


CALL = """
import {{ loadPyodide }} from "pyodide";
import {{ readFileSync }} from "node:fs";
const python = await loadPyodide({{ stdLibURL: {runtime} + "python_stdlib.zip" }});
for (const name of ["core.zip", "segno.zip"])
  python.unpackArchive(new Uint8Array(readFileSync({runtime} + name)), "zip");
const call = python.pyimport("calculators.bridge").call;
const requests = JSON.parse(readFileSync(0, "utf8"));
console.log(JSON.stringify(requests.map((request) => JSON.parse(call(JSON.stringify(request))))));
"""


def test_the_browsers_python_gives_the_same_declarations_and_a_qr_code(runtime):
    """Bytecode without source, in the very runtime that is published."""
    requests = [{"op": "describe"}, {"op": "qr", "url": "http://127.0.0.1:8000/#a"}]
    done = subprocess.run(
        ["node", "--input-type=module", "-e", CALL.format(runtime=json.dumps(f"{runtime}/"))],
        input=json.dumps(requests),
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    described, code = json.loads(done.stdout)

    assert described == ask(requests[0])
    assert code == ask(requests[1])
    assert code["size"] >= 21
