"""Headings of other people's lists find the columns they mean."""

import pytest

from planner.scenario.dictionary import TABLE_BY_NAME
from planner.scenario.survey.headings import heading_of, suggested

ZONES = TABLE_BY_NAME["zones"]


def meant(*headings, table="zones"):
    return {
        headings[match.place]: (match.target, match.unit)
        for match in suggested(headings, TABLE_BY_NAME[table])
    }


@pytest.mark.parametrize(
    ("text", "words", "unit"),
    [
        ("Depth (cm)", "Depth", "cm"),
        ("Area [m2]", "Area", "m²"),
        ("area_sqm", "area", "m²"),
        ("Thickness mm", "Thickness", "mm"),
        ("Zone", "Zone", ""),
        ("Level (approx)", "Level (approx)", ""),
    ],
)
def test_a_heading_is_taken_apart_into_words_and_unit(text, words, unit):
    heading = heading_of(text)
    assert (heading.words, heading.unit) == (words, unit)


def test_a_survey_of_patches_is_understood():
    found = meant(
        "Defect ref",
        "Easting (m)",
        "Northing (m)",
        "Soffit level (m)",
        "Area (sqm)",
        "Depth (cm)",
        "Face",
        "Remarks",
    )
    assert found == {
        "Defect ref": ("zone", ""),
        "Easting (m)": ("x_m", "m"),
        "Northing (m)": ("y_m", "m"),
        "Soffit level (m)": ("z_m", "m"),
        "Area (sqm)": ("area_m2", "m²"),
        "Depth (cm)": ("depth_mm", "cm"),
        "Face": ("orientation", ""),
        "Remarks": ("", ""),
    }


def test_our_own_headings_are_understood_all():
    assert all(target == name for name, (target, _) in meant(*ZONES.column_names).items())


def test_a_column_is_suggested_once():
    targets = [match.target for match in suggested(("depth", "Depth (cm)", "thickness"), ZONES)]
    assert targets.count("depth_mm") == 1


def test_a_unit_that_a_column_cannot_have_keeps_them_apart():
    assert meant("Depth (m3)")["Depth (m3)"][0] != "depth_mm"


def test_hose_routes_are_understood_too():
    found = meant("From", "To", "Hose length (ft)", "Elbows", table="routes")
    assert found["Hose length (ft)"] == ("length_m", "ft")
    assert found["Elbows"][0] == "bends"
