"""The recording check as a reader uses it: the demo, files that are none, a kept rig."""

import json

import pytest

from calculators.recording.synthetic import demo
from site_src.paths import DOCS
from tests.browser.conftest import fresh_reader

CHECK = "listen/check/"
SECTION = "document.querySelector('.recording')"


def state(*names):
    """A JavaScript expression: the check is in one of these states."""
    return f"{list(names)!r}.includes({SECTION}.dataset.check)"


def begin(reader):
    """Open the page and wait until it is alive; Python may still be starting."""
    reader.go(CHECK)
    reader.until(f"{SECTION} && 'live' in {SECTION}.dataset")


@pytest.fixture(scope="module")
def checked(browser, site):
    """A reader who has run the demo."""
    reader = fresh_reader(browser, site.url)
    begin(reader)
    reader.page.click("button.demo")
    reader.until(state("done", "failed"))
    assert text(reader, ".desk-error") == ""
    yield reader
    assert reader.unexpected() == []
    reader.page.context.close()


def text(reader, selector):
    return reader.page.locator(selector).first.inner_text()


def test_the_demo_shows_what_the_core_found_when_the_page_was_built(checked, site, browser):
    """The same findings before any script runs and after: in order, with their words."""
    plain = fresh_reader(browser, site.url, java_script_enabled=False)
    plain.go(CHECK)
    selector = ".finding .finding-title, .finding .finding-what"
    built = plain.page.locator(selector).all_inner_texts()
    live = checked.page.locator(selector).all_inner_texts()
    plain.page.context.close()

    assert text(checked, ".desk-state").startswith("Checked all of it.")
    assert live == built
    kinds = checked.page.locator(".finding").evaluate_all("(all) => all.map((e) => e.dataset.kind)")
    assert set(kinds) >= {"clipped", "drop-out", "hum", "offset", "gap", "flooded"}


def test_files_pictures_and_levels_stand_in_the_page(checked):
    """Five files in order; pictures of their own width; a table of levels."""
    names = checked.page.locator(".desk-files tbody td:first-child").all_inner_texts()
    assert names == [made.name for made in demo()]
    pictures = checked.page.locator(".report-picture")
    assert pictures.count() >= 5
    fits = "(all) => all.map((e) => e.scrollWidth <= e.clientWidth)"
    assert all(checked.page.locator(".report-picture .chart-box").evaluate_all(fits))
    assert "dB re full scale" in checked.page.locator(".report-table").first.inner_html()


def test_a_rig_and_a_sensitivity_change_the_units(checked):
    """Without checking anew; what cannot be is refused at its field."""
    page = checked.page
    page.select_option("#recording-levels", "typed")
    page.fill("#recording-sensitivity", "163")
    page.press("#recording-sensitivity", "Enter")
    checked.until(
        "document.querySelector('#recording-sensitivity-error').textContent.includes('−260')"
    )
    page.fill("#recording-sensitivity", "-163 dB re 1 FS/µPa ± 1.5")
    page.press("#recording-sensitivity", "Enter")
    checked.until(
        "document.querySelector('.report-levels').textContent.includes('163.0 dB re 1 µPa')"
    )
    assert text(checked, "#recording-sensitivity-error") == ""
    page.select_option("#recording-levels", "none")
    checked.until("document.querySelector('.report-levels').textContent.includes('re full scale')")


def test_a_moment_is_heard_after_its_caution(checked):
    """A finding's button fills the form and leads to Play; the caution stands before that."""
    page = checked.page
    page.locator(".finding .hear").first.click()
    assert page.evaluate("document.activeElement.className") == "play main"
    boxes = [page.locator(f".hearing {part}").bounding_box() for part in (".caution", ".play")]
    assert boxes[0]["y"] < boxes[1]["y"]
    page.select_option("#recording-hear-how", "4")
    page.click(".hearing .play")
    checked.until(f"{SECTION}.dataset.playing === 'yes'")
    assert "s of sound" in text(checked, ".hear-words")
    page.click(".hearing .stop")
    checked.until(f"{SECTION}.dataset.playing === 'no'")
    page.fill("#recording-hear-start", "99")
    page.click(".hearing .play")
    checked.until("document.querySelector('.hear-words').textContent.includes('from 0 s to')")


def test_a_click_on_a_picture_offers_that_moment(checked):
    """Three quarters along the axis of 50 s is in the fourth file."""
    area = checked.page.locator("[data-picture=time] .moments").first
    box = area.bounding_box()
    area.click(position={"x": box["width"] * 0.75, "y": box["height"] / 2})
    checked.until("document.querySelector('#recording-hear-file').value === '3'")
    assert 3 < float(checked.page.input_value("#recording-hear-start")) < 4


@pytest.mark.parametrize(
    ("button", "name", "begins"),
    [
        (".save-html", "report.html", b"<!DOCTYPE html>"),
        (".save-json", "report.json", b"{"),
        (".picture-tools button:nth-child(1)", ".svg", b"<?xml"),
        (".picture-tools button:nth-child(2)", ".png", b"\x89PNG"),
    ],
)
def test_what_was_found_leaves_as_a_file(checked, button, name, begins):
    """Report, data and pictures."""
    with checked.page.expect_download() as download:
        checked.page.locator(button).first.click()
    saved = download.value

    assert saved.suggested_filename.endswith(name)
    assert saved.path().read_bytes().startswith(begins)


def test_a_file_that_is_no_recording_is_named_and_the_next_one_is_checked(checked, tmp_path):
    """With what is accepted; a name with markup in it stays text."""
    other = tmp_path / "<img src=x onerror=alert(1)>.wav"
    other.write_bytes(b"Dear diary, " * 100)
    checked.page.set_input_files(".pick-files", other)
    checked.until(state("failed"))
    said = text(checked, ".desk-error")
    assert other.name in said
    assert "WAVE" in said
    assert checked.page.locator(".recording img").count() == 0

    made = demo()[0]
    good = tmp_path / made.name
    good.write_bytes(made.data)
    checked.page.set_input_files(".pick-files", [other, good])
    checked.until(state("done"))
    assert other.name in text(checked, ".refused")
    assert text(checked, ".desk-error") == ""


def test_a_kept_rig_is_offered_and_gives_levels_of_sound_pressure(reader, tmp_path):
    """The rig that is open on this device is taken by itself."""
    rig = (DOCS / "rigs" / "tarn.toml").read_text(encoding="utf-8")
    shelf = {
        "version": 1,
        "open": "a",
        "rigs": [{"id": "a", "name": "Tarn", "toml": rig, "revision": 1}],
    }
    begin(reader)
    reader.page.evaluate(f"localStorage.setItem('wetside.rigs', {json.dumps(json.dumps(shelf))})")
    begin(reader)
    assert reader.page.input_value("#recording-levels") == "a"
    reader.page.click("button.demo")
    reader.until(state("done", "failed"))
    assert "the rig" in text(reader, ".report-levels")
    assert "dB re 1 µPa" in text(reader, ".report-levels")
