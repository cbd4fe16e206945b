"""Scenarios are opened from folders, workbooks and zip files; odd ones are told, never run."""

import io
import struct
import zipfile

import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.tables import read_tables
from planner.scenario.writer import write_folder
from planner.workflow import opening
from planner.workflow.demos import demos
from planner.workflow.editing import look_at
from planner.workflow.opening import blank_tables, read_for_editing, read_upload
from planner.workflow.saving import scenario_workbook, scenario_zip

DEMO = "silo-rings"


@pytest.fixture(scope="module")
def demo():
    return read_tables(demos()[DEMO])


def packed(files):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def refusal(name, content):
    with pytest.raises(InputRefusedError) as refused:
        read_upload(name, content)
    return refused.value.problems


def test_a_zip_and_a_workbook_give_the_tables_back(demo):
    assert read_upload("a.zip", scenario_zip(demo, "site")) == demo
    assert read_upload("a.xlsx", scenario_workbook(demo)) == demo


def test_a_zip_may_have_the_tables_in_a_folder_with_other_things_beside(demo):
    with zipfile.ZipFile(io.BytesIO(scenario_zip(demo, "jobs/site"))) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    files |= {"jobs/site/plan/spells.csv": b"run\n", "readme.txt": b"hello"}
    assert read_upload("a.zip", packed(files)) == demo


@pytest.mark.parametrize(
    ("path", "why"),
    [
        ("../zones.csv", "leads out"),
        ("site/../../zones.csv", "leads out"),
        ("/etc/zones.csv", "not a plain path"),
        ("C:/zones.csv", "not a plain path"),
    ],
)
def test_a_zip_with_odd_paths_is_refused_as_a_whole(path, why):
    (problem,) = refusal("a.zip", packed({"campaign.toml": "", path: "zone\n"}))
    assert problem.code == "zip-odd-path"
    assert why in problem.message


def test_a_backslash_in_a_path_is_odd_too():
    content = packed({"a/zones.csv": "zone\n"}).replace(b"a/zones.csv", b"a\\zones.csv")
    assert refusal("a.zip", content)[0].code == "zip-odd-path"


def test_a_link_in_a_zip_is_refused():
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        link = zipfile.ZipInfo("zones.csv")
        link.external_attr = 0o120777 << 16
        archive.writestr(link, "/etc/passwd")
    (problem,) = refusal("a.zip", buffer.getvalue())
    assert "is a link" in problem.message


def test_a_zip_that_says_it_is_huge_is_refused_before_it_is_unpacked(monkeypatch):
    monkeypatch.setattr(opening, "UNPACKED_BYTES_MAX", 1000)
    content = packed({"campaign.toml": "", "zones.csv": "x" * 2000})
    assert refusal("a.zip", content)[0].code == "zip-too-large"


def test_a_zip_that_lies_about_its_size_is_refused_while_it_is_unpacked(monkeypatch):
    monkeypatch.setattr(opening, "UNPACKED_BYTES_MAX", 1000)
    content = packed({"zones.csv": "x" * 2000})
    lied = content.replace(struct.pack("<L", 2000), struct.pack("<L", 900))
    assert refusal("a.zip", lied)[0].code in {"zip-too-large", "zip-broken"}


def test_too_many_files_are_refused(monkeypatch):
    monkeypatch.setattr(opening, "ENTRIES_MAX", 3)
    content = packed({f"{number}.txt": "" for number in range(4)})
    assert refusal("a.zip", content)[0].code == "zip-too-large"


def test_an_upload_over_the_limit_is_refused(monkeypatch):
    monkeypatch.setattr(opening, "UPLOAD_BYTES_MAX", 10)
    (problem,) = refusal("a.xlsx", b"x" * 11)
    assert problem.code == "upload-too-big"


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("a.zip", b"no zip file", "zip-broken"),
        ("a.zip", packed({"photo.jpg": "x"}), "not-a-scenario"),
        ("a.exe", b"MZ", "not-a-scenario"),
        ("a.xlsx", b"no workbook", "workbook-broken"),
        ("..\\..\\a.pdf", b"%PDF", "not-a-scenario"),
    ],
)
def test_what_is_no_scenario_is_told(name, content, code):
    assert refusal(name, content)[0].code == code


def test_a_zip_of_two_scenarios_is_told():
    content = packed({"a/campaign.toml": "", "b/campaign.toml": ""})
    (problem,) = refusal("a.zip", content)
    assert "2 scenarios (a, b)" in problem.message


def test_a_damaged_zip_is_told(demo):
    content = bytearray(scenario_zip(demo, "site"))
    content[60:90] = b"\0" * 30
    assert refusal("a.zip", bytes(content))[0].code == "zip-broken"


def test_problems_of_an_upload_name_the_file_that_was_uploaded():
    assert refusal("survey.xlsx", b"no workbook")[0].file == "survey.xlsx"


def test_a_scenario_with_wrong_cells_is_opened_to_be_mended(tmp_path, demo):
    write_folder(demo, tmp_path / "site")
    text = (tmp_path / "site" / "zones.csv").read_text(encoding="utf-8")
    (tmp_path / "site" / "zones.csv").write_text(text.replace("vertical", "slanting", 1))
    assert look_at(read_for_editing(tmp_path / "site")).wrong == 1


def test_a_table_that_cannot_be_read_keeps_the_scenario_out(tmp_path, demo):
    write_folder(demo, tmp_path / "site")
    (tmp_path / "site" / "zones.csv").write_bytes("zone\nZ1\n".encode("utf-16"))
    with pytest.raises(InputRefusedError) as refused:
        read_for_editing(tmp_path / "site")
    assert "not-utf-8" in {problem.code for problem in refused.value.problems}


def test_a_folder_without_a_campaign_file_can_be_opened(tmp_path):
    (tmp_path / "zones.csv").write_text("zone\nZ1\n")
    assert read_for_editing(tmp_path).tables["zones"].rows == (("Z1",),)


def test_a_folder_without_any_table_is_no_scenario(tmp_path):
    with pytest.raises(InputRefusedError) as refused:
        read_for_editing(tmp_path)
    assert refused.value.problems[0].code == "not-a-scenario"


def test_a_blank_scenario_has_the_headings_that_all_need():
    blank = blank_tables()
    assert blank.tables["shifts"].columns == ("shift", "days", "start", "end")
    assert look_at(blank).loaded is None
