"""The build sheet: the steps of the work in order, each with this rig's numbers and its proof."""

from collections.abc import Iterator

from calculators.rig.build_steps import PLANS
from calculators.rig.facts import Facts
from calculators.rig.hazards import LAST_WORD
from calculators.rig.sheet import Sheet, Step, cautions, code, collect


def build_sheet(facts: Facts, system: str, link: str = "") -> Sheet:
    """The steps of this rig, each with what it needs and what proves it; ``link`` opens the rig."""
    return Sheet(
        "build",
        "Build sheet",
        facts.rig.name,
        f"Do not go on before a step is proved. {LAST_WORD}",
        (*_steps(facts, system), code(link, facts.rig.name)),
    )


def _steps(facts: Facts, system: str) -> Iterator[Step]:
    """A step that asks nothing of this rig is none of its steps."""
    for plan in PLANS:
        found = collect(facts, plan.asked, system)
        proof = collect(facts, plan.proof, system)
        unknown = tuple(dict.fromkeys((*found.unknown, *proof.unknown)))
        if not (found.values or proof.values or unknown):
            continue
        held = (*plan.hazards, *cautions(facts, plan.cards))
        yield Step(
            plan.title,
            plan.page,
            tuple({hazard.title: hazard for hazard in held}.values()),
            plan.todo,
            found.values,
            plan.tests,
            proof.values,
            unknown,
        )
