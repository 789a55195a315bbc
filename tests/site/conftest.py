"""The built site, and small sites made to be faulty."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.built import Built, built_site, serve


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the tests that need the built site, or make anew a part that its build makes.

    ``make test`` runs them when the site is there.
    """
    for item in items:
        if {"built", "runtime"} & set(getattr(item, "fixturenames", ())):
            item.add_marker("site")


@pytest.fixture(scope="session")
def built() -> Built:
    """The handbook, built."""
    return built_site()


@pytest.fixture(scope="session")
def address(built: Built) -> str:
    """Where the handbook is served: not where it was built for, which the browser's tests use."""
    return serve(built.folder).address


@pytest.fixture
def small_site(tmp_path: Path) -> Callable[..., Path]:
    """Writes the given files (path=content) and returns their folder."""

    def write(files: dict[str, str]) -> Path:
        for name, content in files.items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")
        return tmp_path

    return write
