"""Are examples what they say, and is a faulty one named?"""

import pytest

from site_src.examples import BadExample, load, work

GOOD = """
[bench]
calculator = "corner-frequency"
title = "On the bench"
page = "examples/bench.md"
story = "A story."
[bench.inputs]
bias_resistance = "4.7 MΩ ± 1 %"
element_capacitance = "8.2 nF"
"""


def loaded(tmp_path, text):
    file = tmp_path / "examples.toml"
    file.write_text(text, encoding="utf-8")
    return load(tmp_path)


def test_values_and_tolerances_are_the_examples_own(tmp_path):
    """As the form will show them; a value without ± is exact."""
    worked = loaded(tmp_path, GOOD)["bench"].worked

    assert worked.fields["bias_resistance"] == "4.7"
    assert worked.tolerances["bias_resistance"].split() == ["±1", "%"]
    assert worked.fields["element_capacitance"] == "8.2"
    assert not worked.tolerances.get("element_capacitance")


def test_inputs_not_named_take_the_cards_defaults():
    """With the card's own tolerance."""
    worked = work("corner-frequency", {"element_capacitance": "8.2 nF"})
    declared = {i["name"]: i for i in worked.decl["inputs"]}["bias_resistance"]

    assert worked.fields["bias_resistance"] == declared["metric"]["default_text"]


def test_further_rows_start_with_the_rows_defaults():
    """Naming one input of a second load brings the whole second row."""
    worked = work("runtime", {"load_current_2": "30 mA"})

    assert worked.fields["load_current_2"] == "30"
    assert worked.fields["load_duty_2"] == worked.fields["load_duty"]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('"corner-frequency"', '"corner"'), "“corner” is not a calculator"),
        (('story = "A story."', ""), "story is missing"),
        (("4.7 MΩ", "4.7 nF"), "Bias resistor"),
        (("bias_resistance", "bias"), "bias"),
    ],
)
def test_a_faulty_example_is_named_with_its_fault(tmp_path, change, message):
    """The build shows the core's own refusal."""
    with pytest.raises(BadExample, match=f"example “bench”: .*{message}"):
        loaded(tmp_path, GOOD.replace(*change))


def test_every_faulty_example_is_named_at_once(tmp_path):
    """So that one build finds them all."""
    both = GOOD.replace("corner-frequency", "corner")
    both += both.replace("bench", "boat")

    with pytest.raises(BadExample, match=r"(?s)“bench”.*“boat”"):
        loaded(tmp_path, both)
