"""Stagings as charts, frames and PDF."""

from io import BytesIO

import pytest

from planner.estimate.crossing import Crossing
from planner.reports.comparison import compare_rows, crossing_words
from planner.reports.comparison_pdf import CurvePicture, comparison_pdf
from planner.reports.comparison_tables import stagings_frame
from planner.reports.figures.stagings import break_even_curve, money_bars
from tests.builders import clock
from tests.unit.estimate.test_staging import staging

pypdf = pytest.importorskip("pypdf")

DRY = staging("dry", name="Dry & <b>bold</b>", total=90.0, money={"material": 60.0, "day": 30.0})
WET = staging("wet", processes=("wet",), total=60.0, money={"material": 20.0, "day": 40.0})
LESS = staging("barge", planned_m3=4.0, left_out=3, total=50.0, money={"day": 50.0})
CURVE = (
    [staging("dry", at=0.5, planned_m3=5.0, total=40.0), staging("dry", at=1.0, total=90.0)],
    [staging("wet", at=0.5, planned_m3=5.0, total=50.0), staging("wet", at=1.0, total=60.0)],
)
# 40 against 50 at 0.5, 90 against 60 at 1.0: a quarter of the way between them.
CROSSING = Crossing(at=0.625, low=0.5, high=1.0)


def test_every_bar_ends_with_its_total_and_finish():
    figure = money_bars([DRY, WET], clock())
    assert [trace.name for trace in figure.data] == ["time", "material"]
    assert list(figure.data[0].x) == [30.0, 40.0]
    texts = [note.text for note in figure.layout.annotations]
    # Three and a half days after Monday 2 March.
    assert texts == [" <b>90</b> · done Thu 5 Mar", " <b>60</b> · done Thu 5 Mar"]
    assert all(trace.marker.pattern.fillmode == "overlay" for trace in figure.data)


def test_a_plan_that_leaves_zones_out_is_a_ring_on_the_curve():
    figure = break_even_curve([DRY], [LESS], [CROSSING], axis_title="m")
    assert [list(trace.marker.symbol) for trace in figure.data] == [["circle"], ["circle-open"]]
    assert figure.layout.annotations[0].text == "same cost at 0.625"


def test_the_words_of_a_crossing_tell_the_volume_where_it_changes():
    told = crossing_words(*CURVE, [CROSSING], "x")
    assert told == (
        "DRY and WET cost the same at about 0.625 x, 6 m³ in place "
        "(between the planned 0.5 and 1)."
    )


def test_rows_and_frame_hold_the_same_figures():
    rows = list(compare_rows([DRY, WET]))
    frame = stagings_frame([DRY, WET])
    assert frame["Estimate"].tolist() == [row.total for row in rows]
    assert frame["Cost gap (%)"].isna().all()


def test_the_pdf_tells_the_verdict_and_takes_any_name():
    picture = CurvePicture(
        title="By volume", unit="x", one=CURVE[0], other=CURVE[1], words="They cross."
    )
    data = comparison_pdf("<i>Job</i> & Co", [DRY, WET, LESS], [picture], version="1")
    pages = pypdf.PdfReader(BytesIO(data)).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    for words in ("<i>Job</i> & Co", "WET costs 60", "Dry & <b>bold</b>", "They cross.", "4.0 m³"):
        assert words in text
    assert data == comparison_pdf("<i>Job</i> & Co", [DRY, WET, LESS], [picture], version="1")


def test_curves_alone_make_a_report_too():
    picture = CurvePicture(title="By", unit="m", one=(), other=(), words="Nothing.")
    assert comparison_pdf("Job", [], [picture], version="1").startswith(b"%PDF")
