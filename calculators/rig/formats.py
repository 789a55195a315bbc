"""What entries were called in older formats of a rig's file and of its link.

Both say their format. A later one is refused; an older one is brought forward by ``RENAMED``.
"""

from itertools import chain

from calculators.rig.places import Names

FORMAT = 1
"""Of what a rig's file and its link hold."""

RENAMED: dict[int, dict[str, str]] = {}
"""By format: the paths of entries that the next one calls otherwise. A name is never reused."""


def key_of(path: Names) -> str:
    """A path of a text as a key of a rig."""
    return ".".join(map(str, path))


def renamed(path: str, form: int) -> str:
    """What the entry that format ``form`` calls so is called now."""
    for step in range(form, FORMAT):
        path = RENAMED.get(step, {}).get(path, path)
    return path


def path_and_key(names: Names, form: int) -> tuple[str, str]:
    """The path of an entry and its key, both as they are called now."""
    path = renamed(".".join(name for name in names if isinstance(name, str)), form)
    row = next((name for name in names if isinstance(name, int)), None)
    around, _, name = path.rpartition(".")
    return path, path if row is None else f"{around}.{row}.{name}"


def was_known(path: str, form: int) -> bool:
    """Whether ``path`` is of a section or row that entries had in format ``form`` or since."""
    old = chain.from_iterable(RENAMED.get(step, {}) for step in range(form, FORMAT))
    return any(name.startswith(f"{path}.") for name in old)
