"""The field log: nothing typed is lost, nothing leaves the device, and files come back whole."""

import json
import re
from pathlib import Path

import pytest

from tests.browser.test_plain_page import violations

PAGE = "deploy/field-log/"
FULL = "() => { throw new DOMException('full', 'QuotaExceededError') }"
TYPED = {
    "place": "=tarn; +north “end”",
    "latitude_deg": "54 25.93 N",
    "longitude_deg": "-2,5",
    "depth_m": "4.0",
    "water_temperature_c": "−1.5",
    "gain": "@middle",
    "rig": 'case 2\n- hydrophone "A"',
    "notes": "'tis 😀, שלום",
}
ENTRIES = """
() => new Promise((done) => {
  const request = indexedDB.open("wetside.field-log");
  request.onsuccess = () => {
    const all = request.result.transaction("entries").objectStore("entries").getAll();
    all.onsuccess = () => { request.result.close(); done(all.result); };
  };
})
"""


class Log:
    """The page of the log in one tab."""

    def __init__(self, reader, page=None):
        self.reader = reader
        self.page = page or reader.page
        self.open()

    def open(self):
        """Load the page and wait until entries are shown."""
        self.page.goto(self.reader.url + PAGE)
        self.ready()
        return self

    def ready(self):
        """The list has been read."""
        self.page.get_by_role("heading", name=re.compile(r"this device: \d")).wait_for()

    def write(self, event="deployed", **typed):
        """Fill the form."""
        self.page.get_by_role("radio", name=event.capitalize()).check()
        for name, text in typed.items():
            self.field(name).fill(text)
        return self

    def field(self, name):
        """A field of the form."""
        return self.page.locator(f".log-form [name={name}]")

    def press(self, words):
        """Press a button by its words."""
        self.page.get_by_role("button", name=words, exact=True).click()

    def save(self, count):
        """Save, and wait until so many entries are listed."""
        self.press("Save entry")
        self.listed(count)

    def listed(self, count):
        """Wait until so many entries are listed."""
        self.page.get_by_role("heading", name=f"this device: {count}", exact=False).wait_for()
        assert self.page.locator(".log-list > li").count() == count

    @property
    def said(self):
        """What the form says."""
        return self.page.locator(".log-form .said").inner_text()

    def tells(self, words, where=".kept"):
        """Wait until the page says this."""
        self.page.locator(where).get_by_text(words).wait_for()

    def download(self, words):
        """Press a button, and read the file that it gives."""
        with self.page.expect_download() as given:
            self.press(words)
        return Path(given.value.path()).read_bytes()

    def take_in(self, content, name="log.json"):
        """Choose a file."""
        file = {"name": name, "mimeType": "text/plain", "buffer": content}
        self.page.locator("#field-log-file").set_input_files(file)

    def offline_copy(self):
        """Wait until the handbook is kept; asked seldom, since making the copy is much work."""
        for _ in range(60):
            if self.reader.now("navigator.serviceWorker.controller"):
                return
            self.page.wait_for_timeout(1000)
        pytest.fail("the offline copy was not made")

    def kept(self):
        """What the browser's storage really holds."""
        return self.page.evaluate(ENTRIES)


@pytest.fixture
def log(reader):
    """One reader at the log."""
    return Log(reader)


def test_an_entry_is_kept_on_the_device_and_nowhere_else(open_reader):
    """No request carries it, no address names it, no cache holds it; with the offline copy made."""
    log = Log(open_reader(service_workers="allow"))
    log.offline_copy()
    requests = []
    log.write(**TYPED)
    log.page.on("request", lambda request: requests.append(request.url))
    log.save(1)
    log.page.context.set_offline(True)
    log.page.reload()
    log.listed(1)
    [entry] = log.kept()
    assert entry["latitude_deg"] == "54.432167"
    assert (entry["longitude_deg"], entry["depth_m"]) == ("-2.5", "4.0")
    assert entry["water_temperature_c"] == "-1.5"
    assert [entry[name] for name in ("place", "gain", "rig", "notes")] == [
        TYPED[name] for name in ("place", "gain", "rig", "notes")
    ]
    held = log.page.evaluate(
        """async () => {
          const texts = [];
          for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const request of await cache.keys()) texts.push(request.url);
          }
          return texts.concat([...document.links].map((a) => a.href), location.href).join(" ");
        }"""
    )
    for text in (*requests, held):
        assert not re.search("tarn;|@middle|54[.]43", text)
    assert not any("?" in url for url in requests)


def test_every_keystroke_outlives_reload_and_a_closed_tab(log):
    """Without saving; the form comes back as it was."""
    log.write(event="recovered")
    log.field("notes").press_sequentially("half a sent")
    log.page.reload()
    log.ready()
    assert log.field("notes").input_value() == "half a sent"
    log.field("latitude_deg").press_sequentially("54.x")
    other = log.page.context.new_page()
    log.page.close()
    again = Log(log.reader, other)
    assert again.field("notes").input_value() == "half a sent"
    assert again.field("latitude_deg").input_value() == "54.x"
    assert again.page.get_by_role("radio", name="Recovered").is_checked()
    again.press("Clear the form")
    assert again.field("notes").input_value() == ""
    again.press("Undo")
    assert again.field("notes").input_value() == "half a sent"


def test_it_lives_on_through_a_change_of_pages(log):
    """By links within the page, as readers go."""
    log.write(notes="on the way")
    log.reader.follow("safety/", "!document.querySelector('.log')")
    log.reader.follow(PAGE, "document.querySelector('.log')")
    log.ready()
    assert log.field("notes").input_value() == "on the way"


def test_two_tabs_lose_nothing(log):
    """Each has a form of its own, sees what the other saves, and overwrites nothing unasked."""
    other = Log(log.reader, log.page.context.new_page())
    log.write(place="first tab")
    other.write(place="second tab")
    assert log.field("place").input_value() == "first tab"
    log.save(1)
    other.listed(1)
    other.save(2)
    log.listed(2)
    for tab in (log, other):
        tab.page.get_by_role("button", name=re.compile("^Change: .*first tab")).click()
    other.tells("open in another tab", ".said")
    log.field("depth_m").fill("3")
    log.press("Save the change")
    log.tells("Saved on this device", ".said")
    assert {e["place"]: e["depth_m"] for e in log.kept()} == {"first tab": "3", "second tab": ""}


def test_an_entry_that_another_tab_deleted_is_not_lost_with_it(log):
    """The change stays in the form, and can be saved as an entry of its own."""
    log.write(place="weir")
    log.save(1)
    log.page.get_by_role("button", name=re.compile("^Change: ")).click()
    log.field("notes").fill("my change")
    other = Log(log.reader, log.page.context.new_page())
    other.page.get_by_role("button", name=re.compile("^Delete: ")).click()
    other.listed(0)
    log.page.bring_to_front()
    log.press("Save the change")
    log.tells("another tab has deleted this entry", ".said")
    assert log.field("notes").input_value() == "my change"
    log.press("Save mine as a new entry")
    log.listed(1)
    assert [e["notes"] for e in log.kept()] == ["my change"]


@pytest.mark.parametrize(
    "spoil",
    [f"IDBObjectStore.prototype.put = {FULL}", f"IDBFactory.prototype.open = {FULL}"],
    ids=["full", "blocked"],
)
def test_full_storage_keeps_the_entry_in_the_form_and_offers_a_way_out(open_reader, spoil):
    """The file that it gives can be taken in elsewhere."""
    reader = open_reader()
    reader.page.add_init_script(spoil)
    reader.go(PAGE)
    log = Log.__new__(Log)
    log.reader, log.page = reader, reader.page
    log.page.locator(".log-form").wait_for()
    log.write(**TYPED)
    log.press("Save entry")
    log.tells("its storage is full", ".said")
    assert log.field("notes").input_value() == TYPED["notes"]
    content = log.download("Save this entry as a file")
    assert json.loads(content)["entries"][0]["notes"] == TYPED["notes"]
    elsewhere = Log(open_reader())
    elsewhere.take_in(content)
    elsewhere.listed(1)
    assert elsewhere.kept() == json.loads(content)["entries"]


def test_an_unfinished_entry_that_cannot_be_kept_says_so(reader):
    """And outlives a change of pages at least."""
    reader.page.add_init_script(f"Storage.prototype.setItem = {FULL}")
    log = Log(reader).write(notes="only here")
    assert "does not let the page keep it" in log.said
    reader.follow("safety/", "!document.querySelector('.log')")
    reader.follow(PAGE, "document.querySelector('.log')")
    log.ready()
    assert log.field("notes").input_value() == "only here"
    log.save(1)


@pytest.mark.parametrize("kind", ["CSV", "JSON"])
def test_what_was_exported_comes_back_whole(log, kind):
    """After everything was deleted from the device."""
    log.write(**TYPED).save(1)
    log.write(event="note", notes="two").save(2)
    before = sorted(log.kept(), key=lambda e: e["id"])
    content = log.download(f"Save all as {kind}")
    log.press("Delete all…")
    log.press("Delete all")
    log.listed(0)
    assert log.kept() == []
    log.take_in(content, f"log.{kind.lower()}")
    log.listed(2)
    assert sorted(log.kept(), key=lambda e: e["id"]) == before
    log.take_in(content, f"log.{kind.lower()}")
    log.tells("0 taken in, 2 were here already")


def test_a_conflict_is_named_and_decided_by_the_reader(log):
    """Nothing changes before that."""
    log.write(place="tarn", depth_m="4").save(1)
    content = json.loads(log.download("Save all as JSON"))
    content["entries"][0]["depth_m"] = "4.2"
    content["entries"].append(
        content["entries"][0] | {"id": "00000000-0000-4000-8000-000000000001"}
    )
    changed = json.dumps(content).encode()
    log.take_in(changed)
    log.tells("1 new, 0 here already, and 1 that differ", ".offer")
    log.tells("Depth: here “4”, in the file “4.2”", ".offer")
    assert len(log.kept()) == 1
    log.press("Keep mine")
    log.listed(2)
    assert sorted(e["depth_m"] for e in log.kept()) == ["4", "4.2"]
    log.take_in(changed)
    log.press("Take the file's")
    log.tells("1 replaced")
    assert [e["depth_m"] for e in log.kept()] == ["4.2", "4.2"]


def test_a_broken_file_is_refused_by_its_first_fault_and_changes_nothing(log):
    """Named by line, column, field, value and what is accepted."""
    log.write(place="tarn", depth_m="4").save(1)
    before = log.kept()
    content = log.download("Save all as CSV").decode("utf-8-sig")
    row = content.splitlines()[1]
    log.take_in((content + row.replace(",4,", ",deep,")).encode(), "two.csv")
    log.tells("two.csv was not taken in, and nothing was changed: line 3, column")
    log.tells("field depth_m: “deep” is not accepted; accepted is a number from 0 to 11000")
    assert log.kept() == before


def test_deleted_is_deleted_and_can_be_taken_back_until_the_page_is_left(log):
    """The storage itself is looked into."""
    log.write(place="tarn").save(1)
    before = log.kept()
    log.page.get_by_role("button", name=re.compile("^Delete: ")).click()
    log.listed(0)
    assert log.kept() == []
    log.page.keyboard.press("Enter")  # the focus is on "Undo"
    log.listed(1)
    assert log.kept() == before
    log.page.get_by_role("button", name=re.compile("^Delete: ")).click()
    log.listed(0)
    log.page.reload()
    log.listed(0)
    assert log.page.get_by_role("button", name="Undo").count() == 0


def test_what_is_wrong_is_said_at_its_field_and_once_for_all(log):
    """The first field at fault gets the focus."""
    log.page.evaluate(
        """() => {
          window.heard = [];
          for (const region of document.querySelectorAll(".log [role=status]")) {
            new MutationObserver(() => window.heard.push(region.textContent))
              .observe(region, { childList: true, characterData: true, subtree: true });
          }
        }"""
    )
    log.field("date").fill("")
    log.press("Save entry")
    assert log.said == "Not saved: 2 fields are to be put right."
    assert log.page.evaluate("window.heard") == ["Not saved: 2 fields are to be put right."]
    errors = log.page.locator(".log-form .err").all_inner_texts()
    assert [e for e in errors if e] == [
        "What happened: nothing was given; accepted is one of deployed, checked, recovered, note.",
        "Date: nothing was given; accepted is a day of the calendar, as in 2026-06-14.",
    ]
    assert log.page.evaluate("document.activeElement.name") == "event"
    log.field("depth_m").fill("1,234")
    log.field("depth_m").press("Tab")
    assert "can be read as 1.234 or as 1234" in log.said
    assert log.field("depth_m").get_attribute("aria-invalid") == "true"


def test_by_keyboard_alone(log):
    """From the first choice to a saved entry."""
    log.page.get_by_role("radio", name="Deployed").focus()
    log.page.keyboard.press("ArrowRight")
    for _ in range(40):
        log.page.keyboard.press("Tab")
        name = log.page.evaluate("document.activeElement.name || document.activeElement.className")
        if name == "place":
            log.page.keyboard.type("tarn")
        if "save" in name.split():
            break
    log.page.keyboard.press("Enter")
    log.listed(1)
    assert [(e["event"], e["place"]) for e in log.kept()] == [("checked", "tarn")]
    assert log.page.evaluate("document.activeElement.id") == "field-log-title"


def test_the_next_entry_takes_over_what_lasts(log):
    """Place and rig, not weather and notes."""
    log.write(**TYPED).save(1)
    log.press("Place and rig as in the newest entry")
    assert log.field("place").input_value() == TYPED["place"]
    assert log.field("rig").input_value() == TYPED["rig"]
    assert log.field("notes").input_value() == ""


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (1440, "dark")])
def test_axe_is_content_and_every_target_is_large(open_reader, width, scheme):
    """With an entry, an error and an offer on show; nothing moved when the form came."""
    reader = open_reader(
        viewport={"width": width, "height": 844}, color_scheme=scheme, bypass_csp=True
    )
    log = Log(reader)
    assert log.page.evaluate("window.shifts") == []
    log.write(**TYPED).save(1)
    log.field("depth_m").fill("x")
    log.press("Save entry")
    log.page.get_by_role("button", name=re.compile("^Delete: ")).click()
    log.listed(0)
    assert violations(reader) == []
    small = log.page.evaluate(
        """() => [...document.querySelectorAll(".log :is(button, input, textarea, label.take-in)")]
          .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 44)
          .map((e) => e.name || e.className)"""
    )
    assert small == []
    assert log.page.evaluate("document.documentElement.scrollWidth - innerWidth") == 0


def test_without_javascript_there_is_a_sheet_to_print(open_reader):
    """And words that say why there is no form."""
    reader = open_reader(java_script_enabled=False)
    reader.go(PAGE)
    assert reader.page.get_by_text("The form needs JavaScript").is_visible()
    assert reader.page.locator(".sheet table").is_visible()


def test_the_sheet_prints_on_one_page_with_a_script_too(open_reader):
    """The form does not print."""
    reader = open_reader(viewport={"width": 673, "height": 986})
    log = Log(reader)
    log.page.emulate_media(media="print")
    assert log.page.locator(".sheet").bounding_box()["height"] < 986
    assert not log.page.locator(".log-form").is_visible()


def test_other_pages_do_not_load_its_code(reader):
    """It comes with the page that needs it."""
    scripts = []
    reader.page.on("request", lambda request: scripts.append(request.url))
    reader.go("safety/")
    reader.page.wait_for_load_state("networkidle")
    assert any("/page-" in url for url in scripts)
    assert not any("field-log" in url or "checklists" in url for url in scripts)
