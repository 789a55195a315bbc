"""The command line of recordings: ``python -m calculators recording check PATH…``.

This module needs the standard library alone, so that the other commands run without numpy.
"""

import argparse
import os
import sys
from collections.abc import Iterator, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from calculators.errors import InputError
from calculators.rig.command import read_file

if TYPE_CHECKING:
    from calculators.recording.shown import Shown

NOTHING_SPOILS, SOMETHING_SPOILS = 0, 1
"""Exit codes; what is refused gives 2."""

SUFFIXES = (".wav", ".wave", ".rf64", ".bw64", ".flac")
"""Of the files that are taken from a folder, in small or capital letters."""

ORDERS = ("ymd", "dmy", "mdy")

THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
"""Libraries below numpy would each start a thread for every core, in every process."""

CHECK_EPILOG = """\
Files of one deployment are taken together, in the order of their starts. Folders are searched, with
all folders in them, for WAVE, RF64, BW64 and FLAC files; what begins with a dot is left out.

With --out the report (report.html, report.json and tables) goes into a folder. What was measured is
kept there too, so that a run which was stopped goes on where it was, and one with another rig or
sensitivity takes no time; the folder "parts" in it may be removed at any time.

Levels are re 1 µPa with a rig or a sensitivity, else re full scale. The sensitivity is that of the
whole chain, in dB re 1 FS/µPa; one that is given goes before that of the rig.

Exit code 0: nothing was found that spoils the recording. 1: something was. 2: bad input."""


def add_commands(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add ``recording`` and what can be asked of one."""
    recording = commands.add_parser("recording", help="files that a recorder has made")
    asked = recording.add_subparsers(required=True, metavar="check")
    check = asked.add_parser(
        "check",
        help="is it all there, what is wrong with it, and what are its levels",
        epilog=CHECK_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    check.add_argument("paths", nargs="+", metavar="PATH", help="a file, or a folder of them")
    check.add_argument("--rig", metavar="FILE.toml", help="the rig that recorded it")
    check.add_argument(
        "--sensitivity", default="", metavar="TEXT", help='such as "-163 dB re 1 FS/µPa ± 1.5 dB"'
    )
    check.add_argument("--out", metavar="DIR", help="where report and tables go")
    check.add_argument("--jobs", metavar="N", help="processes; as many as there are cores")
    check.add_argument(
        "--dask", default="", metavar="ADDRESS", help="of a scheduler, such as tcp://192.0.2.1:8786"
    )
    check.add_argument(
        "--dates", choices=ORDERS, help="order of the dates in file names, if that is not clear"
    )
    check.add_argument(
        "--handbook", default="", metavar="URL", help="of the handbook, for links in the report"
    )
    check.add_argument("--json", action="store_true", help="print the report as JSON")
    check.set_defaults(command=_check)


def _check(given: argparse.Namespace) -> int:
    files, names, title = found_files([Path(path) for path in given.paths])
    jobs = _jobs(given.jobs)
    checking = _checking()
    out = Path(given.out) if given.out else None
    wanted = checking.Wanted(
        files=files,
        names=names,
        title=title,
        rig=read_file(given.rig) if given.rig else None,
        sensitivity=given.sensitivity,
        out=out,
        jobs=jobs,
        dask=given.dask,
        dates=given.dates,
    )
    try:
        shown = checking.check(wanted)
    except KeyboardInterrupt:
        print(_stopped_words(out), file=sys.stderr)
        raise
    written = checking.write_all(shown, out, given.handbook) if out else []
    if given.json:
        print(checking.json_text(shown), end="")
    else:
        print("\n".join(_lines(shown, written)))
    spoilt = any(finding.weight == "spoils" for finding in shown.findings)
    return SOMETHING_SPOILS if spoilt else NOTHING_SPOILS


def _stopped_words(out: Path | None) -> str:
    if out:
        return f"Stopped. What was measured is kept in {out}: the same command goes on from there."
    return (
        "Stopped. With --out, what was measured is kept, and the same command goes on from there."
    )


def _checking() -> Any:
    """The module that does the work, which needs numpy.

    Raises:
        InputError: If that is not installed.
    """
    for name in THREADS:
        os.environ.setdefault(name, "1")
    try:
        return import_module("calculators.recording.checking")
    except ModuleNotFoundError as error:
        if error.name != "numpy":
            raise
        why = 'Recordings need numpy: python -m pip install "wetside[recording]".'
        raise InputError("recording", why) from error


def _jobs(text: str | None) -> int:
    if text is None:
        return _cores()
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 1024:
        raise InputError("--jobs", f"“{text[:20]}” processes. Give 1 to 1024.")
    return int(text)


def _cores() -> int:
    """Those that this program may use, where the system tells; else all."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


def found_files(paths: Sequence[Path]) -> tuple[list[Path], list[str], str]:
    """The files that are meant, each once, what each is called, and what all are called.

    A name is the path below the folder that all of them have in common.

    Raises:
        InputError: If a path is not there, or a folder holds no recording.
    """
    found: dict[Path, None] = {}
    for path in paths:
        found |= dict.fromkeys(file.resolve() for file in _files_of(path))
    files = list(found)
    common = Path(os.path.commonpath([file.parent for file in files]))
    names = [file.relative_to(common).as_posix() for file in files]
    title = files[0].name if len(files) == 1 else common.name or str(common)
    return files, names, title


def _files_of(path: Path) -> list[Path]:
    try:
        if not path.is_dir():
            path.stat()
            return [path]
        files = sorted(_walk(path))
    except OSError as error:
        raise InputError(str(path), f"This cannot be read: {error.strerror or error}.") from error
    if not files:
        kinds = ", ".join(SUFFIXES)
        raise InputError(str(path), f"There is no recording in this folder. Looked for: {kinds}.")
    return files


def _walk(folder: Path) -> Iterator[Path]:
    for base, folders, names in os.walk(folder, onerror=_raise):
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in names:
            if name.lower().endswith(SUFFIXES) and not name.startswith("."):
                yield Path(base, name)


def _raise(error: OSError) -> None:
    raise error


def _lines(shown: "Shown", written: Sequence[Path]) -> list[str]:
    """The report for a terminal."""
    from calculators.recording.report import place_words
    from calculators.recording.tables import channel_heads, level_rows
    from calculators.recording.verdict import SURE_WORDS, WEIGHT_WORDS, looked_at, verdict

    lines = [f"{shown.title}: {verdict(shown)}", f"{looked_at(shown)}."]
    for number, item in enumerate(shown.items, 1):
        one, where = item.first, item.where
        kind = f"{WEIGHT_WORDS[one.weight]}; {SURE_WORDS[one.sure]}"
        lines += ["", f"{number}. {one.title} ({kind})", *(f"   {words}" for words in item.says)]
        lines += [f"   Where: {place_words(shown, span)}" for span in where[:3]]
        lines += [f"   Where: and {len(where) - 3} more places"] if len(where) > 3 else []
        lines += [f"   To do: {todo}" for todo in one.todo]
    lines += ["", " | ".join(["Levels", *channel_heads(shown)])]
    lines += [f"  {words}: {' | '.join(cells)}" for words, cells in level_rows(shown)]
    lines += ["", shown.calibration.words]
    return lines + (["", *map(str, written)] if written else [])
