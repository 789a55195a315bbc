"""The built site, and small sites made to be faulty."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.built import Built, built_site


@pytest.fixture(scope="session")
def built() -> Built:
    """The handbook, built and served."""
    return built_site()


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
