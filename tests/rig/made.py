"""A rig made from the declarations: every entry at the default of the first input it is for.

Defaults of one calculator need not go with those of another: ``GO_TOGETHER`` says what is stated
instead.
"""

from hypothesis import strategies as st

from calculators.declare import Number
from calculators.evaluate import default, read_tolerance
from calculators.rig.model import Rig, Stated
from calculators.rig.schema import ENTRIES, Entry

GO_TOGETHER = {"plan.hydrophone_depth": Stated(3.0)}
"""Above the bottom."""


def stated(entry: Entry) -> Stated:
    """What the handbook's own forms say of an entry."""
    item = entry.item
    if not isinstance(item, Number):
        return Stated(default(item))
    value = item.default_si
    return Stated(value, read_tolerance(item, item.name, item.tolerance, value, "metric", "form"))


def whole_rig() -> Rig:
    """All that no calculator gives is stated, once in each kind of row."""
    entries = [entry for entry in ENTRIES.values() if entry.gives is None]
    made = {e.key(1): stated(e) for e in entries}
    return Rig("Made from the declarations", made | GO_TOGETHER)


def parts_of_it() -> st.SearchStrategy[Rig]:
    """The whole rig with some of its entries missing."""
    whole = whole_rig()
    keys = st.sets(st.sampled_from(sorted(whole.stated)), min_size=1, max_size=40)
    return keys.map(
        lambda gone: Rig("Parts", {k: v for k, v in whole.stated.items() if k not in gone})
    )
