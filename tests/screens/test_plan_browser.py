"""Map and why in a real browser: clicks on charts, and axe on the pages of a plan."""

import pytest

from tests.screens.test_browser import (
    CHROMIUM,
    STREAMLITS_OWN,
    address,
    browser,
    draft,
    open_demo,
    settle,
    tab,
    visit,
)

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed here")
pytestmark = [
    pytest.mark.screens,
    pytest.mark.solver,
    pytest.mark.slow,
    pytest.mark.timeout(300),
    pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium on this machine"),
]
__all__ = ["address", "browser", "tab"]

PLAN_WAIT_MS = 120_000
PAGES = ("site_map", "windows", "plan", "why")


def plan_demo(page, address, name="silo-rings"):
    open_demo(page, address, name)
    found = draft(page)
    visit(page, f"{address}/plan?w={found}")
    page.get_by_text("More: the order of goals").click()
    seconds = page.locator(".st-key-seconds input")
    seconds.fill("5")
    seconds.press("Enter")
    settle(page)
    page.locator(".st-key-plan button").click()
    page.locator(".st-key-download").wait_for(timeout=PLAN_WAIT_MS)
    settle(page)
    return found


def point_of(page, meta, index=0):
    """Where a point of a trace lies on the screen [px]."""
    return page.evaluate(
        """([meta, index]) => {
            const plot = document.querySelector('.js-plotly-plot');
            const trace = plot._fullData.find(one => String(one.meta || '').startsWith(meta));
            const {xaxis, yaxis} = plot._fullLayout;
            const box = plot.getBoundingClientRect();
            const base = trace.base ? trace.base[index] + trace.x[index] / 2 : trace.x[index];
            return [
                box.left + xaxis._offset + xaxis.l2p(base),
                box.top + yaxis._offset + yaxis.l2p(trace.y[index]),
            ];
        }""",
        [meta, index],
    )


def click_point(page, meta, index=0):
    page.locator(".js-plotly-plot").first.wait_for()
    page.set_viewport_size({"width": 1440, "height": 2600})
    page.wait_for_timeout(1200)
    x, y = point_of(page, meta, index)
    page.mouse.move(x - 2, y - 1)
    page.mouse.move(x, y)
    page.wait_for_timeout(200)
    page.mouse.click(x, y)
    settle(page)


def test_a_click_on_the_map_chooses_a_position(tab, address):
    open_demo(tab, address)
    visit(tab, f"{address}/site_map?w={draft(tab)}")
    tab.get_by_text("A position", exact=True).click()
    settle(tab)
    chosen = tab.locator(".st-key-map-position")
    assert chosen.locator("input").input_value() == "Yard"
    click_point(tab, "positions", 1)
    tab.wait_for_timeout(1500)
    assert chosen.locator("input").input_value() == "Mid-W"


def test_a_click_places_a_new_position(tab, address):
    open_demo(tab, address)
    visit(tab, f"{address}/site_map?w={draft(tab)}")
    tab.get_by_text("A new position", exact=True).click()
    tab.get_by_text("Looking down", exact=True).click()
    settle(tab)
    field = tab.locator("[class*=st-key-new-x] input")
    before = field.input_value()
    click_point(tab, "places", 40)
    tab.wait_for_timeout(1500)
    assert field.input_value() not in ("", before)


def test_a_click_on_a_spell_says_what_set_it(tab, address):
    found = plan_demo(tab, address)
    visit(tab, f"{address}/why?w={found}")
    heading = tab.locator("h4").first
    before = heading.inner_text()
    click_point(tab, "spell of", 1)
    tab.wait_for_timeout(1500)
    assert heading.inner_text() != before


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_serious_on_the_pages_of_a_plan(browser, address, scheme):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="no axe here")
    window = browser.new_context(viewport={"width": 1440, "height": 1400}, color_scheme=scheme)
    page = window.new_page()
    page.set_default_timeout(30_000)
    plan = plan_demo(page, address)
    found = []
    for name in PAGES:
        visit(page, f"{address}/{name}?w={plan}")
        page.wait_for_timeout(1500)
        found.append((name, axe.Axe().run(page)))
    window.close()
    serious = [
        f"{where}: {one['id']}: {node['html'][:200]}"
        for where, result in found
        for one in result.response["violations"]
        if one["impact"] in {"serious", "critical"}
        for node in one["nodes"]
        if not any(part in node["html"] for part in STREAMLITS_OWN)
    ]
    assert serious == []
