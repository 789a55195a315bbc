"""Published sound levels of fresh water, each with the band it was added up in."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(
        name="fresh_level",
        label="Sound pressure level in the band",
        unit="dB re 1 µPa",
        help="rms, as published",
    ),
    Column(name="fresh_low", label="Band from", unit="Hz"),
    Column(name="fresh_high", label="… to", unit="kHz"),
)

_LAKES = "putland-mensinger2020"
_LAKES_WHERE = "abstract: median of fifteen small lakes, hydrophone 2 m deep, 100 Hz to 12 kHz"
_BAY = "martin-cott2016"
_BAY_BAND = "no band is given for the level: these are the ends of the bands the abstract names"


def _lake(text: str, season: str) -> dict[str, Cell]:
    return {
        "fresh_level": Cell(text=text, source=_LAKES, where=_LAKES_WHERE, note=season),
        "fresh_low": Cell(text="100 Hz", source=_LAKES, where=_LAKES_WHERE),
        "fresh_high": Cell(text="12 kHz", source=_LAKES, where=_LAKES_WHERE),
    }


def _bay(text: str, when: str) -> dict[str, Cell]:
    return {
        "fresh_level": Cell(text=text, source=_BAY, where="abstract", note=when),
        "fresh_low": Cell(text="10 Hz", source=_BAY, where="abstract", note=_BAY_BAND),
        "fresh_high": Cell(text="8 kHz", source=_BAY, where="abstract", note=_BAY_BAND),
    }


FRESH_WATER = Table(
    id="fresh-water-noise",
    title="Published levels of fresh water",
    columns=_COLUMNS,
    rows=(
        Row(
            name="small-lake-summer",
            label="Small lakes, Minnesota, summer",
            cells=_lake("66.7 dB re 1 µPa", "on representative days"),
        ),
        Row(
            name="small-lake-ice",
            label="Small lakes, Minnesota, under closed ice",
            cells=_lake(
                "57.2 dB re 1 µPa",
                "a mean of 16 dB re 1 µPa²/Hz: below the noise of most chains, perhaps of that one",
            ),
        ),
        Row(
            name="large-lake-ice",
            label="Bay of a large lake under ice, near an ice road, December and January",
            cells=_bay("90.3 dB re 1 µPa", "median of minutes without fish calls"),
        ),
        Row(
            name="large-lake-ice-night",
            label="The same at night",
            cells=_bay("88 dB re 1 µPa", "nightly mean"),
        ),
        Row(
            name="large-lake-ice-afternoon",
            label="The same in the late afternoon, with traffic on the ice",
            cells=_bay("96 dB re 1 µPa", "mean level at the busiest time"),
        ),
        Row(
            name="pond",
            label="Pond, northern Iran, mean of three places on three days",
            cells={
                "fresh_level": Cell(
                    text="97.25 dB re 1 µPa ± 1.11 dB re 1 µPa",
                    source="sowmeh-sara-pond",
                    where="abstract",
                    note="the abstract gives no band, so no density can be found from it",
                ),
            },
        ),
    ),
    note="They differ by 40 dB. Part of it is the waters, part the bands, what was left out, and "
    "the noise of the instruments. Measure your own water and type it in.",
)
