"""The page on equipment and cautions opens on every demo and shows what the workflow says."""

import pytest

from planner.workflow.demos import demos

pytestmark = pytest.mark.screens

PAGE = "planner/screens/pages/equipment.py"


def opened(page, name):
    page.button(key=f"demo-{name}").click().run()
    page.switch_page(PAGE).run()
    assert not page.exception
    return page


def view(page, name):
    page.segmented_control(key="gear-view").set_value(name).run()
    assert not page.exception
    return page


def written(page):
    return "\n".join(str(item.value) for item in (*page.markdown, *page.caption, *page.info))


def test_without_a_scenario_the_page_leads_to_the_first(page):
    page.switch_page(PAGE).run()
    assert not page.exception
    assert "Open a scenario" in page.info[0].value


@pytest.mark.parametrize("name", list(demos()))
def test_lines_advice_and_sources_are_shown_for_each_demo(page, name):
    opened(page, name)
    assert "is the limit that plans keep to" in page.info[0].value
    assert len(page.dataframe) == 1
    advice, why = page.table
    assert list(advice.value.columns) == ["Rows", "Advice"]
    assert "hose\\_m" in set(why.value["Number"])


def test_another_row_can_be_asked_for(page):
    opened(page, "quay-soffit")
    before = page.table[1].value
    page.selectbox(key="gear-row").set_value(30).run()
    assert not page.exception
    assert "pump\\_kw" in set(page.table[1].value["Number"])
    assert "pump\\_kw" not in set(before["Number"])


def test_cautions_are_shown_and_can_be_narrowed(page):
    opened(page, "trunk-sewer")
    everything = written(view(page, "Cautions"))
    assert "approves nothing" in everything
    assert "**Confined space** · all 120 zones" in everything
    assert "**Fresh concrete overhead**" in everything
    page.selectbox(key="caution-zone").set_value("S1-0005R").run()
    assert not page.exception
    assert "**Confined space** · zone S1-0005R" in written(page)
    assert "**Fresh concrete overhead**" not in written(page)


def test_without_a_plan_its_cautions_lead_to_planning(page):
    opened(page, "trunk-sewer")
    view(page, "In the plan")
    assert "There is no plan yet." in written(page)
    page.button(key="go-plan").click().run()
    assert not page.exception


def test_every_kind_of_the_catalogue_can_be_looked_at(page):
    opened(page, "trunk-sewer")
    view(page, "Machine catalogue")
    choice = page.selectbox(key="kind")
    for name in ("Robotic boom", "Worm (mortar) pump"):
        assert name in choice.options
    choice.set_value("wet-boom").run()
    assert not page.exception
    assert "remote-controlled arm" in written(page)
    assert len(page.table[0].value) == 13
