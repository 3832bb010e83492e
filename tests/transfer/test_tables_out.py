"""What the pages show, as files for a spreadsheet."""

import csv
import io
from datetime import date
from typing import Any

import pytest
from django.test import Client

from builds.models import Build
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.rates.comparison import rates_page
from builds.transfer.tables.out import TableOut, as_csv, as_workbook
from tests.factories import make_build, make_entry, make_part

EVIL = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "'=1")


def rows_of(content: bytes) -> list[list[Any]]:
    from openpyxl import load_workbook

    (tab,) = load_workbook(io.BytesIO(content)).worksheets
    return [[cell.value.date() if cell.is_date else cell.value for cell in row] for row in tab.iter_rows()]


@pytest.fixture
def build(db: None) -> Build:
    build = make_build()
    route = [{"kind": "turning", "minutes_per_unit": 30.0}, {"kind": "milling"}]
    part = make_part(build, quantity=4, operations=route)
    turning = part.operations.first()
    make_entry(build, date(2026, 3, 2), 95, part=part, operation=turning, good=2, scrap=1, note="=HYPERLINK(1)")
    make_entry(build, date(2026, 3, 1), None, activity="tidying")
    return build


def asked(client: Client, build: Build, name: str) -> bytes:
    answer = client.get(f"/builds/{build.slug}/tables/{name}")
    assert answer.status_code == 200
    assert f"{build.slug}-{name.partition('?')[0]}" in answer.headers["Content-Disposition"]
    return answer.content


def test_no_cell_is_a_formula() -> None:
    table = TableOut("x", ("text",), [(text,) for text in EVIL])
    cells = [row[0] for row in csv.reader(io.StringIO(as_csv(table).removeprefix("\ufeff"), newline=""))][1:]
    assert cells == [f"'{text}" for text in EVIL]
    from openpyxl import load_workbook

    tab = load_workbook(io.BytesIO(as_workbook(table))).active
    assert {cell.data_type for row in tab.iter_rows() for cell in row} == {"s"}
    assert all(row[0].startswith("'") for row in rows_of(as_workbook(table))[1:])


def test_a_workbook_holds_numbers_and_days_and_any_text() -> None:
    table = TableOut("any", ("n", "day", "text"), [(1.5, date(2026, 3, 2), "a\0b\x0bc")])
    assert rows_of(as_workbook(table))[1] == [1.5, date(2026, 3, 2), "abc"]


def test_the_log_as_a_table_is_the_log_that_the_page_shows(signed_in: Client, build: Build) -> None:
    head, first, second = rows_of(asked(signed_in, build, "log.xlsx"))
    one, other = (dict(zip(head, row, strict=True)) for row in (first, second))
    assert (one["date"], one["part"], one["operation"]) == (date(2026, 3, 2), "14", 10)
    assert (one["bench time (min)"], one["time is"], one["note"]) == (95, "exact", "'=HYPERLINK(1)")
    assert (other["bench time (min)"], other["time is"], other["activity"]) == (None, "unknown", "tidying")
    found = asked(signed_in, build, "log.csv?activity=any").decode("utf-8-sig")
    assert [row["activity"] for row in csv.DictReader(io.StringIO(found))] == ["tidying"]


def test_the_parts_list_has_a_row_for_each_operation(signed_in: Client, build: Build) -> None:
    head, first, second = rows_of(asked(signed_in, build, "parts.xlsx"))
    one, other = (dict(zip(head, row, strict=True)) for row in (first, second))
    assert (one["item"], one["quantity"], one["kind"], one["time for one (min)"]) == ("14", 4, "turning", 30)
    assert (other["item"], other["quantity"], other["kind"], other["time for one (min)"]) == (
        "14",
        None,
        "milling",
        None,
    )


def test_figures_are_those_of_the_pages(signed_in: Client, build: Build) -> None:
    today = date.today()  # the page’s own day
    page = rates_page(build, today)
    lines = rows_of(asked(signed_in, build, "rates.xlsx"))[1:]
    # Three pieces were tried, at half an hour each.
    assert lines[0][:4] == ["turning", 1.5, pytest.approx(95 / 60), pytest.approx(page.lines[0].ratio)]
    (counted,) = rows_of(asked(signed_in, build, "yields.xlsx"))[1:]
    assert counted[4:8] == [2, 0, 1, pytest.approx(2 / 3)]
    forecast = forecast_of(build, today).forecast
    whole, part = rows_of(asked(signed_in, build, "forecast.xlsx"))[1:]
    assert forecast.hours_left is not None
    assert whole[3:7] == [
        pytest.approx(95 / 60),
        *map(pytest.approx, (forecast.planned_hours_left, forecast.hours_left.p10, forecast.hours_left.p50)),
    ]
    assert part[1] == "14 Piston ring"


@pytest.mark.parametrize("page", ["", "log/", "rates/", "repeats/", "forecast/", "to-buy/"])
def test_the_page_that_shows_a_figure_leads_to_its_table(signed_in: Client, build: Build, page: str) -> None:
    html = signed_in.get(f"/builds/{build.slug}/{page}").content.decode()
    name = {"": "parts", "repeats/": "yields"}.get(page, page.strip("/"))
    assert f"/builds/{build.slug}/tables/{name}.csv" in html
    assert f"/builds/{build.slug}/tables/{name}.xlsx" in html


@pytest.mark.parametrize("name", ["log.pdf", "photos.csv", "log", ".csv", "log.csv.xlsx"])
def test_there_is_no_other_table(signed_in: Client, build: Build, name: str) -> None:
    assert signed_in.get(f"/builds/{build.slug}/tables/{name}").status_code == 404
