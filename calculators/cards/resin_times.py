"""Calculator of the times of a resin: what is left of the pot life, and when it has cured."""

from calculators.cards.potting import RESIN_CAUTION
from calculators.cards.resin import POURS
from calculators.declare import Calculator, Number, Output, Verdict
from calculators.formulas import resin

MOST_OF_POT_LIFE = 0.5
"""What has not been poured by then is too thick to let its air out: docs/build/potting.md."""


def _resin_times(
    pours: float,
    pot_life: float,
    handling_time: float,
    next_pour: float,
    full_cure: float,
    seal_cure: float,
) -> dict[str, float]:
    cured = resin.cured_after(pours=pours, next_pour=next_pour, full_cure=full_cure)
    return {
        "cured_after": cured,
        "pot_life_used": resin.pot_life_used(handling_time=handling_time, pot_life=pot_life),
        "wet_after": max(cured, seal_cure),
    }


RESIN_TIMES = Calculator(
    id="resin-times",
    title="Working time and cure",
    question="Is there time enough to pour, and when may it get wet?",
    stage="build",
    inputs=(
        POURS,
        Number(
            name="pot_life",
            label="Pot life",
            unit="min",
            default="25 min",
            low="1 min",
            high="1 d",
            why="a quick glue to the slowest casting resin",
            hint="from the maker's sheet; a larger mass or a warmer room has less",
            rig="potting.pot_life",
        ),
        Number(
            name="handling_time",
            label="From the first drop of B to the end of a pour",
            unit="min",
            default="8 min",
            low="0 min",
            high="1 d",
            why="poured at once, to the longest pot life",
            hint="stirring, degassing, pouring; timed in a trial with water",
            rig="potting.handling_time",
        ),
        Number(
            name="next_pour",
            label="From one pour to the next",
            unit="h",
            default="4 h",
            low="0 h",
            high="30 d",
            why="wet in wet, to a resin that has to be sanded first",
            hint="gelled and back at room temperature, but within the recoat time of its sheet",
            rig="potting.next_pour",
        ),
        Number(
            name="full_cure",
            label="Full cure",
            unit="d",
            default="6 d",
            low="10 min",
            high="100 d",
            why="warm and quick, to a silicone that waits for damp",
            hint="from the maker's sheet, for the temperature of your bench; colder takes longer",
            rig="potting.full_cure",
        ),
        Number(
            name="seal_cure",
            label="Full cure of the resin around the cable",
            unit="d",
            default="5 d",
            low="10 min",
            high="100 d",
            why="as for the potting",
            hint="where the cable goes through the wall, poured on the same day",
            rig="seals.cable_full_cure",
        ),
    ),
    outputs=(
        Output(
            name="wet_after",
            label="First soak, at the earliest",
            unit="d",
            help="after the first pour, and after the cable's seal",
        ),
        Output(
            name="cured_after",
            label="Last pour cured",
            unit="d",
            help="after the first; until then no load, no cold, no water",
        ),
        Output(
            name="pot_life_used",
            label="Part of the pot life that a pour takes",
            unit="%",
            digits=2,
            help="beyond half of it the mix is thick, and keeps its bubbles",
            verdict=Verdict(
                better="below",
                limit=MOST_OF_POT_LIFE,
                met="no more than half of it",
                missed="more than half of it: a smaller mix, a cooler one, or a slower hardener",
                unsure="about half of it",
                source="common practice",
                missed_level="care",
            ),
        ),
    ),
    compute=_resin_times,
    cautions=(RESIN_CAUTION,),
)
