"""Parts measured by a Dask cluster, on this machine or on many that see the same folder.

The same function as in processes of our own runs there, and results are merged where they lie, in
the same tree, so the outcome is the same to the last bit.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from importlib import import_module
from typing import Any

from calculators.errors import InputError
from calculators.recording.errors import RecordingError
from calculators.recording.tree import levels
from calculators.recording.work import Measured, Part, measure

CONNECT = 10
"""Seconds to wait for a scheduler."""


def connect(address: str) -> Any:
    """A client of the scheduler at an address, such as ``tcp://192.0.2.1:8786``.

    Raises:
        InputError: If dask is not installed, or nobody answers there.
    """
    try:
        distributed = import_module("distributed")
    except ImportError as error:
        raise InputError(
            "--dask", 'A cluster needs dask: python -m pip install "wetside[cluster]".'
        ) from error
    try:
        return distributed.Client(address, timeout=CONNECT)
    except (OSError, ValueError) as error:
        raise InputError("--dask", f"No scheduler answers at {address}: {error}.") from error


def on_cluster(
    client: Any,
    parts: Sequence[Part],
    known: Mapping[int, Measured],
    done: Callable[[int, Measured], None],
) -> Measured:
    """Measure parts by the workers of a client, and merge them there.

    Args:
        client: Of ``distributed``.
        parts: All of the deployment, in order.
        known: Results that are there already, by number.
        done: Called with each result as it comes, to keep it and to show the progress.

    Raises:
        RecordingError: If a worker does not see a file.
    """
    leaves = [
        client.scatter(known[number], hash=False)
        if number in known
        else client.submit(measure, part, pure=False)
        for number, part in enumerate(parts)
    ]
    merged = _merged(client, leaves)
    numbers = {leaf.key: number for number, leaf in enumerate(leaves) if number not in known}
    try:
        for number, result in _as_they_come(leaves, numbers):
            done(number, result)
        found: Measured = merged.result()
    except RecordingError as error:
        raise RecordingError(
            error.file, f"{error.why} Every worker has to see the files under the same path."
        ) from error
    finally:
        client.cancel([*leaves, merged])
    return found


def _merged(client: Any, results: list[Any]) -> Any:
    """One future of all of them, in the shape of ``Tree``."""
    for pairs in levels(len(results)):
        above = [
            client.submit(Measured.merge, results[a], results[b], pure=False) for a, b in pairs
        ]
        results = above + results[2 * len(pairs) :]
    return results[0]


def _as_they_come(leaves: list[Any], numbers: dict[Any, int]) -> Iterator[tuple[int, Measured]]:
    distributed = import_module("distributed")
    waited = [leaf for leaf in leaves if leaf.key in numbers]
    for future, result in distributed.as_completed(waited, with_results=True):
        yield numbers[future.key], result
