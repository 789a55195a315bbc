"""The runtime folder of the site: Python for the browser, our core as bytecode, and a manifest.

Pyodide comes from the npm package, whose bytes the lock file vouches for. The folder is named by a
hash over every file in it, so that a page, its runtime and its core can never be of two versions.
"""

import hashlib
import json
import shutil
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import segno

from calculators import EDITION
from site_src import demo_recording
from site_src.checks_inline import with_checks_inline
from site_src.node import run_node
from site_src.paths import BUILD, CORE, NODE_MODULES, SITE_SRC
from site_src.wheels import get_wheel

PYODIDE_FILES = ("pyodide.mjs", "pyodide.asm.js", "pyodide.asm.wasm")
LIBRARY = "python_stdlib.zip"
# Parts of Python's standard library that a page never uses. Take a line out if one is missed.
LIBRARY_DROPS = (
    *("aifc.", "chunk.", "sndhdr.", "sunau."),  # sound files other than WAVE
    *("cgi.", "cgitb.", "ftplib.", "http/cookiejar.", "http/server.", "imaplib.", "mailbox."),
    *("mailcap.", "netrc.", "nntplib.", "poplib.", "smtplib.", "socketserver.", "telnetlib."),
    *("urllib/robotparser.", "wsgiref/", "xmlrpc/"),  # servers and protocols of the net
    *("asyncio/proactor_events.", "asyncio/windows_", "multiprocessing/", "pty.", "webbrowser."),
    *("bdb.", "cProfile.", "compileall.", "doctest.", "modulefinder.", "pdb.", "pickletools."),
    *("profile.", "pstats.", "pyclbr.", "pydoc.", "tabnanny.", "trace.", "unittest/", "zipapp."),
    *("_pydatetime.", "_pyio."),  # Python twins of what is built in
    *("html/", "logging/config.", "logging/handlers.", "optparse.", "pipes.", "plistlib."),
    *("uu.", "xdrlib.", "xml/dom/", "xml/etree/"),
    *(f"encodings/{start}" for start in ("big5", "cp7", "cp8", "cp9", "euc_", "gb", "hz", "johab")),
    *(f"encodings/{start}" for start in ("iso2022_", "koi8", "kz1048", "mac_", "shift_jis")),
)
# Parts of numpy that reading and judging a recording never uses.
NUMPY_DROPS = (
    *("*.a", "*.pxd", "*.pyi", "numpy/_core/include/", "numpy-*.dist-info/RECORD"),
    *("numpy/f2py/", "numpy/doc/", "numpy/testing/"),
    *("numpy/_pyinstaller/", "numpy/polynomial/", "numpy/random/"),
    *(f"numpy/_core/_{name}." for name in ("simd", "operand_flag_tests", "rational_tests")),
    *(f"numpy/_core/_{name}." for name in ("struct_ufunc_tests", "umath_tests")),
)
RECORDING = CORE / "recording"
FOR_RECORDINGS = ("numpy.zip", "recording.zip")
"""What only the recording check loads; the calculators start without it."""
LIBRARY_FOR_RECORDINGS = ("html/__init__.py", "html/entities.py")
"""Parts of the standard library that are dropped from it, and go with the recording check."""
SEGNO_FILES = ("__init__.py", "consts.py", "encoder.py", "utils.py", "writers.py")
COMPILER = SITE_SRC / "compile_core.mjs"
PYODIDE = NODE_MODULES / "pyodide"
CACHE = BUILD / "bytecode"


@dataclass(frozen=True)
class Runtime:
    """A finished runtime folder."""

    hash: str
    folder: Path


def make_runtime() -> Runtime:
    """Make build/runtime/HASH."""
    staging = BUILD / "runtime" / "new"
    shutil.rmtree(staging.parent, ignore_errors=True)
    staging.mkdir(parents=True)
    for name in PYODIDE_FILES:
        shutil.copyfile(PYODIDE / name, staging / name)
    for name, archive in _compiled(_jobs()).items():
        shutil.copyfile(archive, staging / name)
    for made in demo_recording.files():
        (staging / made.name).write_bytes(made.data)
    (staging / "pyodide-lock.json").write_text(json.dumps(_lock_without_packages()))
    entries = [file_entry(p, staging) for p in sorted(staging.iterdir())]
    demo = [made.name for made in demo_recording.files()]
    runtime = Runtime(hash_of(entries), staging.parent / hash_of(entries))
    manifest = {
        "hash": runtime.hash,
        "edition": EDITION,
        "later": [*FOR_RECORDINGS, *demo],
        "demo": demo,
        "files": entries,
    }
    (staging / "manifest.json").write_text(json.dumps(manifest, indent=1))
    staging.rename(runtime.folder)
    return runtime


def file_entry(path: Path, root: Path) -> dict[str, Any]:
    """Path, size and hash of a file, as manifests list it."""
    data = path.read_bytes()
    return {
        "path": path.relative_to(root).as_posix(),
        "bytes": len(data),
        "sha256": hashlib.sha256(data).hexdigest(),
    }


def hash_of(entries: list[dict[str, Any]]) -> str:
    """One short hash for a set of files: 16 hex digits over names and contents."""
    lines = "".join(f"{e['path']} {e['sha256']}\n" for e in entries)
    return hashlib.sha256(lines.encode()).hexdigest()[:16]


def _lock_without_packages() -> dict[str, Any]:
    """Pyodide's list of packages, emptied: the core needs none, and the full list is 110 kB."""
    lock: dict[str, Any] = json.loads((PYODIDE / "pyodide-lock.json").read_text())
    return {"info": lock["info"], "packages": {}}


def _jobs() -> dict[str, Any]:
    """What the compiler is to make: the core, and the libraries that go with it."""
    package = Path(segno.__file__).parent
    modules = sorted(CORE.rglob("*.py"))
    return {
        "core.zip": {"files": _sources(p for p in modules if RECORDING not in p.parents)},
        "recording.zip": {
            "files": _sources(p for p in modules if RECORDING in p.parents)
            | _library_sources(LIBRARY_FOR_RECORDINGS)
        },
        "numpy.zip": {"library": str(get_wheel("numpy")), "drop": NUMPY_DROPS, "optimize": 1},
        "segno.zip": {
            "files": {f"segno/{name}": (package / name).read_text() for name in SEGNO_FILES}
        },
        LIBRARY: {"library": str(PYODIDE / LIBRARY), "drop": LIBRARY_DROPS, "optimize": 2},
    }


def _sources(modules: Iterable[Path]) -> dict[str, str]:
    return {
        path.relative_to(CORE.parent).as_posix(): with_checks_inline(path.read_text())
        for path in modules
    }


def _library_sources(names: Iterable[str]) -> dict[str, str]:
    with zipfile.ZipFile(PYODIDE / LIBRARY) as library:
        return {name: library.read(name).decode() for name in names}


def _compiled(jobs: dict[str, Any]) -> dict[str, Path]:
    """The archives by name; one that was made before from the same sources is taken as it is."""
    CACHE.mkdir(parents=True, exist_ok=True)
    made_by = COMPILER.read_text() + (PYODIDE / "package.json").read_text()
    archives = {
        name: CACHE / f"{hashlib.sha256((made_by + json.dumps(job)).encode()).hexdigest()}.zip"
        for name, job in jobs.items()
    }
    wanted = [{"to": str(archives[n]), **jobs[n]} for n in jobs if not archives[n].exists()]
    if wanted:
        run_node(COMPILER, stdin=wanted)
    return archives
