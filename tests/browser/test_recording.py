"""The recording check as a reader uses it: the demo, files that are none, stopping and going on."""

import base64
import json
import re
import shutil

import numpy as np
import pytest

from calculators.recording.bridge_ops import LEAST_SAMPLED, STRETCH_BYTES, Desk
from calculators.recording.synthetic import demo, wave_bytes
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


def test_workers_that_wait_for_files_warm_up(browser, site):
    """Both get to the end of it; one that fails says so in the console, and the reader of this
    test hears that."""
    reader = fresh_reader(browser, site.url)
    begin(reader)
    reader.page.set_checked("#recording-two", False)
    reader.until(f"{SECTION}.dataset.warm === 'yes'")
    reader.page.set_checked("#recording-two", True)
    reader.until(f"{SECTION}.dataset.secondWarm === 'yes'")
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


def test_what_was_found_is_said_once_and_its_items_have_the_numbers_of_the_picture(checked):
    """The headline stands at the head of the report; lanes below the level are numbered alike."""
    headline = text(checked, ".report-headline")
    assert checked.page.locator(".recording").inner_text().count(headline) == 1
    titles = checked.page.locator(".finding-title strong").all_inner_texts()
    assert [title.split(".")[0] for title in titles] == [str(n + 1) for n in range(len(titles))]
    words = checked.page.locator("[data-picture=time] svg text").all_text_contents()
    lanes = [line for line in words if re.match(r"\d+\. ", line)]
    assert lanes
    assert set(lanes) <= set(titles)


ALL_IN_SIGHT = """
(boxes) => boxes.flatMap((box) => {
  const edge = box.getBoundingClientRect();
  return [...box.querySelectorAll("td")]
    .filter((cell) => cell.textContent)
    .map((cell) => cell.getBoundingClientRect())
    .filter(({ left, right, width }) => width === 0 || left < edge.left || right > edge.right + 1);
}).length
"""


def test_a_phone_shows_every_column_of_every_table(checked):
    """Row below row, each cell after the name of its column; on paper it is a table again."""
    page = checked.page
    assert page.viewport_size["width"] <= 430
    page.evaluate("document.querySelectorAll('.recording details').forEach((e) => (e.open = true))")
    name = "(cell) => getComputedStyle(cell, '::before').content"
    length = page.locator(".desk-files tbody td:nth-child(2)").first
    assert length.evaluate(name) == '"Length"'
    assert page.locator(".recording .table-scroll").count() == 3
    assert page.locator(".recording .table-scroll").evaluate_all(ALL_IN_SIGHT) == 0
    page.emulate_media(media="print")
    assert length.evaluate(name) == "none"
    page.emulate_media(media="screen")


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
        "document.querySelector('.report-levels').textContent.includes('163.0\u00a0dB re 1 µPa')"
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
    checked.page.fill("#recording-hear-start", "99")
    area.click(position={"x": box["width"] * 0.75, "y": box["height"] / 2})
    checked.until("document.querySelector('#recording-hear-start').value !== '99'")
    assert checked.page.input_value("#recording-hear-file") == "3"
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


DROP = """
async ([names, texts]) => {
  const given = new DataTransfer();
  for (const [n, name] of names.entries()) {
    const bytes = Uint8Array.from(atob(texts[n]), (letter) => letter.charCodeAt(0));
    given.items.add(new File([bytes], name, { lastModified: 1 }));
  }
  const drop = document.querySelector(".drop");
  for (const type of ["dragenter", "dragover", "drop"]) {
    const happens = { dataTransfer: given, bubbles: true, cancelable: true };
    drop.firstElementChild.dispatchEvent(new DragEvent(type, happens));
    if (type === "dragover") window.over = drop.hasAttribute("data-over");
  }
}
"""
"""What a browser does when files are let go over a page. A script can make neither a folder nor a
handle that outlives the page: those are dropped by hand, and a folder is chosen below."""


def test_files_are_dropped_and_what_is_no_recording_is_passed_over(reader):
    """Two parts of the demo and a note, in any order."""
    made = demo()
    given = [(made[1].name, made[1].data), ("note.txt", b"tarn"), (made[0].name, made[0].data)]
    begin(reader)
    texts = [base64.b64encode(data).decode() for _, data in given]
    reader.page.evaluate(DROP, [[name for name, _ in given], texts])
    reader.until(state("done", "failed"))
    assert reader.now("window.over")
    assert not reader.now("document.querySelector('.drop').hasAttribute('data-over')")
    assert text(reader, ".desk-error") == ""
    assert "1 other file was passed over" in text(reader, ".opened-words")
    names = reader.page.locator(".desk-files tbody td:first-child").all_inner_texts()
    assert names == [made[0].name, made[1].name]

    reader.page.evaluate(DROP, [[], []])
    reader.until("document.querySelector('.desk-error').textContent.includes('Drop recordings')")


def test_a_folder_is_chosen_with_the_folders_in_it(reader, tmp_path):
    """What a recorder writes: a folder a day, with a list beside the sound."""
    made = demo()
    for day, file in enumerate(made[:2]):
        (tmp_path / "card" / f"day{day}").mkdir(parents=True)
        (tmp_path / "card" / f"day{day}" / file.name).write_bytes(file.data)
    (tmp_path / "card" / "list.txt").write_text("tarn", encoding="utf-8")
    begin(reader)
    reader.page.set_input_files(".pick-folder", tmp_path / "card")
    reader.until(state("done", "failed"))
    assert text(reader, ".desk-error") == ""
    assert "1 other file was passed over" in text(reader, ".opened-words")
    names = reader.page.locator(".desk-files tbody td:first-child").all_inner_texts()
    assert names == [made[0].name, made[1].name]


NARROWER = """
async () => {
  const { style } = document.querySelector(".recording");
  for (const width of ["98%", "96%", "94%", "92%"]) {
    style.width = width;
    await new Promise(requestAnimationFrame);
  }
}
"""


def test_pictures_are_drawn_anew_for_another_width_once_it_has_settled(checked):
    """A phone that is turned; on the way between two widths nothing is drawn."""
    page = checked.page
    count = "Number(document.querySelector('.report').dataset.reports)"
    before = page.evaluate(count)
    page.evaluate(NARROWER)
    checked.until(f"{count} > {before}")
    widths = page.locator(".report-picture svg").evaluate_all(
        "(all) => all.map((e) => Number(e.getAttribute('width')))"
    )
    room = page.locator(".report-picture").first.bounding_box()["width"]
    assert widths == pytest.approx([room] * len(widths), abs=1)
    assert page.evaluate(count) == before + 1
    page.evaluate(f"{SECTION}.style.width = ''")
    checked.until(f"{count} > {before} + 1")


def test_everything_is_reached_and_started_by_the_keyboard(reader):
    """From the demo's button to what is heard, without a pointer."""
    begin(reader)
    page = reader.page
    page.focus("button.demo")
    page.keyboard.press("Enter")
    reader.until(state("done", "failed"))
    page.focus(".finding .hear")
    page.keyboard.press("Space")
    assert page.evaluate("document.activeElement.matches('.play')")
    page.keyboard.press("Enter")
    reader.until(f"{SECTION}.dataset.playing === 'yes'")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.matches('.stop')")
    page.keyboard.press("Enter")
    reader.until(f"{SECTION}.dataset.playing === 'no'")
    for name in ("choose", "choose-folder", "demo"):
        assert page.evaluate(f"document.querySelector('button.{name}').tabIndex") == 0


LONG_RATE = 48_000


@pytest.fixture(scope="module")
def long_file(tmp_path_factory):
    """Noise of two stretches and a bit: what is found is kept after the first."""
    path = tmp_path_factory.mktemp("long") / "long.wav"
    write_noise(path, 9 * STRETCH_BYTES // 4 // 4)
    return path


def write_noise(path, frames):
    """A WAVE file of two channels of 16 bits; the same block of noise again and again."""
    block = np.random.default_rng(1).normal(0, 300, (1 << 21, 2)).astype("<i2").tobytes()
    head = wave_bytes(np.zeros((2, 0)), LONG_RATE)[:-4] + (frames * 4).to_bytes(4, "little")
    with path.open("wb") as file:
        file.write(head + (block * (frames * 4 // len(block) + 1))[: frames * 4])


def said_natively(path):
    """Headline and levels of a check that was never stopped, by the same core outside a browser."""
    data = path.read_bytes()
    desk = Desk()
    listed = json.dumps([{"name": path.name, "size": len(data)}])
    assert json.loads(desk.open(listed, lambda _, at, length: data[at : at + length]))["ok"]
    plan = json.loads(desk.call('{"op": "plan", "workers": 1}'))
    for stretch in plan["sample"] + plan["stretches"]:
        desk.begin(stretch["file"], stretch["first"], stretch["last"])
        while (wanted := desk.wants()) is not None:
            desk.buffer[: wanted[1]] = np.frombuffer(data, np.uint8, wanted[1], wanted[0])
            desk.add(wanted[1])
        desk.end()
    report = json.loads(desk.call('{"op": "report", "level": null, "width": 300}'))
    return report["headline"], report["tables"][0]["rows"]


def said_in_the_page(reader):
    """The same, as it stands there."""
    rows = reader.page.locator("[data-table=levels] tbody tr").evaluate_all(
        "(rows) => rows.map((row) => [...row.children].map((cell) => cell.textContent))"
    )
    return text(reader, ".report-headline"), rows


ON_THE_FIRST_KEPT = """
() => {
  const section = document.querySelector(".recording");
  const watch = new MutationObserver(() => {
    if (!(section.dataset.kept > 0 || section.querySelector(".keep-fault").textContent)) return;
    watch.disconnect();
    section.querySelector(".pause").click();
  });
  watch.observe(section, { subtree: true, childList: true, attributeFilter: ["data-kept"] });
}
"""


def stop_half_way(reader, path):
    """Choose a file, or several, and pause as soon as something is kept of it."""
    reader.page.evaluate(ON_THE_FIRST_KEPT)
    reader.page.set_input_files(".pick-files", path)
    reader.until(state("paused", "failed", "done"))
    assert reader.now(state("paused"))


def go_on_to_the_end(reader, path):
    """The check that goes on says the same as one that was never stopped."""
    reader.until("document.querySelector('.desk-state').textContent.includes('Going on where')")
    reader.until(state("done", "failed"))
    assert text(reader, ".desk-error") == ""
    assert "From every sample" in text(reader, ".report-basis")
    assert said_in_the_page(reader) == said_natively(path)


def test_a_check_is_cancelled_and_goes_on_after_a_reload(reader, long_file):
    """Cancelled is said when it is kept; the same file, chosen again, takes it up."""
    begin(reader)
    stop_half_way(reader, long_file)
    reader.page.click(".cancel")
    reader.until(state("cancelled"))
    assert "kept on this device" in text(reader, ".desk-state")

    begin(reader)
    reader.until("document.querySelector('.kept')")
    assert "An unfinished check" in text(reader, ".kept")
    assert "44\u00a0% is done" in text(reader, ".kept")  # one stretch of two and a quarter
    reader.page.set_input_files(".pick-files", long_file)
    go_on_to_the_end(reader, long_file)

    begin(reader)
    reader.until("document.querySelector('.kept')")
    assert text(reader, ".kept").startswith("Checked")
    reader.page.click(".kept .forget")
    begin(reader)
    reader.until(f"{SECTION}.dataset.python === 'live'")
    assert reader.page.locator(".kept").count() == 0


def test_a_page_that_is_closed_without_a_word_has_kept_what_was_found(reader, long_file):
    """As a phone closes it, or an empty battery."""
    begin(reader)
    stop_half_way(reader, long_file)
    context = reader.page.context
    reader.page.close(run_before_unload=False)
    reader.page = context.new_page()
    begin(reader)
    reader.until("document.querySelector('.kept')")
    assert "44\u00a0% is done" in text(reader, ".kept")


IN_THE_STORE = """
(old) => new Promise((resolve, reject) => {
  const request = indexedDB.open("wetside.recording", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("checks", { keyPath: "key" });
  request.onerror = reject;
  request.onsuccess = () => {
    const done = request.result.transaction("checks", "readwrite");
    const store = done.objectStore("checks");
    for (const n of old) store.put({ key: `old ${n}`, at: n });
    const keys = store.getAllKeys();
    done.oncomplete = () => {
      request.result.close();
      resolve(keys.result);
    };
    done.onabort = reject;
  };
})
"""


def test_four_checks_are_kept_and_the_oldest_makes_room(reader):
    """Those of files that were checked long ago go, not the one that was checked last."""
    begin(reader)
    assert len(reader.page.evaluate(IN_THE_STORE, [3, 1, 2, 4])) == 4
    reader.page.click("button.demo")
    reader.until(state("done", "failed"))
    keys = reader.page.evaluate(IN_THE_STORE, [])
    assert [key for key in keys if key.startswith("old")] == ["old 2", "old 3", "old 4"]
    assert len(keys) == 4


NO_ROOM = """
IDBObjectStore.prototype.put = () => {
  throw new DOMException("no room", "QuotaExceededError");
};
"""


def test_a_browser_without_room_says_so_and_the_open_page_goes_on(reader, long_file):
    """Nothing is kept for later; until the page is closed it is."""
    reader.page.add_init_script(NO_ROOM)
    begin(reader)
    stop_half_way(reader, long_file)
    assert "keeps nothing of the check" in text(reader, ".keep-fault")
    reader.page.click(".cancel")
    reader.until(state("cancelled"))
    assert "as long as this page is open" in text(reader, ".desk-state")
    reader.page.click(".again")
    go_on_to_the_end(reader, long_file)


def test_a_file_that_changes_while_it_is_checked_is_named_and_nothing_is_lost(
    reader, long_file, tmp_path
):
    """A card that is pulled, a file that is moved: what was found until then is kept."""
    changing = tmp_path / "changing.wav"
    shutil.copyfile(long_file, changing)
    begin(reader)
    stop_half_way(reader, changing)
    changing.write_bytes(b"gone")
    reader.page.click(".pause")
    reader.until(state("failed", "done"))
    assert "changing.wav cannot be read any more" in text(reader, ".desk-error")
    begin(reader)
    reader.until("document.querySelector('.kept')")
    assert "44\u00a0% is done" in text(reader, ".kept")


def test_a_second_worker_starts_when_it_is_asked_for_and_ends_where_it_has_nothing_to_do(reader):
    """While the reader looks for files; the demo is too short for two."""
    begin(reader)
    reader.until(f"{SECTION}.dataset.python === 'live'")
    assert not reader.now(f"'second' in {SECTION}.dataset")
    reader.page.uncheck("#recording-two")
    reader.page.check("#recording-two")
    reader.until(f"{SECTION}.dataset.second === 'live'")
    reader.page.click("button.demo")
    reader.until(state("done"))
    assert reader.now(f"{SECTION}.dataset.second === 'idle'")


def test_two_workers_share_the_sample_and_go_on_after_a_reload(reader, tmp_path):
    """Stopped when the sample is kept; one Worker takes up what two have found."""
    path = tmp_path / "sampled.wav"
    write_noise(path, LEAST_SAMPLED // 4)
    begin(reader)
    reader.page.check("#recording-two")
    reader.until(f"{SECTION}.dataset.python === 'live'")
    reader.page.uncheck("#recording-two")
    reader.page.check("#recording-two")
    reader.until(f"{SECTION}.dataset.second === 'live'")
    stop_half_way(reader, path)
    reader.page.click(".cancel")
    reader.until(state("cancelled"))

    begin(reader)
    reader.page.uncheck("#recording-two")
    reader.page.set_input_files(".pick-files", path)
    go_on_to_the_end(reader, path)


def test_other_files_are_checked_though_the_first_check_is_paused(reader, long_file):
    """A pause ends with the check that it was made for."""
    begin(reader)
    stop_half_way(reader, long_file)
    reader.page.click("button.demo")
    reader.until(state("running", "done", "failed"))
    reader.until(state("done", "failed"))
    assert text(reader, ".desk-error") == ""
    assert "From every sample" in text(reader, ".report-basis")


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
