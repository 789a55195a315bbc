"""Report and tables: numbers as scipy and closed forms have them, and nothing is hidden."""

import csv
import io
import json
import re
import wave
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from scipy import signal

from calculators.recording.calibration import Calibration, calibration_from_sensitivity
from calculators.recording.checking import judged, measured
from calculators.recording.deployment import deployment_of
from calculators.recording.findings import Span, finding
from calculators.recording.report import place_words, report_html
from calculators.recording.report_data import report_json
from calculators.recording.settings import Settings
from calculators.recording.shown import Shown
from calculators.recording.source import FileSource
from calculators.recording.tables import TABLES, level_rows
from calculators.recording.verdict import verdict
from calculators.recording.work import parts_of
from tests.recording.made_summary import long_summary

RATE = 24000
SECONDS = 5
FULL_SCALE = 163.0


def write_wave(path, samples, rate=RATE):
    """Samples of ±1 (channels, frames) as 16-bit whole numbers; gives back what was written."""
    whole = np.round(samples * 32767).astype("<i2")
    with wave.open(str(path), "wb") as file:
        file.setnchannels(len(whole))
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(whole.T.tobytes())
    return whole / 32768


def check_files(paths, calibration=None, expected=None):
    """The whole way from files to what is shown, in this process."""
    deployment = deployment_of([FileSource(path) for path in paths])
    partial, damage = measured(parts_of(deployment, list(paths), Settings()), None, 1, "")
    return judged(
        deployment.with_damage(damage), partial, calibration or Calibration(), expected, "Made"
    )


@pytest.fixture(scope="module")
def samples():
    """Left noise, right a sine that fills the scale, at a frequency between two lines."""
    noise = np.random.default_rng(11).normal(0, 0.05, RATE * SECONDS)
    return np.stack([noise, np.sin(2 * np.pi * 1234.5 * np.arange(RATE * SECONDS) / RATE)])


@pytest.fixture(scope="module")
def made(tmp_path_factory, samples):
    path = tmp_path_factory.mktemp("made") / "REC_20260508_210000.wav"
    written = write_wave(path, samples)
    return written, check_files([path], calibration_from_sensitivity(f"-{FULL_SCALE} ± 1.5"))


def table(shown, name):
    """The comment lines, and the rows by column."""
    lines = TABLES[name](shown).splitlines()
    comments = [line for line in lines if line.startswith("#")]
    rows = list(csv.DictReader(io.StringIO("\n".join(lines[len(comments) :]))))
    return comments, rows


def test_the_spectrum_is_that_of_scipy(made):
    """``scipy.signal.welch`` with the window and overlap that the report states."""
    written, shown = made
    frequencies, density = signal.welch(
        written, RATE, "hann", 4096, 2048, detrend=False, scaling="density"
    )
    _, rows = table(shown, "spectrum")
    whole = [row for row in rows if float(row["line_spacing_Hz"]) > 2]
    assert [float(row["frequency_Hz"]) for row in whole] == pytest.approx(frequencies, rel=1e-5)
    for channel in (0, 1):
        levels = [float(row[f"channel_{channel + 1}_dB"]) for row in whole]
        wanted = FULL_SCALE + 10 * np.log10(density[channel])
        assert levels == pytest.approx(wanted, abs=0.0051)


def test_a_full_scale_sine_is_3_01_db_below_full_scale_everywhere(made):
    """Closed form: half the square of the peak, here 32767/32768."""
    _, shown = made
    wanted = FULL_SCALE + 10 * np.log10(0.5 * (32767 / 32768) ** 2)
    data = report_json(shown)
    assert data["levels"][1]["mean_square"] == pytest.approx(wanted, abs=0.01)
    assert data["levels"][1]["peak"] == pytest.approx(FULL_SCALE, abs=0.01)
    assert data["levels"][1]["percentiles"]["50"] == pytest.approx(wanted, abs=0.13)
    band = max(data["bands"]["channels"][1]["mean"])
    assert band == pytest.approx(wanted, abs=0.01)
    _, rows = table(shown, "levels")
    assert float(rows[1]["channel_2_mean_dB"]) == pytest.approx(wanted, abs=0.01)
    assert rows[1]["start_by_recorder_clock"] == "2026-05-08 21:00:01"


def test_bands_hold_their_percentiles_in_order(made):
    _, shown = made
    comments, rows = table(shown, "bands")
    assert "dB re 1 µPa" in comments[0]
    for row in rows:
        levels = [float(row[f"channel_1_p{p}_dB"]) for p in (1, 5, 10, 25, 50, 75, 90, 95, 99)]
        assert levels == sorted(levels)
    centres = [float(row["centre_Hz"]) for row in rows]
    assert 1000.0 in centres
    assert float(rows[0]["upper_Hz"]) / float(rows[0]["lower_Hz"]) == pytest.approx(
        10**0.1, rel=1e-5
    )


def test_every_table_says_how_it_was_measured(made):
    _, shown = made
    for name in TABLES:
        text = " ".join(table(shown, name)[0])
        for words in ("Hann", "4096", "half", "IEC 61260-1", "REC_20260508_210000.wav", "edition"):
            assert words in text, (name, words)
        assert "161.5 dB to 164.5 dB" in text


def test_the_report_as_data_has_no_number_that_is_none(made):
    _, shown = made
    text = json.dumps(report_json(shown), allow_nan=False)
    data = json.loads(text)
    assert (data["format"], data["version"]) == ("wetside recording report", 1)
    assert data["recording"]["files"][0]["start"] == "2026-05-08 21:00:00"
    assert data["recording"]["seconds"] == SECONDS
    assert data["calibration"]["lowest"] == 161.5
    assert not re.search(r"\d\.\d{8,}", text)


FINDINGS = [
    finding("gap", "spoils", "certain", "Made <gap> & more.", [Span(None, None, 9e4, 3600.0)]),
    finding("hum", "harms", "likely", "Made.", [Span(None, 1, 0.0, 0.0)]),
    finding("clipped", "note", "possible", "Made.", [Span(3, 0, 61.5, 0.002)] * 12),
]


@pytest.fixture(scope="module", params=["clock", "silent, no clock"])
def shown(request):
    if request.param == "clock":
        return Shown(long_summary(), Calibration(), FINDINGS, title="Tarn <&>")
    return Shown(long_summary(0.5, 3, clocked=False, silent=1), Calibration(), FINDINGS)


def test_the_page_stands_alone(shown):
    html = report_html(shown)
    ElementTree.fromstring(html.split("\n", 1)[1])
    assert "<script" not in html
    addresses = re.findall(r'(?:href|src|url)\s*[=(]\s*"?([^")]+)', html)
    assert [a for a in addresses if not a.startswith(("data:image/png", "#"))] == []
    assert "default-src 'none'" in html.replace("&#x27;", "'")
    assert not re.search(r"\bnan\b|\binf\b|None", re.sub(r"base64,[^\"]*", "", html))
    assert len(html) < 2_000_000


def test_the_page_says_what_comes_first(shown):
    text = re.sub(r"<[^>]+>", " ", report_html(shown))
    verdict_at = text.index("Not all of it can be used: time is missing between files.")
    assert verdict_at < text.index("Findings") < text.index("Spectral density")
    for words in (
        "Made &lt;gap&gt; &amp; more.",
        "It may come from",
        "and 7 more places",
        "How it was measured",
        "at most 0.125\u00a0dB",
        "What is not said",
        "−3.01\u00a0dB",
        "no sensitivity was given",
    ):
        assert words in text


def test_findings_lead_into_the_handbook_where_its_address_is_known(shown):
    html = report_html(shown, "https://handbook.example/")
    assert 'href="https://handbook.example/plan/recording-format/#splits-and-gaps"' in html
    assert "plan/recording-format/#splits-and-gaps" in report_html(shown)


def test_tables_of_what_is_silent_have_empty_cells_and_no_names_of_floats(shown):
    for name in TABLES:
        text = TABLES[name](shown)
        assert not re.search(r"(^|,)-?(nan|inf)(,|$)", text, re.MULTILINE)
    json.dumps(report_json(shown), allow_nan=False)


def test_a_silent_channel_is_named_so(made):
    shown = Shown(long_summary(0.5, 2), Calibration())
    silent = replace(shown.summary.by_channel[1], mean_square=0.0, lowest=0.0, highest=0.0)
    summary = replace(shown.summary, by_channel=(shown.summary.by_channel[0], silent))
    rows = dict(level_rows(replace(shown, summary=summary)))
    assert rows["Level of the peak, dB re full scale"][1] == "nothing but zeros"


def test_the_verdict_names_the_gravest_first():
    shown = Shown(long_summary(0.5, 1), Calibration(), FINDINGS)
    assert verdict(shown).startswith("Not all of it can be used: time is missing between files.")
    assert "with care: mains hum" in verdict(shown)
    doubted = (replace(FINDINGS[0], sure="possible"), *FINDINGS[1:])
    assert verdict(replace(shown, findings=doubted)).startswith("Perhaps not all of it can be used")
    assert verdict(replace(shown, findings=FINDINGS[1:])).startswith("It can be used, with care")
    assert verdict(replace(shown, findings=FINDINGS[2:])).startswith("All there")


def test_places_are_said_as_players_show_them(shown):
    words = place_words(shown, Span(3, 0, 61.5, 0.002))
    assert "made-0003.wav, channel 1" in words
    assert "from 0:01:01.50, for 2\u00a0ms" in words
    assert place_words(shown, Span(None, None, 0.0, 0.0)) == "the whole recording"


def test_a_name_is_no_formula_in_a_spreadsheet():
    summary = long_summary(0.5, 1)
    named = replace(summary.files[0], name="=1+1.wav")
    summary = replace(summary, files=(named, *summary.files[1:]))
    at = finding("clipped", "note", "certain", "Made.", [Span(0, 0, 1.0, 1.0)])
    _, rows = table(Shown(summary, Calibration(), [at]), "findings")
    assert rows[0]["file"] == "'=1+1.wav"
