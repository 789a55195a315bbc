"""The rigs of the five deployments, as they ship."""

from functools import cache
from pathlib import Path

from calculators.rig.files import read_rig
from calculators.rig.graph import Evaluated, evaluate_rig
from calculators.rig.model import Rig

FOLDER = Path(__file__).parents[2] / "docs" / "rigs"

NAMES = sorted(path.stem for path in FOLDER.glob("*.toml"))


@cache
def scenario(name: str) -> Rig:
    """One of the rigs, read once."""
    return read_rig((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


@cache
def evaluated(name: str) -> Evaluated:
    """What follows from it, worked out once."""
    return evaluate_rig(scenario(name))
