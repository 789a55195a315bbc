"""Can every word in a picture be read, also where a form is at the end of its range?"""

import pytest

FAULTS = """
() => [...document.querySelectorAll("section.calc .plot-box svg.curve")].flatMap((picture) => {
  const frame = picture.getBoundingClientRect();
  const words = [...picture.querySelectorAll("text")]
    .map((text) => [text.textContent, text.getBoundingClientRect()]);
  const cut = words.filter(([, r]) => r.left < frame.left - 1 || r.right > frame.right + 1);
  const common = (a, b, from, to) => Math.min(a[to], b[to]) - Math.max(a[from], b[from]);
  const touching = words.flatMap(([a, r], i) =>
    words.slice(i + 1)
      .filter(([, s]) => common(r, s, "left", "right") > 2 && common(r, s, "top", "bottom") > 5)
      .map(([b]) => `${a} / ${b}`));
  return [...cut.map(([word]) => word), ...touching];
})
"""

PLACES = [
    ("sound-absorption", {}),  # an axis that goes down to a hundred thousandth
    ("sound-speed", {"depth": "0"}),  # a level at the edge where the axis has its name
    ("surface-echo", {"frequency": "1"}),  # marks where a level has its label
    ("surface-echo", {"frequency": "500 kHz"}),  # a label with too little room on either side
    ("leak-budget", {}),
    ("cable-seal", {"design_factor": "50"}),  # two levels near each other
]


@pytest.mark.parametrize(("calculator", "typed"), PLACES)
def test_no_label_of_a_plot_is_cut_off_or_lies_on_another(walker, calculator, typed):
    """On a phone, where there is least room."""
    walker.visit(calculator)
    for name, text in typed.items():
        walker.type(name, text)
    assert walker.page.evaluate(FAULTS) == []


def test_an_answer_near_nothing_does_not_widen_the_page(walker):
    """The waves of a small lake reach no bottom 200 m down: once 76 zeros told so."""
    walker.visit("mooring-load")
    walker.type("water_depth", "200")
    assert "·10⁻" in walker.one(".outputs").inner_text()
    assert walker.page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
