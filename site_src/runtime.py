"""The runtime folder of the site: Python for the browser, our core as bytecode, and a manifest.

Pyodide comes from the npm package, whose bytes the lock file vouches for. The folder is named by a
hash over every file in it, so that a page, its runtime and its core can never be of two versions.
"""

import hashlib
import json
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import segno

from calculators import EDITION
from site_src.node import run_node
from site_src.paths import BUILD, CORE, NODE_MODULES, SITE_SRC

PYODIDE_FILES = ("pyodide.mjs", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip")
SEGNO_FILES = ("__init__.py", "consts.py", "encoder.py", "utils.py", "writers.py")
COMPILER = SITE_SRC / "compile_core.mjs"


@dataclass(frozen=True)
class Runtime:
    """A finished runtime folder."""

    hash: str
    folder: Path


def make_runtime() -> Runtime:
    """Make build/runtime/HASH, or take the one that was made from the same inputs."""
    inputs = _inputs_digest()
    made = BUILD / "runtime.json"
    if made.exists():
        last = json.loads(made.read_text())
        runtime = Runtime(last["hash"], BUILD / "runtime" / last["hash"])
        if last["inputs"] == inputs and runtime.folder.exists():
            return runtime
    runtime = _make()
    made.write_text(json.dumps({"inputs": inputs, "hash": runtime.hash}))
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


def _make() -> Runtime:
    staging = BUILD / "runtime" / "new"
    shutil.rmtree(staging.parent, ignore_errors=True)
    staging.mkdir(parents=True)
    for name in PYODIDE_FILES:
        shutil.copyfile(NODE_MODULES / "pyodide" / name, staging / name)
    (staging / "pyodide-lock.json").write_text(json.dumps(_lock_without_packages()))
    run_node(COMPILER, str(staging), stdin={"archives": _archives()})
    entries = [file_entry(p, staging) for p in sorted(staging.iterdir())]
    runtime = Runtime(hash_of(entries), staging.parent / hash_of(entries))
    manifest = {"hash": runtime.hash, "edition": EDITION, "files": entries}
    (staging / "manifest.json").write_text(json.dumps(manifest, indent=1))
    staging.rename(runtime.folder)
    return runtime


def _lock_without_packages() -> dict[str, Any]:
    """Pyodide's list of packages, emptied: the core needs none, and the full list is 110 kB."""
    lock: dict[str, Any] = json.loads((NODE_MODULES / "pyodide/pyodide-lock.json").read_text())
    return {"info": lock["info"], "packages": {}}


def _archives() -> list[dict[str, Any]]:
    package = Path(segno.__file__).parent
    core = {p.relative_to(CORE.parent).as_posix(): p.read_text() for p in CORE.rglob("*.py")}
    qr = {f"segno/{name}": (package / name).read_text() for name in SEGNO_FILES}
    return [{"name": "core.zip", "files": core}, {"name": "segno.zip", "files": qr}]


def _inputs_digest() -> str:
    pinned = (NODE_MODULES / "pyodide" / "package.json").read_text()
    made_by = [COMPILER.read_text(), Path(__file__).read_text(), pinned, EDITION]
    return hashlib.sha256(json.dumps([*made_by, _archives()]).encode()).hexdigest()
