"""The depths of a rig: water, case, hydrophone, and what lid and tube bear."""

from dataclasses import dataclass

from calculators.rig.facts import Fact, Facts, Unknown

MOORING, SPEED, LID, TUBE, CABLE, LEAK = (
    "mooring-load", "sound-speed", "lid-under-pressure", "tube-under-pressure", "cable-seal",
    "leak-budget",
)  # fmt: skip

DEEPER = 2.0
"""A depth limit beyond so many times the depth of the water is named, not drawn."""

BELOW = 1.12
"""How far below the lowest thing the section goes."""


@dataclass(frozen=True)
class Limit:
    """A depth that a part bears, with its range; m."""

    name: str
    depth: float
    low: float
    high: float


@dataclass(frozen=True)
class Place:
    """Depths of the section, m below the highest water; None for what is not stated."""

    case: float
    hydrophone: float | None
    bottom: float | None
    tide: float
    limits: list[Limit]

    @property
    def water(self) -> float:
        """How deep the water is drawn."""
        return self.bottom if self.bottom is not None else BELOW * self.case

    @property
    def deepest(self) -> float:
        """Lowest depth of the section."""
        lowest = max(self.case, self.water, self.hydrophone or 0.0)
        reach = DEEPER * lowest
        return BELOW * max([lowest, *(x.depth for x in self.limits if x.depth <= reach)])


def find_place(facts: Facts) -> tuple[Place | None, list[str]]:
    """The depths that are stated, None without that of the case, and what is not known."""
    case = _case_depth(facts)
    if case is None or case.number <= 0:
        return None, ["Section: the depth of the rig is not stated"]
    bottom, tide, of_water = _bottom(facts)
    limits, of_limits = _limits(facts)
    hydrophone = _stated(facts.fact(SPEED, "depth"))
    depth = hydrophone.number if hydrophone else None
    return Place(case.number, depth, bottom, tide, limits), [*of_water, *of_limits]


def _stated(fact: Fact | None) -> Fact | None:
    """A fact, if it is more than a convention."""
    return fact if fact and not fact.usual else None


def _case_depth(facts: Facts) -> Fact | None:
    """The depth of the case, as whichever calculator asks for it has it."""
    found = (facts.fact(card, "depth") for card in (LID, TUBE, LEAK, CABLE))
    return next((fact for fact in found if fact and not fact.usual), None)


def _bottom(facts: Facts) -> tuple[float | None, float, list[str]]:
    """Depth of the bottom at the highest water, the tide, and what is not stated of them."""
    depth, tide = facts.fact(MOORING, "water_depth"), facts.fact(MOORING, "tide_range")
    depth = depth or facts.fact(SPEED, "water_depth")
    if depth is None or depth.usual:
        return None, 0.0, ["Bottom: the depth of the water is not stated"]
    if tide is None or tide.usual:
        return depth.number, 0.0, ["Tide: not stated"]
    return depth.number + tide.number, tide.number, []


def _limits(facts: Facts) -> tuple[list[Limit], list[str]]:
    """Depth limits of lid and tube, and those that are not known."""
    limits, left_out = [], []
    for name, card in (("lid", LID), ("tube", TUBE)):
        found = facts.find(card, "depth_limit")
        if isinstance(found, Fact):
            limits.append(Limit(name, found.number, *found.ends))
        elif isinstance(found, Unknown):
            left_out.append(f"Depth limit of the {name}: {found.why}")
    return limits, left_out
