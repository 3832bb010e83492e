"""How long a file takes to be read, or refused, grows with its length and no faster; and there is an end to both."""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builds.models import Entry
from builds.transfer.complaints import LogError, RecordError
from builds.transfer.record import reader
from builds.transfer.record.reader import load_record
from builds.transfer.tables import text_file
from builds.transfer.tables.log_in import import_log
from builds.transfer.tables.log_rows import read_log
from tests.factories import TODAY, make_build, make_part


def seconds(work: Callable[[], Any]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def refused(work: Callable[[], Any]) -> str:
    with pytest.raises((LogError, RecordError)) as error:
        work()
    return str(error.value)


# ---- tiny ones ------------------------------------------------------------------------------------------------------
BLANK = [
    "",
    " ",
    "\n",
    ",",
    ",,,",
    ";;;\n;;;",
    "\t\t",
    '""',
    '"",""',
    ' , , \n"  ",',
    "\r",
    "\r\n\r\n,",
    "\ufeff,",
    "\x1c,",
]


@pytest.mark.parametrize("text", BLANK)
def test_a_file_of_blank_cells_is_empty(text: str) -> None:
    assert refused(lambda: read_log(text, today=TODAY, name="log.csv")) == "log.csv: The file is empty."


# ---- large ones -----------------------------------------------------------------------------------------------------
# Generous: what grew with the square took 11 and 29 seconds.
SOON = 3


def test_a_field_that_stands_twice_among_forty_thousand_is_found_at_once() -> None:
    fields = ", ".join(f'"field {number}": 1' for number in range(40_000))
    text = f'{{"parts": [{{}}, {{{fields}, "field 39999": 2}}]}}'
    assert seconds(lambda: refused(lambda: load_record(text))) < SOON
    assert refused(lambda: load_record(text)).startswith('parts[1]: The field "field 39999" stands twice')


def test_more_columns_than_a_spreadsheet_has_are_refused_at_once() -> None:
    text = ",".join(f"column {number}" for number in range(200_000)) + "\n1,2\n"
    assert seconds(lambda: refused(lambda: read_log(text, today=TODAY))) < SOON
    assert refused(lambda: read_log(text, today=TODAY)).endswith("row 1: This row has more than 16,384 columns.")


def test_as_many_columns_as_a_spreadsheet_has_are_read_at_once() -> None:
    text = "date,hours,part" + "".join(f",aside {number}" for number in range(16_000)) + "\n2026-01-03,1,Bed\n"
    assert seconds(lambda: read_log(text, today=TODAY)) < SOON


def test_thousands_of_new_parts_on_a_few_days_take_no_longer_each(db: None) -> None:
    def text(number: int, name: str) -> str:
        rows = (f"2026-01-{1 + row % 28:02d},1,{name} {row}\n" for row in range(number))
        return "date,hours,part\n" + "".join(rows)

    few, many = make_build("Few"), make_build("Many")
    # Its numbers lie where the new ones would go.
    for number in range(3, 10):
        make_part(many, number=str(number), name=f"There {number}")
    for_few = seconds(lambda: import_log(few, text(400, "Few"), today=TODAY))
    for_many = seconds(lambda: import_log(many, text(4_000, "Many"), today=TODAY))
    assert Entry.objects.filter(build=many).count() == 4_000
    assert many.parts.count() == 4_007
    assert for_many < 20 * for_few + 1


# ---- limits ---------------------------------------------------------------------------------------------------------
def test_a_file_larger_than_is_taken_in_says_so_before_it_is_read(tmp_path: Path) -> None:
    large = tmp_path / "large"
    with large.open("wb") as out:
        out.truncate(300 * 2**20)
    assert "larger than 20 MB" in refused(lambda: read_log(large, today=TODAY))
    assert "larger than 256 MB" in refused(lambda: load_record(large))


def test_more_rows_than_are_taken_in_are_refused_with_their_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text_file, "MOST_ROWS", 3)
    text = "date,hours,part\n" + "2026-01-03,1,Bed\n" * 4
    assert "more than 3 rows" in refused(lambda: read_log(text, today=TODAY))


def test_a_record_of_countless_values_is_refused_before_they_are_read() -> None:
    content = b'{"entries": [' + b"{}," * reader.MOST_VALUES + b"{}]}"
    assert "holds more than 1,000,000 values" in refused(lambda: load_record(content))
    assert seconds(lambda: refused(lambda: load_record(content))) < 1
