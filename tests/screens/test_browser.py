"""The whole job in a real browser, from an upload to a plan that is read back.

Skipped, with the reason, where playwright or Chromium is not there.
"""

import csv
import io
import shutil
import zipfile
from pathlib import Path

import pytest

from planner.scenario.raw import RawTable
from planner.scenario.tables import read_tables
from planner.screens.navigation import TITLES
from planner.workflow.demos import demos
from planner.workflow.editing import with_table
from planner.workflow.opening import read_upload
from planner.workflow.saving import scenario_workbook, scenario_zip

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed here")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = [
    pytest.mark.screens,
    pytest.mark.timeout(300),
    pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium on this machine"),
]

SPITEFUL = "<img src=x onerror=window.hacked=1>"
GRID = '[data-testid="stDataFrameResizable"] canvas'
ROW_PX = 35


@pytest.fixture(scope="module")
def address():
    from tests.screens.shots import serving

    with serving() as found:
        yield found


@pytest.fixture(scope="module")
def browser():
    from tests.screens.shots import FLAGS

    with sync_api.sync_playwright() as play:
        found = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield found
        found.close()


@pytest.fixture
def tab(browser):
    """One browser window; what it was asked to fetch from elsewhere is noted."""
    window = browser.new_context(viewport={"width": 1440, "height": 1400}, accept_downloads=True)
    window.grant_permissions(["clipboard-read", "clipboard-write"])
    page = window.new_page()
    page.set_default_timeout(30_000)
    yield page
    window.close()


def visit(page, address):
    page.goto(address)
    page.locator("h1").first.wait_for()
    settle(page)


def settle(page):
    """Wait until the server has nothing more to say for a moment."""
    page.wait_for_timeout(300)
    page.wait_for_function("() => !document.querySelector('[data-testid=\"stStatusWidget\"]')")
    page.wait_for_timeout(400)


def upload(page, address, name, content):
    visit(page, address)
    page.get_by_text("An upload", exact=True).click()
    page.locator("input[type=file]").set_input_files(
        {"name": name, "mimeType": "application/octet-stream", "buffer": content}
    )
    page.locator(".st-key-open-upload button").click()
    page.wait_for_url("**w=*")
    settle(page)


def open_demo(page, address, name="silo-rings"):
    visit(page, address)
    page.locator(f".st-key-demo-{name} button").click()
    page.wait_for_url("**w=*")
    settle(page)


def draft(page):
    return page.url.split("w=")[1].split("&")[0]


def to_tables(page, address, group="Work"):
    visit(page, f"{address}/tables?w={draft(page)}")
    page.locator(".st-key-table-group").get_by_text(group, exact=False).first.click()
    settle(page)


def shows(page, column, row, text):
    """Wait until a cell shows a text; the page may be slow, but must come to it."""
    place = page.locator(f'[data-testid="glide-cell-{column}-{row}"]').first
    sync_api.expect(place).to_have_text(text, timeout=20_000)


def cell(page, column, row):
    return page.locator(f'[data-testid="glide-cell-{column}-{row}"]').first.inner_text()


def go_to_cell(page, column, row):
    """Choose a cell: by mouse to its row, by keys to its column, each step waited for."""
    page.bring_to_front()
    box = page.locator(GRID).first.bounding_box()
    across, down = box["x"] + 120, box["y"] + ROW_PX * (row + 1) + 15
    page.mouse.move(across - 9, down - 5)  # the sheet follows the pointer, as a hand moves it
    page.wait_for_timeout(150)
    page.mouse.move(across, down)
    page.wait_for_timeout(100)
    page.mouse.click(across, down)
    chosen = page.locator('[data-testid^="glide-cell-"][aria-selected="true"]').first
    chosen.wait_for(state="attached")
    page.keyboard.press("Home")
    for _ in range(column):
        page.keyboard.press("ArrowRight")
    page.locator(f'[data-testid="glide-cell-{column}-{row}"][aria-selected="true"]').wait_for(
        state="attached"
    )


def type_cell(page, column, row, text):
    go_to_cell(page, column, row)
    page.keyboard.type(text, delay=60)
    page.keyboard.press("Enter")
    settle(page)


def downloaded(page, key):
    with page.expect_download() as waiting:
        page.locator(f".st-key-{key} button").click()
    with open(waiting.value.path(), "rb") as file:  # noqa: PTH123 - a path of the browser's
        return file.read()


def small():
    """The silo demo with its two lowest rings alone, so that a plan is found soon."""
    tables = read_tables(demos()["silo-rings"])
    zones = tables.tables["zones"]
    few = RawTable(columns=zones.columns, rows=zones.rows[:8])
    return with_table(with_table(tables, "zones", few), "apart", None)


def test_the_whole_job_from_an_upload_to_numbers_that_are_read_back(tab, address):
    scenario = small()
    asked: set[str] = set()
    tab.on("request", lambda request: asked.add(request.url))
    upload(tab, address, "silo.zip", scenario_zip(scenario, "silo"))
    to_tables(tab, address)
    area = scenario.tables["zones"].columns.index("area_m2") + 1
    shows(tab, area, 0, "23.6")

    type_cell(tab, area, 0, "20,5")
    shows(tab, area, 0, "20,5")
    shows(tab, 0, 0, "2 ✗ 1")
    tab.get_by_text("1 thing to mend").wait_for()
    visit(tab, f"{address}/plan?w={draft(tab)}")
    tab.get_by_text("cannot be planned yet").wait_for()

    to_tables(tab, address)
    type_cell(tab, area, 0, "20.5")
    shows(tab, 0, 0, "2")
    tab.get_by_text("Nothing is wrong in this table").wait_for()

    visit(tab, f"{address}/plan?w={draft(tab)}")
    tab.get_by_text("More: the order of goals").click()
    seconds = tab.locator(".st-key-seconds input")
    seconds.fill("5")
    seconds.press("Enter")
    settle(tab)
    tab.locator(".st-key-plan button").click()
    tab.locator(".st-key-download button").wait_for(timeout=120_000)
    settle(tab)
    with zipfile.ZipFile(io.BytesIO(downloaded(tab, "download"))) as archive:
        rows = csv.DictReader(io.StringIO(archive.read("plan/spells.csv").decode()))
        volume = {row["zone"]: 0.0 for row in rows}
        text = archive.read("plan/spells.csv").decode()
    for row in csv.DictReader(io.StringIO(text)):
        volume[row["zone"]] += float(row["volume_m3"])
    # 20.5 m2 by 140 mm with a tenth of overbreak
    assert volume["R01W"] == pytest.approx(20.5 * 0.140 * 1.10, abs=0.01)
    assert len(volume) == 8

    to_tables(tab, address)
    tab.get_by_text("Copy, save, download").click()
    kept = read_upload("a.zip", downloaded(tab, "download-zip"))
    assert kept.tables["zones"].rows[0][area - 1] == "20.5"
    book = read_upload("a.xlsx", downloaded(tab, "download-xlsx"))
    assert book == kept
    assert [url for url in asked if not url.startswith((address, "data:", "blob:"))] == []


@pytest.mark.slow
def test_a_cell_is_changed_with_keys_alone(tab, address):
    open_demo(tab, address)
    visit(tab, f"{address}/tables?w={draft(tab)}")
    for _ in range(60):
        tab.keyboard.press("Tab")
        if tab.evaluate("() => document.activeElement.tagName") == "CANVAS":
            break
    tab.keyboard.press("ArrowDown")
    for _ in range(4):
        tab.keyboard.press("ArrowRight")
    tab.keyboard.type("9,9", delay=60)
    tab.keyboard.press("Enter")
    settle(tab)
    shows(tab, 4, 1, "9,9")


@pytest.mark.slow
def test_quick_keystrokes_are_all_kept_and_undone_one_by_one(tab, address):
    open_demo(tab, address)
    to_tables(tab, address)
    before = [cell(tab, 5, row) for row in range(3)]
    go_to_cell(tab, 5, 0)
    for text in (".5", "1,5", "3 m2"):
        tab.keyboard.type(text, delay=60)  # a fast typist; a page cannot follow 15 ms
        tab.wait_for_timeout(60)
        tab.keyboard.press("Enter")
        tab.wait_for_timeout(120)
    settle(tab)
    for row, text in enumerate((".5", "1,5", "3 m2")):
        shows(tab, 5, row, text)
    for row, text in enumerate(("2", "3 ✗ 1", "4 ✗ 1")):
        shows(tab, 0, row, text)
    for row in (2, 1, 0):
        tab.keyboard.press("Control+z")
        shows(tab, 5, row, before[row])


@pytest.mark.slow
def test_rows_are_pasted_from_a_spreadsheet_as_they_are(tab, address):
    open_demo(tab, address)
    to_tables(tab, address, "Rigs and people")
    tab.get_by_text("shifts", exact=False).first.click()
    settle(tab)
    rows = "n1\tMon;Tue\t22:00\t05:00\nn2\tMon-Fri\t6 pm\t06:00\n=n3\tSat\t01:00\t02:00"
    tab.evaluate("text => navigator.clipboard.writeText(text)", rows)
    go_to_cell(tab, 1, 2)
    tab.keyboard.press("Control+v")
    settle(tab)
    for row, text in enumerate(("4", "5 ✗ 2", "6 ✗ 1"), start=2):
        shows(tab, 0, row, text)
    shown = [[cell(tab, column, row) for column in range(1, 5)] for row in range(2, 5)]
    assert shown == [line.split("\t") for line in rows.split("\n")]


@pytest.mark.slow
def test_a_row_is_written_as_a_form_with_choices(tab, address):
    open_demo(tab, address)
    to_tables(tab, address, "Rigs and people")
    tab.get_by_text("shifts", exact=False).first.click()
    settle(tab)
    tab.locator(".st-key-row-new button").click()
    form = tab.get_by_role("dialog")
    form.get_by_role("textbox", name="Shift (required)").fill("night")
    days = form.get_by_role("combobox", name="Days (required)")
    days.click()
    days.fill("Tue")
    days.press("Enter")
    days.press("Tab")
    form.get_by_role("textbox", name="Start (required)").fill("22:00")
    form.get_by_role("textbox", name="End (required)").fill("05:00")
    form.get_by_role("button", name="Keep the row").click()
    settle(tab)
    for column, text in enumerate(("4", "night", "Tue", "22:00", "05:00")):
        shows(tab, column, 2, text)


@pytest.mark.slow
def test_two_tabs_tell_of_each_other_and_nothing_is_lost(tab, address):
    open_demo(tab, address)
    to_tables(tab, address)
    other = tab.context.new_page()
    visit(other, tab.url)
    was = cell(tab, 5, 1)
    type_cell(tab, 5, 0, "77")
    type_cell(other, 5, 1, "88")
    other.get_by_text("Nothing was overwritten").wait_for()
    shows(other, 5, 0, "77")
    shows(other, 5, 1, was)
    other.locator(".st-key-keep-mine button").click()
    other.wait_for_function("id => !location.href.includes(id)", arg=draft(tab))
    settle(other)
    shows(other, 5, 1, "88")
    visit(tab, tab.url)
    shows(tab, 5, 0, "77")
    shows(tab, 5, 1, was)


@pytest.mark.slow
def test_html_in_a_name_is_never_run(tab, address):
    scenario = small()
    zones = scenario.tables["zones"]
    at = zones.columns.index("zone")
    spiteful = tuple((*row[:at], SPITEFUL + row[at], *row[at + 1 :]) for row in zones.rows)
    spiteful = tuple(
        tuple(
            SPITEFUL + text if zones.columns[place] == "after" and text else text
            for place, text in enumerate(row)
        )
        for row in spiteful
    )
    named = with_table(scenario, "zones", RawTable(columns=zones.columns, rows=spiteful))
    upload(tab, address, "odd.xlsx", scenario_workbook(named))
    for page in ("", *list(TITLES)[1:]):
        visit(tab, f"{address}/{page}?w={draft(tab)}")
        assert tab.evaluate("() => window.hacked") is None
    to_tables(tab, address)
    assert cell(tab, 1, 0).startswith("<img src=x")
    assert tab.locator("img[src=x]").count() == 0


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious_of_our_own_making(browser, address, scheme):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="no axe here")
    window = browser.new_context(viewport={"width": 1440, "height": 1400}, color_scheme=scheme)
    page = window.new_page()
    page.set_default_timeout(30_000)
    open_demo(page, address)
    found = [("start", axe.Axe().run(page))]
    for group in ("Work", "Settings"):
        to_tables(page, address, group)
        found.append((group, axe.Axe().run(page)))
    visit(page, address)
    page.get_by_text("A blank one", exact=True).click()
    settle(page)
    found.append(("blank", axe.Axe().run(page)))
    window.close()
    serious = [
        f"{where}: {one['id']}: {node['html'][:160]}"
        for where, result in found
        for one in result.response["violations"]
        if one["impact"] in {"serious", "critical"}
        for node in one["nodes"]
        if not any(part in node["html"] for part in STREAMLITS_OWN)
    ]
    assert serious == []


STREAMLITS_OWN = ("stFileUploaderDropzone",)
"""Parts of findings that the page library makes and no setting changes."""


@pytest.mark.slow
def test_the_pages_listen_on_this_machine_alone(address):
    port = int(address.rpartition(":")[2])
    tables = [Path("/proc/net/tcp"), Path("/proc/net/tcp6")]
    if not tables[0].is_file():
        pytest.skip("this system does not list its sockets in /proc")
    listening = set()
    for table in filter(Path.is_file, tables):
        for line in table.read_text().splitlines()[1:]:
            where, number = line.split()[1].split(":")
            if line.split()[3] == "0A" and int(number, 16) == port:  # 0A: listens
                listening.add(where)
    # 127.0.0.1 and ::1, as the kernel writes them
    assert listening <= {"0100007F", "00000000000000000000000001000000"}
    assert listening
