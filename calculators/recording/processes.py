"""Parts measured in several processes of this machine, with their progress, and stopped cleanly."""

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait as wait_for_process
from multiprocessing.synchronize import Event
from typing import Any

from calculators.errors import InputError
from calculators.recording.work import Measured, Part, measure

LOOK = 0.2
"""Seconds between two looks at what the processes have done."""

Show = Callable[[int], None]
"""Called with the bytes that were read since it was called before."""

Done = tuple[int, Measured]
"""Number of a part, and its result."""


class StoppedError(Exception):
    """The work is to end now."""


def in_processes(parts: Sequence[tuple[int, Part]], jobs: int, show: Show) -> Iterator[Done]:
    """Measure parts in so many processes, or in this one if that is one.

    Args:
        parts: With their numbers.
        jobs: Processes, 1 or more.
        show: For the progress.

    Yields:
        Each result as soon as it is there.

    Raises:
        InputError: If a file is gone, or a process is ended by somebody else.
    """
    if jobs == 1 or len(parts) <= 1:
        for number, part in parts:
            yield number, measure(part, show)
        return
    context = multiprocessing.get_context("spawn")
    stop, read = context.Event(), context.Value("q", 0)
    pool = ProcessPoolExecutor(min(jobs, len(parts)), context, _begin, (stop, read))
    with _without_interrupt():
        waiting = {pool.submit(_measure, part): number for number, part in parts}
    try:
        yield from _results(waiting, _Counter(read, show))
    except BrokenProcessPool as error:
        raise InputError(
            "--jobs",
            "One of the processes was ended from outside, perhaps for want of memory. "
            "Fewer --jobs need less of it.",
        ) from error
    finally:
        stop.set()
        pool.shutdown(cancel_futures=True)


@contextmanager
def _without_interrupt() -> Iterator[None]:
    """Hold Ctrl-C back: processes that are started meanwhile never get it, not even at first."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


class _Counter:
    """Tells what was read since the last look."""

    def __init__(self, read: Any, show: Show) -> None:
        self._read, self._show, self._seen = read, show, 0

    def look(self) -> None:
        now = int(self._read.value)
        self._show(now - self._seen)
        self._seen = now


def _results(waiting: dict["Future[Measured]", int], counter: _Counter) -> Iterator[Done]:
    while waiting:
        done, _ = wait(waiting, LOOK, FIRST_COMPLETED)
        counter.look()
        for future in done:
            yield waiting.pop(future), future.result()


# In the processes

_own: dict[str, Any] = {}
"""What this process was given when it began: the event that stops it, and the bytes read by all."""


def _begin(stop: Event, read: Any) -> None:
    """Leave Ctrl-C to the process that everything began with, and end when that one does."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # for systems that cannot hold it back
    _own.update(stop=stop, read=read)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A parent that is killed cannot tell its processes so."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait_for_process([parent.sentinel])
        os._exit(1)


def _measure(part: Part) -> Measured:
    return measure(part, _tell)


def _tell(count: int) -> None:
    if _own["stop"].is_set():
        raise StoppedError
    with _own["read"].get_lock():
        _own["read"].value += count
