"""Whatever a file holds, it is taken in or refused with a sentence; nothing else ever comes out."""

import io
import json
import os
import zipfile
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds.models import Build, Entry
from builds.transfer.complaints import LogError, RecordError, path_of
from builds.transfer.record.reader import import_record, load_record
from builds.transfer.record.writer import export_text
from builds.transfer.tables.log_file import ReadAs
from builds.transfer.tables.log_in import import_log, look_at_log
from builds.transfer.tables.log_rows import read_log
from builds.transfer.tables.out import TableOut, as_workbook
from builds.transfer.tables.parts_in import look_at_parts
from builds.transfer.tables.raw import read_content
from tests.factories import TODAY, make_build
from tests.transfer.test_record_in import record

CASES = int(os.environ.get("FUZZ_CASES", "80"))
"""Files of each sort; FUZZ_CASES=5000 for the long run."""
PLAIN = settings(max_examples=CASES, deadline=None, suppress_health_check=list(HealthCheck))

JUNK: st.SearchStrategy[Any] = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.sampled_from(["14", "one", 10]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=5), inner, max_size=2),
    max_leaves=4,
)


def places(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The path of everything that stands in a record."""
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return [path, *(place for name, value in inner for place in places(value, (*path, name)))]


PLACES = [place for place in places(record()) if place]


@PLAIN
@given(place=st.sampled_from(PLACES), value=JUNK)
def test_a_record_with_anything_anywhere_is_taken_in_or_refused(db: None, place: tuple[Any, ...], value: Any) -> None:
    Entry.objects.all().delete()
    for build in Build.objects.all():
        build.milestones.all().delete()
        build.parts.all().delete()
        build.assemblies.update(parent=None)
        build.delete()
    data = record()
    at: Any = data
    for step in place[:-1]:
        at = at[step]
    at[place[-1]] = value
    try:
        taken = import_record(data, today=TODAY)
    except RecordError as error:
        assert str(error).strip()  # noqa: PT017
        assert not Build.objects.exists()
    else:
        assert export_text(taken.build)


@PLAIN
@given(content=st.binary(max_size=60) | st.text(max_size=60).map(lambda text: json.dumps(text).encode()))
def test_a_file_of_any_bytes_is_refused_as_a_record(db: None, content: bytes) -> None:
    try:
        import_record(load_record(content), today=TODAY)
    except RecordError as error:
        assert str(error).strip()  # noqa: PT017
    assert not Build.objects.exists()


CELLS = st.sampled_from(
    [
        "2026-01-03",
        "3/4/2026",
        "24.12.2025",
        "2",
        "2.5",
        "2,5",
        "-1",
        "?",
        "~3h",
        "1:30",
        "",
        '"',
        "Bed",
        "tidying",
        "10",
    ]
) | st.text(max_size=6)


@PLAIN
@given(
    header=st.permutations(["date", "hours", "part", "good", "operation", "note"]),
    rows=st.lists(st.lists(CELLS, min_size=5, max_size=7), max_size=4),
    delimiter=st.sampled_from([",", ";", "\t"]),
)
def test_a_log_of_any_cells_is_read_whole_or_refused_by_row(
    db: None, header: list[str], rows: list[list[str]], delimiter: str
) -> None:
    text = "\n".join(delimiter.join(cells) for cells in [header, *rows])
    build = make_build()
    try:
        report = import_log(build, text, today=TODAY)
    except LogError as error:
        assert all(complaint.startswith("the log") for complaint in error.complaints)  # noqa: PT017
        assert not build.entries.exists()
    else:
        assert build.entries.count() == report.added == report.rows
    Entry.objects.all().delete()
    build.parts.all().delete()
    build.delete()


SIGNS = st.text(alphabet=',;\t"\n\r \ufeff\0\x1c\x85é=1-', max_size=24)
HEADERS = st.sampled_from(
    ["", "date,hours,part", "date;hours;part\n", "date\thours\tactivity\r\n", "\n\ndate,h,item\r"]
)


@PLAIN
@given(header=HEADERS, content=SIGNS, encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252", "utf-16-le"]))
def test_a_file_of_blanks_and_signs_is_read_or_refused_with_its_name(
    db: None, tmp_path_factory: pytest.TempPathFactory, header: str, content: str, encoding: str
) -> None:
    file = tmp_path_factory.getbasetemp() / "any.csv"
    file.write_bytes((header + content).encode(encoding, errors="replace"))
    before = Build.objects.count(), Entry.objects.count()
    try:
        read_log(file, today=TODAY)
    except LogError as error:
        assert error.complaints  # noqa: PT017
        assert all(complaint.startswith("any.csv") for complaint in error.complaints)  # noqa: PT017
    assert (Build.objects.count(), Entry.objects.count()) == before


@PLAIN
@given(content=st.binary(max_size=80))
def test_a_log_of_any_bytes_is_read_or_refused_with_its_name(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    file = tmp_path_factory.getbasetemp() / "any.csv"
    file.write_bytes(content)
    try:
        read_log(file, today=TODAY)
    except LogError as error:
        assert all(complaint.startswith("any.csv") for complaint in error.complaints)  # noqa: PT017


@PLAIN
@given(
    place=st.sampled_from(PLACES),
    wrong=st.sampled_from(["NaN", "Infinity", "-Infinity", "1" * 5_000, '{"a": 1, "a": 2}']),
)
def test_what_no_record_can_hold_is_refused_with_its_path(place: tuple[Any, ...], wrong: str) -> None:
    data = record()
    at: Any = data
    for step in place[:-1]:
        at = at[step]
    at[place[-1]] = "in its place"
    with pytest.raises(RecordError) as refused:
        load_record(json.dumps(data).replace('"in its place"', wrong))
    assert refused.value.path == path_of(place)


@PLAIN
@given(minutes=st.lists(st.integers(0, 6000), min_size=1, max_size=8))
def test_whole_minutes_written_as_hours_come_back_as_they_were(minutes: list[int]) -> None:
    rows = "".join(f"2026-01-03,{count / 60:.4f},Bed\n" for count in minutes)
    file = read_log(f"date,hours,part\n{rows}", today=TODAY)
    assert [row.time.minutes for row in file.rows] == minutes


# ---- workbooks and the other shapes of a log -------------------------------------------------------------------------
KNOWN = [
    *("date", "since", "hours", "minutes", "part", "meter", "start", "end", "activity", "month", "time is", "Bed"),
    *("row mark", "batch number", "item", "name", "quantity", "kind", "operation", "machine", ""),
]
HEADS = st.lists(st.sampled_from(KNOWN), min_size=1, max_size=7)
SAYS = ["2026-01", "March", "Bed 2 h, Post 30m", "Bed & Post", "last time", "40 h since November", "19:30", "1,283"]
SHAPED = CELLS | st.sampled_from([*SAYS, "9" * 40])
SAID = st.fixed_dictionaries(
    {
        "dates": st.sampled_from(["", "day", "month"]),
        "times": st.sampled_from(["", "each", "since", "meter", "month"]),
        "first_reading": st.sampled_from(["sets", "counts"]),
        "backwards": st.sampled_from(["", "left out", "anew"]),
    }
)


@PLAIN
@given(heads=HEADS, rows=st.lists(st.lists(SHAPED, min_size=1, max_size=8), max_size=4), said=SAID)
def test_any_table_is_looked_at_whichever_way_and_nothing_is_stored(
    db: None, heads: list[str], rows: list[list[str]], said: dict[str, str]
) -> None:
    build = Build.objects.first() or make_build()
    text = "\n".join("\t".join(cells) for cells in [heads, *rows])
    for look in (
        lambda raw: look_at_log(build, raw, ReadAs(**said), builder=None, today=TODAY),
        lambda raw: look_at_parts(build, raw, {}, today=TODAY),
    ):
        try:
            seen = look(read_content(text.encode(errors="replace"), "the table"))
        except LogError as error:
            assert all(complaint.startswith("the table") for complaint in error.complaints)  # noqa: PT017
        else:
            assert all(row.words for row in seen.rows if row.state == "refused")
    assert (build.parts.count(), Entry.objects.count(), build.events.count()) == (0, 0, 1)


def workbook() -> bytes:
    return as_workbook(TableOut("log", ("date", "hours", "part"), [(TODAY, 1.5, "Bed"), (TODAY, 2, "Post")]))


WHOLE = workbook()


@PLAIN
@given(
    at=st.integers(0, len(WHOLE) - 1),
    replaced=st.binary(max_size=12),
    cut=st.none() | st.integers(0, len(WHOLE)),
)
def test_a_workbook_with_any_bytes_in_it_is_read_or_refused(at: int, replaced: bytes, cut: int | None) -> None:
    content = (WHOLE[:at] + replaced + WHOLE[at + len(replaced) :])[:cut]
    try:
        raw = read_content(content, "the table")
    except LogError as error:
        assert all(complaint.startswith("the table") for complaint in error.complaints)  # noqa: PT017
    else:
        assert all(isinstance(cell, str) for _number, cells in raw.rows for cell in cells)


@PLAIN
@given(part=st.sampled_from(["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml"]), data=st.data())
def test_a_workbook_with_anything_in_its_tab_is_read_or_refused(part: str, data: st.DataObject) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(WHOLE)) as before, zipfile.ZipFile(packed, "w") as after:
        for name in before.namelist():
            content = before.read(name)
            if name == part:
                at = data.draw(st.integers(0, len(content)))
                put = data.draw(st.sampled_from([b"", b"<", b"1e999", b"NaN", b"-1", b'" t="d', b"&x;", b"99999999"]))
                content = content[:at] + put + content[at + data.draw(st.integers(0, 9)) :]
            after.writestr(name, content)
    try:
        raw = read_content(packed.getvalue(), "the table")
    except LogError as error:
        assert all(complaint.startswith("the table") for complaint in error.complaints)  # noqa: PT017
    else:
        assert all(isinstance(cell, str) for _number, cells in raw.rows for cell in cells)
