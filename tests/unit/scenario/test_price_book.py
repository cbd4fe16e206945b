"""prices.toml is read with the scenario, checked with it, and written back as it was."""

from dataclasses import replace

import pytest

from planner.core.problems import InputRefusedError
from planner.scenario.dictionary.price_book import BOOK_KEYS, BOOK_OWNERS
from planner.scenario.price_book import price_book_of, price_book_toml
from planner.scenario.reader import campaign_of, read_scenario
from planner.scenario.tables import read_tables
from planner.scenario.workbook import write_workbook
from planner.scenario.writer import write_folder
from tests.unit.scenario.scenes import scene

BOOK = {
    "mobilise.site": "1200",
    "mobilise.rig.R1": "850.50",
    "extra.day.Rescue boat": "95",
    "on_top.profit": "0.08",
}


def with_book():
    return replace(scene(), book=BOOK)


def problems_of(book):
    with pytest.raises(InputRefusedError) as refused:
        campaign_of(replace(scene(), book=book, book_lines=dict.fromkeys(book, 7)))
    return [problem.line() for problem in refused.value.problems]


def test_rates_are_read_and_the_others_stand_for_nothing():
    book = price_book_of(with_book())
    assert book.rate("mobilise.site") == 1200.0
    assert book.rate("mobilise.rig.R1") == 850.5
    assert book.rate("break_out.m3") == 0.0
    assert book.named("extra.day") == {"Rescue boat": 95.0}


def test_counts_that_have_a_default_keep_it_unless_they_are_written():
    assert price_book_of(scene()).rate("curing.days") == 7.0
    assert price_book_of(replace(scene(), book={"curing.days": "3"})).rate("curing.days") == 3.0
    assert price_book_of(replace(scene(), book={"disposal.bulking": "0"})).rate(
        "disposal.bulking"
    ) == (0.0)


def test_a_scenario_without_a_price_book_has_no_rates():
    assert price_book_of(scene()).written == ()


def test_the_price_book_does_not_change_the_fingerprint_of_the_scenario():
    plain, _ = campaign_of(scene())
    priced, _ = campaign_of(with_book())
    assert plain.fingerprint == priced.fingerprint


def test_folder_and_workbook_keep_the_price_book(tmp_path):
    write_folder(with_book(), tmp_path / "a")
    assert dict(read_tables(tmp_path / "a").book) == BOOK
    write_workbook(read_tables(tmp_path / "a"), tmp_path / "b.xlsx")
    assert dict(read_tables(tmp_path / "b.xlsx").book) == BOOK
    _, warnings = read_scenario(tmp_path / "a")
    assert warnings == []


def test_an_old_price_book_goes_with_the_scenario_that_has_none(tmp_path):
    write_folder(with_book(), tmp_path / "a")
    write_folder(scene(), tmp_path / "a")
    assert not (tmp_path / "a" / "prices.toml").exists()


def test_the_file_is_written_in_sections():
    assert price_book_toml(BOOK) == (
        "[mobilise]\nsite = 1200\n\n"
        "[mobilise.rig]\nR1 = 850.50\n\n"
        '[extra.day]\n"Rescue boat" = 95\n\n'
        "[on_top]\nprofit = 0.08\n"
    )


@pytest.mark.parametrize(
    ("key", "text", "line"),
    [
        (
            "mobilise.rig.R2",
            "5",
            'prices.toml:7:mobilise.rig.R2: R2 is not in rigs.csv; did you mean "R1"?',
        ),
        (
            "hose.wear_m3_100m.wett",
            "5",
            'prices.toml:7:hose.wear_m3_100m.wett: wett is not a process; did you mean "wet"?',
        ),
        (
            "curing.m2",
            "4,5",
            (
                'prices.toml:7:curing.m2: "4,5" is not a plain number; write 4.5, with a point as'
                " decimal mark"
            ),
        ),
        ("curing.m2", "-1", "prices.toml:7:curing.m2: -1 is below 0; write a plain number"),
        ("curing.m3", "1", "prices.toml:7:curing.m3: there is no such rate; did you mean"),
    ],
)
def test_a_wrong_rate_is_refused_with_its_place(key, text, line):
    assert problems_of({key: text})[0].startswith(line)


def test_a_share_written_as_percent_draws_a_warning():
    _, warnings = campaign_of(replace(scene(), book={"on_top.profit": "8"}))
    assert "write 12 % as 0.12" in warnings[0].line()


def test_every_group_of_names_has_its_key():
    groups = {key.name.removesuffix(".*") for key in BOOK_KEYS if key.name.endswith(".*")}
    assert groups == set(BOOK_OWNERS)
