"""A whole check from the command line: files to parts, parts to a result, and what is written."""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from calculators.errors import InputError
from calculators.recording.calibration import (
    Calibration,
    calibration_from_rig,
    calibration_from_sensitivity,
)
from calculators.recording.cluster import connect, on_cluster
from calculators.recording.deployment import Deployment, deployment_of
from calculators.recording.expected import Expected, expected_of_rig
from calculators.recording.findings import ordered
from calculators.recording.judges import judge
from calculators.recording.kept import Kept
from calculators.recording.partial import Partial
from calculators.recording.processes import in_processes
from calculators.recording.progress import Progress
from calculators.recording.report import report_html
from calculators.recording.report_data import report_json
from calculators.recording.settings import Settings
from calculators.recording.shown import Shown
from calculators.recording.source import FileSource
from calculators.recording.summary import summarise
from calculators.recording.tables import TABLES
from calculators.recording.tree import Tree
from calculators.recording.work import Measured, Part, parts_of
from calculators.rig.model import Rig

OPENS_WITHIN = 1.0
"""Seconds that files may take to be opened without a word."""


@dataclass(frozen=True)
class Wanted:
    """What is asked for: see ``command.py`` for the words."""

    files: Sequence[Path]
    names: Sequence[str]
    title: str
    rig: Rig | None = None
    sensitivity: str = ""
    out: Path | None = None
    jobs: int = 1
    dask: str = ""
    dates: str | None = None


def check(wanted: Wanted) -> Shown:
    """Measure the files and judge them.

    Raises:
        InputError: If nothing can be read, or something that is asked for cannot be.
    """
    expected = expected_of_rig(wanted.rig) if wanted.rig else None
    calibration = _calibration(wanted, expected)
    sources = [_source(path, name) for path, name in zip(wanted.files, wanted.names, strict=True)]
    deployment = _opened(sources, wanted.dates)
    kept = Kept(wanted.out) if wanted.out else None
    parts = parts_of(deployment, list(wanted.files), Settings())
    partial, damage = measured(parts, kept, wanted.jobs, wanted.dask)
    return judged(deployment.with_damage(damage), partial, calibration, expected, wanted.title)


def _opened(sources: Sequence[FileSource], dates: str | None) -> Deployment:
    """The files; where that takes a while, which of them is being opened is shown."""
    count = len(sources)
    progress = Progress(count, patience=OPENS_WITHIN)
    try:
        return deployment_of(
            sources, dates, lambda n: progress.show(n - 1, f"Opening file {n} of {count}")
        )
    finally:
        progress.close()


def _calibration(wanted: Wanted, expected: Expected | None) -> Calibration:
    """A sensitivity that was measured goes before one that a rig predicts."""
    if wanted.sensitivity:
        return calibration_from_sensitivity(wanted.sensitivity)
    return calibration_from_rig(expected) if expected else Calibration()


def _source(path: Path, name: str) -> FileSource:
    source = FileSource(path)
    source.name = name
    return source


def judged(
    deployment: Deployment,
    partial: Partial,
    calibration: Calibration,
    expected: Expected | None,
    title: str,
) -> Shown:
    """What was measured with all that is said of it."""
    deployment = deployment.with_left_out(partial)
    summary = summarise(partial, deployment.files)
    found = [*deployment.findings, *judge(summary, deployment.sequence, expected)]
    return Shown(summary, calibration, ordered(found), expected, title)


def measured(
    parts: Sequence[Part], kept: Kept | None, jobs: int, dask: str
) -> tuple[Partial, dict[int, str]]:
    """All parts, merged in one fixed order; and which files could not be read to their end."""
    work = _Work(parts, kept)
    try:
        if dask:
            return work.by_cluster(dask)
        return work.by_processes(jobs)
    finally:
        work.progress.close()


class _Work:
    """The parts, those of them that are known already, and how far it is."""

    def __init__(self, parts: Sequence[Part], kept: Kept | None) -> None:
        self._parts, self._kept = parts, kept
        self._read = 0
        self.progress = Progress(max(sum(part.bytes for part in parts), 1))

    def by_processes(self, jobs: int) -> tuple[Partial, dict[int, str]]:
        tree: Tree[Partial] = Tree(len(self._parts), Partial.merge)
        damage: dict[int, str] = {}
        missing = []
        for number, part in enumerate(self._parts):
            known = self._kept.load(part) if self._kept else None
            if known is None:
                missing.append((number, part))
            else:
                self._show(part.bytes)
                tree.add(number, Partial.from_bytes(known.packed))
        for number, result in in_processes(missing, jobs, self._show):
            self._keep(number, result)
            damage |= result.damage
            tree.add(number, Partial.from_bytes(result.packed))
        return tree.result(), damage

    def by_cluster(self, address: str) -> tuple[Partial, dict[int, str]]:
        loaded = ((n, self._kept.load(p)) for n, p in enumerate(self._parts) if self._kept)
        known = {number: result for number, result in loaded if result is not None}
        self._show(sum(self._parts[number].bytes for number in known))
        with connect(address) as client:
            found = on_cluster(client, self._parts, known, self._came)
        return Partial.from_bytes(found.packed), found.damage

    def _came(self, number: int, result: Measured) -> None:
        self._keep(number, result)
        self._show(self._parts[number].bytes)

    def _keep(self, number: int, result: Measured) -> None:
        if self._kept:
            self._kept.save(self._parts[number], result)

    def _show(self, count: int) -> None:
        self._read += count
        self.progress.show(self._read)


def write_all(shown: Shown, folder: Path, handbook: str) -> list[Path]:
    """The report and its tables, as files.

    Raises:
        InputError: If one cannot be written.
    """
    texts: dict[str, Callable[[], str]] = {
        "report.html": lambda: report_html(shown, handbook),
        "report.json": lambda: json_text(shown),
    }
    texts |= {f"{name}.csv": _table(shown, name) for name in TABLES}
    written = []
    for name, make in texts.items():
        path = folder / name
        try:
            path.write_text(make(), encoding="utf-8")
        except OSError as error:
            why = error.strerror or error
            raise InputError("--out", f"{path} cannot be written: {why}.") from error
        written.append(path)
    return written


def _table(shown: Shown, name: str) -> Callable[[], str]:
    return lambda: TABLES[name](shown)


def json_text(shown: Shown) -> str:
    """The report as JSON."""
    return json.dumps(report_json(shown), ensure_ascii=False, indent=1, allow_nan=False) + "\n"
