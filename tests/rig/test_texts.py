"""Does a text that is changed without being read say what a reading of it says?"""

from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.rig.files import edit_rig, read_rig, write_rig
from calculators.rig.model import entry_text
from calculators.rig.texts import RigText, read_text
from tests.rig.drawn import rigs, statements

QUICK = settings(max_examples=40, deadline=None)


@QUICK
@given(rigs(), st.lists(statements(), min_size=1, max_size=4))
def test_changes_give_the_text_and_the_rig_that_reading_and_editing_give(rig, changes):
    """Also after several: every value is still found in its place."""
    text = read_text(write_rig(rig))
    for key, stated in changes:
        wanted = edit_rig(text.toml, key, entry_text(key, stated))
        text = text.changed(key, stated)
        assert text.toml == wanted
        assert text.rig == read_rig(wanted)
        assert text.spans == RigText(wanted, text.rig).spans


def test_an_entry_that_goes_is_taken_out_and_one_in_a_table_of_one_line_is_changed():
    """Where a value cannot be changed in its place, the slower way is taken."""
    text = read_text('format = 1\nname = "Mine"\nplan = { depth = "4 m" }\n')
    assert text.spans == {"name": (18, 24)}
    deeper = read_text(edit_rig(text.toml, "plan.depth", "5 m"))
    assert text.changed("plan.depth", deeper.rig.stated["plan.depth"]).rig == deeper.rig
    assert text.changed("plan.depth", None).rig.stated == {}
