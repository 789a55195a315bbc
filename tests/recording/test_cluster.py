"""A cluster of two workers gives the same as one process, to the last bit."""

import gc
import warnings

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
def address():
    """Two workers, processes of their own."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what the library's own start-up warns of is not ours
        with distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
        ) as made:
            yield made.scheduler_address
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore"
        )  # sockets that it leaves open, which a later test would hear of
        gc.collect()


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::ResourceWarning")
def test_two_workers_give_the_same_bits_as_one_process(parts, address, tmp_path):
    alone, _ = measured(parts, None, 1, "")
    kept = Kept(tmp_path)
    shared, damage = measured(parts, kept, 1, address)
    assert shared.to_bytes() == alone.to_bytes()
    assert damage == {}
    assert len(list((tmp_path / "parts").glob("*.part"))) == len(parts)
    for path in list((tmp_path / "parts").glob("*.part"))[:3]:
        path.unlink()
    again, _ = measured(parts, kept, 1, address)  # half of it is known
    assert again.to_bytes() == alone.to_bytes()


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::ResourceWarning")
def test_a_worker_that_does_not_see_the_file_is_named_as_such(parts, address):
    from dataclasses import replace

    away = [replace(part, path="/nowhere/a.wav") for part in parts]
    with pytest.raises(InputError, match="Every worker has to see the files"):
        measured(away, None, 1, address)


def test_without_dask_it_says_what_to_install(monkeypatch):
    def missing(name):
        raise ImportError(name)

    monkeypatch.setattr(cluster, "import_module", missing)
    with pytest.raises(InputError, match=r"wetside\[cluster\]"):
        cluster.connect("tcp://127.0.0.1:1")
