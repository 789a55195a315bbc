"""Potentials of metals in flowing sea water."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(
        name="potential",
        label="Potential",
        unit="V",
        help="against a saturated calomel electrode, in flowing sea water; the range as spread",
    ),
)


def _row(name: str, label: str, text: str, entry: str) -> Row:
    """The middle and half the width of a printed range."""
    cell = Cell(text=text, source="sea-water-potentials", where=entry)
    return Row(name=name, label=label, cells={"potential": cell})


GALVANIC = Table(
    id="galvanic",
    title="Metals in sea water, the one that suffers first",
    columns=_COLUMNS,
    rows=(
        _row("magnesium", "Magnesium", "-1.615 V ± 0.015 V", "magnesium"),
        _row("zinc", "Zinc", "-1.005 V ± 0.025 V", "zinc"),
        _row("aluminium", "Aluminium alloys", "-0.88 V ± 0.12 V", "aluminium alloys"),
        _row("mild-steel", "Mild steel, cast iron", "-0.66 V ± 0.06 V", "mild steel"),
        _row(
            "stainless-304-active",
            "Stainless 1.4301, in a crevice",
            "-0.51 V ± 0.07 V",
            "types 302 to 347 (active)",
        ),
        _row(
            "stainless-316-active",
            "Stainless 1.4401, in a crevice",
            "-0.395 V ± 0.065 V",
            "types 316, 317 (active)",
        ),
        _row("brass", "Brass", "-0.355 V ± 0.045 V", "naval, yellow and red brass"),
        _row("copper", "Copper", "-0.335 V ± 0.035 V", "copper"),
        _row("tin", "Tin", "-0.315 V ± 0.015 V", "tin"),
        _row("solder", "Solder, tin and lead", "-0.315 V ± 0.045 V", "Pb-Sn solder (50/50)"),
        _row("nickel", "Nickel", "-0.15 V ± 0.05 V", "nickel 200"),
        _row("silver", "Silver", "-0.125 V ± 0.025 V", "silver"),
        _row(
            "stainless-304-passive",
            "Stainless 1.4301, bright",
            "-0.07 V ± 0.03 V",
            "types 302 to 347 (passive)",
        ),
        _row(
            "stainless-316-passive",
            "Stainless 1.4401, bright",
            "-0.05 V ± 0.05 V",
            "types 316, 317 (passive)",
        ),
        Row(
            name="titanium",
            label="Titanium",
            cells={"potential": Cell(text="0 V ± 0.06 V", source="from memory")},
        ),
        _row("graphite", "Graphite, carbon fibre", "0.25 V ± 0.05 V", "graphite"),
    ),
    note="The further apart two metals stand, the harder the upper one is driven. How fast it "
    "goes is not in the table: that is decided by areas, oxygen and flow.",
)
