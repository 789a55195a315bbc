"""Share links: what they carry, and what nobody can smuggle in with one."""

import json

import pytest

from calculators import EDITION, links
from calculators.bridge import call
from calculators.cards.front_end import CORNER_FREQUENCY
from calculators.declare import Change, Number, row_key, row_of
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.links import edition_notice, make_link, parse_link
from calculators.registry import CALCULATORS
from calculators.units import read_tolerance


def good_link(**changes: str) -> str:
    """The default link with some of its parts replaced or taken out (empty text)."""
    values = defaults(CORNER_FREQUENCY)
    head, body = make_link(
        CORNER_FREQUENCY, Given(values), evaluate(CORNER_FREQUENCY, values)
    ).split("?")
    parts = dict(part.split("=") for part in body.split("&")) | changes
    return head + "?" + "&".join(f"{k}={v}" for k, v in parts.items() if v)


def opened(link: str) -> dict:
    """What the page gets for a link."""
    return json.loads(call(json.dumps({"op": "open_link", "hash": link})))


def test_a_link_is_readable_and_states_every_unit():
    """The form of the design: version, edition, then every input with its unit."""
    assert good_link().startswith(f"#corner-frequency?v=1&edition={EDITION}&gave=")
    assert "&element_capacitance=8.2nF&" in good_link()
    assert "&bias_resistance=4.7Mohm&" in good_link()


def test_a_link_of_this_edition_says_nothing():
    """No notice where nothing has changed."""
    assert opened(good_link())["notice"] is None


def test_a_link_of_an_older_edition_with_another_answer_shows_both():
    """A made older edition whose formula gave twice the frequency."""
    notice = opened(good_link(edition="2025.3", gave="9.99Hz"))["notice"]
    assert "2025.3" in notice["text"]
    assert notice["then"] == "9.99\u00a0Hz"
    assert notice["now"] != notice["then"]


def test_a_link_of_an_older_edition_with_the_same_answer_says_so():
    """An older edition is named even if its answer stands."""
    notice = opened(good_link(edition="2025.3"))["notice"]
    assert "has not changed" in notice["text"]
    assert notice["then"] is None


def test_a_declared_change_is_told_with_its_words(monkeypatch):
    """Changes are declared on the card, by the edition that brought them."""
    changed = CORNER_FREQUENCY.__class__(
        **{
            **{f: getattr(CORNER_FREQUENCY, f) for f in CORNER_FREQUENCY.__dataclass_fields__},
            "changes": (Change(edition="2026.2", text="Both corners now count together."),),
        }
    )
    monkeypatch.setattr(links, "calculator", lambda name: changed)
    link = parse_link(good_link(edition="2026.1"))
    notice = edition_notice(link, evaluate(changed, defaults(changed)), "metric")
    assert "Both corners now count together." in notice.text
    later = parse_link(good_link(edition="2026.3"))
    assert (
        "Both corners"
        not in edition_notice(later, evaluate(changed, defaults(changed)), "metric").text
    )


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "__import__('os').system('id')",
        "1e400Hz",
        "NaN",
        "9" * 500,
        "8.2kg",
        "8.2",
        "%3Cimg%20src=x%3E",
        "\u202e8.2nF",
        "-4.7nF",
    ],
)
def test_a_hostile_or_wrong_value_is_an_error_at_its_field(text):
    """Scripts, code, huge numbers, NaN, a wrong or missing unit: refused by name, shown as text."""
    reply = opened(good_link(element_capacitance=text))
    assert reply["ok"]
    assert [e["name"] for e in reply["errors"]] == ["element_capacitance"]
    assert reply["fields"]["element_capacitance"] == text


def test_a_missing_input_is_an_error_not_a_default():
    """A changed default must not silently change an old link."""
    reply = opened(good_link(bias_resistance=""))
    assert [e["name"] for e in reply["errors"]] == ["bias_resistance"]
    assert reply["fields"]["bias_resistance"] == ""


@pytest.mark.parametrize(
    ("link", "message"),
    [
        ("#corner-frequency?v=2&x=1", "newer edition"),
        ("#corner-frequency?x=1", "does not start with its format"),
        ("#no-such-thing?v=1", "is not a calculator"),
        ("#corner-frequency?" + "v=1&" * 200, "does not start with its format"),
        ("#corner-frequency?v=1&a=" + "9" * 5000, "longer than"),
    ],
)
def test_what_is_not_our_link_is_refused_whole(link, message):
    """Bounds on length and parts, and the format version first."""
    reply = opened(link)
    assert not reply["ok"]
    assert message in reply["errors"][0]["message"]


def test_an_unknown_name_in_a_link_is_told():
    """Names are never reused, so an unknown one is an error, not noise."""
    reply = opened(good_link() + "&colour=red")
    assert [e["name"] for e in reply["errors"]] == ["colour"]


def test_rows_beyond_the_most_are_refused():
    """A link cannot call for a thousand rows."""
    reply = opened("#runtime?v=1&load_current_999=1mA")
    assert any(e["name"] == "load_current_999" for e in reply["errors"])


def test_a_link_that_is_no_text_of_ours_raises_only_our_error():
    """The parser's one exception."""
    with pytest.raises(InputError):
        parse_link("#")


def test_the_longest_form_still_fits_a_link():
    """Every row of every group, with tolerances: under 2,000 characters."""
    for card in CALCULATORS.values():
        last_rows = [
            row_key(next(i.name for i in card.inputs if i.group == g.name), g.most)
            for g in card.groups
        ]
        values = defaults(card, last_rows)
        shape = card.shape(values)
        for key, item in shape.inputs.items():
            if isinstance(item, Number) and item.refers_to:
                rows = shape.rows[item.refers_to]
                values[key] = float(min(row_of(key, item.name), rows))
        tolerances = {
            key: read_tolerance(item.tolerance, item.unit, name=key)
            for key, item in shape.inputs.items()
            if isinstance(item, Number) and item.tolerance
        }
        link = make_link(card, Given(values, tolerances), evaluate(card, values))
        assert len(link) < 1_900
        assert opened(link)["errors"] == []
