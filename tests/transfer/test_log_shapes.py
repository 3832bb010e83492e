"""The shapes in which people keep a log, as text and as a workbook."""

from datetime import date, datetime
from pathlib import Path

import pytest

from builds.transfer.complaints import LogError
from builds.transfer.tables.log_file import ReadAs
from builds.transfer.tables.log_rows import SHOP_TIME, read_log
from tests.factories import TODAY


def lines_of(text: str, **said: str) -> list[tuple[str, date | None, int | None]]:
    file = read_log(text, today=TODAY, read_as=ReadAs(**said), parts=SHOP_TIME | {"bed", "post"})
    return [(row.part, row.since_on, row.time.minutes) for row in file.rows]


def test_several_parts_share_the_time_of_their_row_or_have_their_own() -> None:
    assert lines_of("date,hours,part\n2026-01-03,3,Bed + Post\n") == [("Bed", None, 90), ("Post", None, 90)]
    text = "date,hours,part\n2026-01-03,,Fin 51; Rudder 2 h\n"
    assert lines_of(text) == [("Fin", None, 3060), ("Rudder", None, 120)]
    assert lines_of("date,Bed,Post\n2026-01-03,1,\n2026-01-04,2,3\n")[1:] == [("Bed", None, 120), ("Post", None, 180)]


def test_a_lump_begins_after_the_line_before() -> None:
    text = "date,hours,part,since\n2026-01-03,3,Bed,\n2026-01-20,9,Bed,last time\n"
    assert lines_of(text)[1] == ("Bed", date(2026, 1, 4), 540)


def test_a_running_total_gives_differences_and_refuses_to_go_backwards() -> None:
    text = "date,meter,part\n2026-01-03,53.5,Bed\n2026-01-24,78.5,Bed\n"
    assert lines_of(text) == [("Bed", date(2026, 1, 4), 1500)]
    with pytest.raises(LogError, match='row 4, column "meter": The running total goes backwards'):
        lines_of(text + "2026-01-30,70,Bed\n")


def test_a_month_is_a_lump_from_its_first_day_to_its_last() -> None:
    assert lines_of("month,hours,part\nMarch 2026,13,Bed\n") == [("Bed", date(2026, 3, 1), 780)]


def test_a_workbook_is_read_as_its_text_would_be(tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    for row in (["Date", "Hours", "Part"], [datetime(2026, 1, 3), 2.5, "Bed"]):  # noqa: DTZ001
        book.active.append(row)
    book.save(tmp_path / "log.xlsx")
    (row,) = read_log(tmp_path / "log.xlsx", today=TODAY).rows
    assert (row.worked_on, row.time.minutes, row.part) == (date(2026, 1, 3), 150, "Bed")
    (tmp_path / "torn.xlsx").write_bytes((tmp_path / "log.xlsx").read_bytes()[:900])
    with pytest.raises(LogError, match=r"torn\.xlsx: This workbook cannot be read"):
        read_log(tmp_path / "torn.xlsx", today=TODAY)
