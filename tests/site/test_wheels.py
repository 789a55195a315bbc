"""Where wheels for the browser come from: the hash decides, and a missing one says what to do."""

import hashlib
import subprocess

import pytest

from site_src import wheels
from site_src.wheels import FOLDER_NAMED_BY, Wheel, WheelMissing, get_wheel, wheel_of

RIGHT = b"the wheel"
FILE = "parts-1-py3-none-any.whl"


@pytest.fixture
def asked(monkeypatch, tmp_path):
    """Three sources that have nothing, an empty cache; lists which of them were asked."""
    found = []

    def nothing(name):
        def source(wheel):
            found.append(name)
            raise FileNotFoundError(f"not at {name}")

        return source

    monkeypatch.setattr(wheels, "CACHE", tmp_path / "cache")
    monkeypatch.setattr(
        wheels, "SOURCES", {name: nothing(name) for name in ("near", "far", "last")}
    )
    wanted = Wheel(FILE, hashlib.sha256(RIGHT).hexdigest(), "1.2.3")
    monkeypatch.setattr(wheels, "wheel_of", lambda package: wanted)
    return found


def give(monkeypatch, name, data):
    monkeypatch.setitem(wheels.SOURCES, name, lambda wheel: data)


def test_the_pinned_list_names_numpy_with_its_hash():
    """As the design has it."""
    wheel = wheel_of("numpy")

    assert wheel.file == "numpy-2.0.2-cp312-cp312-pyodide_2024_0_wasm32.whl"
    assert wheel.sha256 == "ebb61241d962b98b21597d7ce43b67668a6d5bab3acec4fbe958657320d7cd08"


def test_the_first_source_that_has_it_serves_and_is_asked_once(asked, monkeypatch):
    """Later builds take what was kept."""
    give(monkeypatch, "far", RIGHT)

    assert get_wheel("parts").read_bytes() == RIGHT
    assert get_wheel("parts").name == FILE
    assert asked == ["near"]


def test_a_file_with_another_hash_is_passed_over(asked, monkeypatch):
    """Whoever sends it, and in the cache too."""
    wheels.CACHE.mkdir()
    (wheels.CACHE / FILE).write_bytes(b"spoilt")
    give(monkeypatch, "near", b"something else")
    give(monkeypatch, "last", RIGHT)

    assert get_wheel("parts").read_bytes() == RIGHT
    assert asked == ["far"]


def test_where_nothing_has_it_the_message_says_what_to_fetch_and_where_to_put_it(
    asked, monkeypatch
):
    """Name, hash, release, what each source said, and the command."""
    give(monkeypatch, "far", b"something else")

    with pytest.raises(WheelMissing) as refused:
        get_wheel("parts")

    said = str(refused.value)
    for words in (FILE, hashlib.sha256(RIGHT).hexdigest(), "Pyodide 1.2.3", "not at near"):
        assert words in said
    assert "far: has a file of this name, but with another hash" in said
    assert f"make build {FOLDER_NAMED_BY}=folder" in said
    assert not wheels.CACHE.exists()


def test_a_folder_that_the_builder_names_serves(monkeypatch, tmp_path):
    """A build without a network."""
    (tmp_path / FILE).write_bytes(RIGHT)
    monkeypatch.setenv(FOLDER_NAMED_BY, str(tmp_path))
    monkeypatch.setattr(wheels, "CACHE", tmp_path / "cache")
    wanted = Wheel(FILE, hashlib.sha256(RIGHT).hexdigest(), "1.2.3")
    monkeypatch.setattr(wheels, "wheel_of", lambda package: wanted)

    assert get_wheel("parts").read_bytes() == RIGHT


def test_what_pip_said_is_passed_on_in_one_line():
    """The last line of an error is the one that says it."""
    error = subprocess.CalledProcessError(1, "pip", stderr="warning\nERROR: no network\n")

    assert wheels.said(error) == "ERROR: no network"
    assert wheels.said(subprocess.CalledProcessError(3, "pip")) == "pip ended with 3"
