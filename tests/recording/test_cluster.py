"""A cluster of two workers gives the same as one process, to the last bit."""

from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from typing import Any

import numpy as np
import pytest

from calculators.errors import InputError
from calculators.recording import cluster, work
from calculators.recording.checking import measured
from calculators.recording.deployment import deployment_of
from calculators.recording.kept import Kept
from calculators.recording.settings import Settings
from calculators.recording.source import FileSource
from tests.recording.test_report import write_wave

distributed = pytest.importorskip("distributed")


@pytest.fixture(scope="module")
def parts(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cluster")
    random = np.random.default_rng(8)
    paths = [folder / f"REC_20260508_21{n:02d}00.wav" for n in range(3)]
    for path in paths:
        write_wave(path, random.normal(0, 0.1, (2, 48000)))
    deployment = deployment_of([FileSource(path) for path in paths])
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(work, "PART_BYTES", 100_000)
        found = work.parts_of(deployment, paths, Settings())
    assert len(found) == 6
    return found


@pytest.fixture(scope="module")
def apart():
    """A process of its own for the cluster and its client, which leave sockets open when they end:
    within this one, any later test that collects garbage would be blamed for them."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as process:
        yield process
        process.submit(close_cluster).result()


@pytest.fixture(scope="module")
def address(apart):
    """Two workers, processes of their own."""
    return apart.submit(open_cluster).result()


clusters: list[Any] = []
"""Open ones; of the process apart."""


def open_cluster() -> str:
    """Start one; gives the address of its scheduler."""
    clusters.append(
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        )
    )
    return str(clusters[0].scheduler_address)


def close_cluster() -> None:
    """End what ``open_cluster`` has started."""
    while clusters:
        clusters.pop().close()


def test_two_workers_give_the_same_bits_as_one_process(parts, apart, address, tmp_path):
    alone, _ = measured(parts, None, 1, "")
    kept = Kept(tmp_path)
    shared, damage = apart.submit(measured, parts, kept, 1, address).result()
    assert shared.to_bytes() == alone.to_bytes()
    assert damage == {}
    assert len(list((tmp_path / "parts").glob("*.part"))) == len(parts)
    for path in list((tmp_path / "parts").glob("*.part"))[:3]:
        path.unlink()
    again, _ = apart.submit(measured, parts, kept, 1, address).result()  # half of it is known
    assert again.to_bytes() == alone.to_bytes()


def test_a_worker_that_does_not_see_the_file_is_named_as_such(parts, apart, address):
    away = [replace(part, path="/nowhere/a.wav") for part in parts]
    with pytest.raises(InputError, match="Every worker has to see the files"):
        apart.submit(measured, away, None, 1, address).result()


def test_without_dask_it_says_what_to_install(monkeypatch):
    def missing(name):
        raise ImportError(name)

    monkeypatch.setattr(cluster, "import_module", missing)
    with pytest.raises(InputError, match=r"wetside\[cluster\]"):
        cluster.connect("tcp://127.0.0.1:1")
