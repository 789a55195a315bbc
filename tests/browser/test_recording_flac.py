"""FLAC in the page: the report that the same samples give as WAVE, and on the command line."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
import soundfile

from calculators.recording.checking import Wanted, check
from calculators.recording.report_data import report_json
from calculators.recording.synthetic import wave_bytes
from tests.browser.conftest import fresh_reader
from tests.browser.test_recording import SECTION, begin, state, stop_half_way, text
from tests.recording.made_flac import flac
from tests.recording.measured import signal

RATE = 48_000


@pytest.fixture(scope="module")
def page(browser, site):
    """A reader at the check."""
    reader = fresh_reader(browser, site.url)
    begin(reader)
    yield reader
    assert reader.unexpected() == []
    reader.page.context.close()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("card")


def samples(seconds=21.3, bits=24):
    """Whole numbers (frames, channels), with a hum, a drop-out and a clipped stretch."""
    codes = np.round(signal(2, seconds, RATE) * 2 ** (bits - 1))
    return codes.clip(-(2 ** (bits - 1)), 2 ** (bits - 1) - 1).T.astype(np.int32)


@pytest.fixture(scope="module")
def pair(folder):
    """The same samples as WAVE and as FLAC, by soundfile both."""
    paths = [folder / f"20260508T210000Z.{end}" for end in ("wav", "flac")]
    for path in paths:
        soundfile.write(path, samples() << 8, RATE, subtype="PCM_24")
    return paths


def checked(reader, *paths):
    """The report as data, when all of it has been checked."""
    reader.page.set_input_files(".pick-files", list(paths))
    reader.until(state("opening", "running", "done", "failed"))
    return reported(reader)


def reported(reader):
    """The same of a check that is under way."""
    reader.until(
        f"{SECTION}.dataset.check === 'failed' || "
        f"document.querySelector('.desk-state').textContent.startsWith('Checked all of it')"
    )
    assert text(reader, ".desk-error") == ""
    with reader.page.expect_download() as download:
        reader.page.locator(".save-json").first.click()
    return json.loads(download.value.path().read_text(encoding="utf-8"))


def alike(found, wanted, where="report"):
    """The same words, and the same numbers but for the rounding of sums."""
    if isinstance(wanted, dict):
        assert found.keys() == wanted.keys(), where
        for name, value in wanted.items():
            alike(found[name], value, f"{where}.{name}")
    elif isinstance(wanted, list):
        assert len(found) == len(wanted), where
        for number, (one, two) in enumerate(zip(found, wanted, strict=True)):
            alike(one, two, f"{where}[{number}]")
    elif isinstance(wanted, float):
        assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9), where
    else:
        assert found == wanted, where


def natively(*paths: Path):
    """What the command line says of files, under the title that the page gives them."""
    names = [path.name for path in paths]
    title = " to ".join(dict.fromkeys((names[0], names[-1])))
    return json.loads(json.dumps(report_json(check(Wanted(paths, names, title)))))


def test_the_same_samples_give_the_same_report_in_either_file(page, pair):
    """In the page and on the command line, apart from the name and the kind of the file."""
    wave, packed = pair
    from_flac = checked(page, packed)
    assert len(from_flac["findings"]) >= 3
    from_wave = json.dumps(checked(page, wave))
    renamed = from_wave.replace(wave.name, packed.name).replace('"WAVE"', '"FLAC"')
    assert from_flac == json.loads(renamed)
    alike(from_flac, natively(packed))


def test_blocks_of_changing_size_after_a_tag_and_without_a_length(page, folder):
    """As some recorders write: against the command line."""
    path = folder / "odd.flac"
    odd = flac(samples(6.0, 16), 16, RATE, (4096, 192, 4608), promised=0)
    path.write_bytes(b"ID3\x04\x00\x00\x00\x00\x02\x00" + bytes(256) + odd)
    found = checked(page, path)
    assert "never finished" in {one["kind"] for one in found["findings"]}
    alike(found, natively(path))


def test_damage_is_named_and_what_follows_is_checked(page, folder):
    """As on the command line."""
    path = folder / "damaged.flac"
    data = bytearray(flac(samples(6.0, 16), 16, RATE))
    data[len(data) // 2] ^= 1
    path.write_bytes(data)
    found = checked(page, path)
    (damage,) = [one for one in found["findings"] if one["kind"] == "damaged"]
    assert re.search(
        r"From 2\.\d+\ss \(frame \d+\) to [34]\ss, where reading goes on", damage["what"]
    )
    assert "are damaged and left out" in text(page, ".report-basis")
    alike(found, natively(path))


def test_flac_and_wave_are_checked_as_one_sequence(page, folder):
    """Two files, one after the other."""
    first, second = folder / "20260509T030000Z.flac", folder / "20260509T030010Z.wav"
    soundfile.write(first, samples(10.0) << 8, RATE, subtype="PCM_24")
    second.write_bytes(wave_bytes(signal(2, 10.0, RATE, seed=4), RATE))
    found = checked(page, second, first)
    assert [one["name"] for one in found["recording"]["files"]] == [first.name, second.name]
    assert "gap" not in {one["kind"] for one in found["findings"]}


@pytest.fixture(scope="module")
def night(folder):
    """A file that is done soon, and one behind it that takes some seconds."""
    paths = [folder / f"20260510T21000{second}Z.flac" for second in (0, 2)]
    noise = np.random.default_rng(5).normal(0, 900, (60 * RATE, 2)).astype(np.int16)
    for path, sound in zip(paths, (noise[: 2 * RATE], noise), strict=True):
        soundfile.write(path, sound, RATE, subtype="PCM_16")
    return paths


def test_a_check_is_cancelled_and_goes_on_after_a_reload(page, night):
    """Paused within the second file, as soon as what the first has given is kept."""
    begin(page)  # nothing of the check before is in it
    stop_half_way(page, night)
    page.page.click(".cancel")
    page.until(state("cancelled"))
    assert "kept on this device" in text(page, ".desk-state")

    begin(page)
    page.until("document.querySelector('.kept')")
    assert "An unfinished check" in text(page, ".kept")
    assert "3\u00a0% is done" in text(page, ".kept")  # 2 s of 62 s
    page.page.set_input_files(".pick-files", night)
    page.until("document.querySelector('.desk-state').textContent.includes('Going on where')")
    alike(reported(page), natively(*night))


ON_THE_FIRST_OPENED = """
() => {
  const section = document.querySelector(".recording");
  window.said = [];
  const watch = new MutationObserver(() => {
    window.said.push(section.querySelector(".progress-words").textContent);
    watch.disconnect();
    window.paused = section.querySelector(".pause").hidden;
    section.querySelector(".cancel").click();
  });
  const words = section.querySelector(".progress-words");
  watch.observe(words, { childList: true, characterData: true, subtree: true });
}
"""


def test_many_files_are_counted_while_they_are_opened_and_that_can_be_cancelled(page, folder):
    """Cancelled at the first word of it; then all of them are opened after all."""
    (folder / "many").mkdir()
    paths = [folder / "many" / f"{number:03}.flac" for number in range(24)]
    for path in paths:
        path.write_bytes(flac(samples(1.0, 16)[:4800], 16, RATE, 480))
    page.page.evaluate(ON_THE_FIRST_OPENED)
    page.page.set_input_files(".pick-files", paths)
    page.until(state("cancelled"))
    (said,) = page.page.evaluate("window.said")
    assert re.fullmatch(r"Opening file \d+ of 24", said)
    assert page.now("window.paused")
    assert not page.page.locator(".cancel").is_visible()
    page.page.click(".again")
    page.until(state("running", "done", "failed"))
    assert len(reported(page)["recording"]["files"]) == 24


def test_a_moment_of_a_flac_file_is_heard(page, pair):
    """From its middle."""
    checked(page, pair[1])
    page.page.click(".hearing summary")
    page.page.fill("#recording-hear-start", "12")
    page.page.fill("#recording-hear-seconds", "3")
    page.page.click(".hearing .play")
    page.until(f"{SECTION}.dataset.playing === 'yes'")
    assert "from 12.0\u00a0s on: 3.0\u00a0s of sound" in text(page, ".hear-words")
    page.page.click(".hearing .stop")
    page.until(f"{SECTION}.dataset.playing === 'no'")


def test_what_is_no_flac_is_named(page, folder):
    """By its name, with what is read."""
    path = folder / "diary.flac"
    path.write_bytes(b"Dear diary, " * 100)
    page.page.set_input_files(".pick-files", path)
    page.until(state("failed"))
    said = text(page, ".desk-error")
    assert path.name in said
    assert "no sound file that is known. Read are WAVE files" in said


def test_without_what_unpacks_the_page_says_so_and_checks_the_rest(reader, pair):
    """A FLAC file that was first chosen where the network had gone."""
    reader.page.route("**/libflac*", lambda route: route.abort())
    reader.expect("net::ERR_FAILED")
    begin(reader)
    reader.page.set_input_files(".pick-files", pair[1])
    reader.until(state("failed"))
    assert "the part of this page that unpacks FLAC is not here" in text(reader, ".desk-error")
    assert checked(reader, *pair)["recording"]["files"][0]["container"] == "WAVE"
