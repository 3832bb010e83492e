"""A log kept in a spreadsheet becomes a build's log: every row, or none and a reason for each."""

import itertools
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from builds.models import Builder, Entry, Operation, Part
from builds.queries.forecast.build_forecast import forecast_of
from builds.queries.forecast.weeks import weeks_of
from builds.queries.snapshot import read_snapshot
from builds.services.log.entries import remove_entry
from builds.services.undo import undo
from builds.transfer.complaints import LogError
from builds.transfer.tables.log_in import import_log
from builds.transfer.tables.log_rows import read_log
from tests.factories import TODAY, make_build, make_entry, make_operation, make_part

DATA = Path(__file__).parent.parent / "data"
KIT_A, KIT_C = DATA / "kit_aircraft_a.csv", DATA / "kit_aircraft_c.csv"


def complaints_of(text: str) -> tuple[str, ...]:
    with pytest.raises(LogError) as caught:
        read_log(text, today=TODAY, name="log.csv")
    return caught.value.complaints


def times_of(text: str) -> list[tuple[int | None, str]]:
    return [(row.time.minutes, row.time.bench_is) for row in read_log(text, today=TODAY).rows]


def days_of(*cells: str) -> list[date]:
    lines = "\n".join(f"{cell};1;wing" for cell in cells)
    return [row.worked_on for row in read_log(f"date;hours;part\n{lines}\n", today=TODAY).rows]


# ---- the two real logs ----------------------------------------------------------------------------------------------
# Counts and totals: SOURCES.md beside the files, which says where they come from.
@pytest.mark.parametrize(
    ("file", "entries", "hours", "parts"), [(KIT_A, 316, 1225.5, 8), (KIT_C, 132, 403.9, 6)], ids=["kit a", "kit c"]
)
def test_a_real_log_comes_in_whole(db: None, file: Path, entries: int, hours: float, parts: int) -> None:
    build = make_build(started_on=None)
    report = import_log(build, file, today=TODAY)
    assert (report.rows, report.added, report.minutes) == (entries, entries, round(hours * 60))
    assert Entry.objects.filter(build=build).count() == entries
    snapshot = read_snapshot(build, TODAY)
    assert snapshot.headline_minutes / 60 == hours
    assert len(snapshot.parts) == len(report.new_parts) == parts
    assert all(line.unestimated for line in snapshot.parts)


def test_weeks_and_gaps_of_a_real_log_are_those_of_its_file(db: None) -> None:
    build = make_build(started_on=None)
    import_log(build, KIT_C, today=TODAY)
    lines = [line.split(",") for line in KIT_C.read_text().splitlines()[1:]]
    days = sorted({date.fromisoformat(cells[0]) for cells in lines})
    weeks = weeks_of(read_snapshot(build, days[-1]))
    assert sum(weeks.hours) == pytest.approx(sum(float(cells[1]) for cells in lines))
    assert len(weeks.hours) == (days[-1].toordinal() - 1) // 7 - (days[0].toordinal() - 1) // 7 + 1
    assert weeks.empty == len(weeks.hours) - len({day.isocalendar()[:2] for day in days})
    longest = max((b - a).days - 1 for a, b in itertools.pairwise(days))
    assert weeks.gaps[0].days == longest


def test_a_real_log_gives_a_pace_and_no_hours_left(db: None) -> None:
    build = make_build(started_on=None)
    import_log(build, KIT_C, today=TODAY)
    last = date(2023, 7, 31)
    forecast = forecast_of(build, last).forecast
    weeks = weeks_of(read_snapshot(build, last))
    assert forecast.hours_done == pytest.approx(403.9)
    assert forecast.pace_hours_per_week is not None
    assert min(weeks.hours) < forecast.pace_hours_per_week < max(weeks.hours)
    assert len(forecast.unestimated_parts) == 6
    assert forecast.hours_left is None


def test_two_logs_in_two_builds_leave_each_other_alone(db: None) -> None:
    one, other = make_build("One"), make_build("Other")
    import_log(one, KIT_C, today=TODAY)
    import_log(other, KIT_C, today=TODAY)
    assert one.entries.count() == other.entries.count() == 132


# ---- the same file again --------------------------------------------------------------------------------------------
def test_the_same_file_twice_makes_no_second_entries(db: None) -> None:
    build = make_build()
    import_log(build, KIT_C, today=TODAY)
    revision = build.revision
    report = import_log(build, KIT_C, today=TODAY)
    assert (report.added, report.again) == (0, 132)
    assert (build.entries.count(), build.parts.count(), build.revision) == (132, 6, revision)


def test_a_file_with_rows_added_brings_in_only_those(db: None) -> None:
    build = make_build()
    rows = "date,hours,part\n2026-01-03,2,Bed\n2026-01-03,2,Bed\n"
    import_log(build, rows, today=TODAY)
    report = import_log(build, rows + "2026-01-03,2,Bed\n2026-01-04,1,Bed\n", today=TODAY)
    assert (report.added, report.again, report.new_parts) == (2, 2, ())
    assert read_snapshot(build, TODAY).headline_minutes == 7 * 60


def test_the_same_rows_are_known_again_in_another_table_format(db: None) -> None:
    build = make_build()
    import_log(build, "date,hours,part\n2026-01-03,2.5,Bed\n", today=TODAY)
    again = import_log(build, "Section;Date;Hours\nbed;03.01.2026;2,5\nbed;13.01.2026;1\n", today=TODAY)
    assert (again.added, again.again) == (1, 1)


def test_an_entry_that_was_removed_does_not_come_back_with_its_file(db: None) -> None:
    build = make_build()
    import_log(build, KIT_C, today=TODAY)
    remove_entry(entry=build.entries.first(), by=None)
    report = import_log(build, KIT_C, today=TODAY)
    assert (report.added, report.again, report.removed) == (0, 132, 1)
    assert build.entries.kept().count() == 131


def test_taking_a_log_in_can_be_undone_and_done_again(db: None) -> None:
    build = make_build()
    import_log(build, "date,hours,part\n2026-01-03,2,Bed\n2026-01-05,2,Post\n", today=TODAY)
    undoing = undo(event=build.events.first(), by=None)
    assert build.entries.kept().count() == 0
    report = import_log(build, "date,hours,part\n2026-01-03,2,Bed\n", today=TODAY)
    assert (report.added, report.again, report.removed) == (0, 1, 1)
    undo(event=undoing, by=None)
    assert build.entries.kept().count() == 2


def test_check_says_what_would_come_and_writes_nothing(db: None) -> None:
    build = make_build()
    report = import_log(build, KIT_A, check=True, today=TODAY)
    assert (report.added, report.minutes, report.written) == (316, 73_530, False)
    assert (Entry.objects.count(), Part.objects.count(), build.events.count()) == (0, 0, 1)


# ---- times ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("cell", "minutes"),
    [("2.2", 132), ("0.33", 20), ("0.17", 10), ("13", 780), ("1:30", 90), ("2 h 30 min", 150), ("45m", 45), ("0", 0)],
)
def test_a_bare_figure_in_an_hours_column_is_hours(cell: str, minutes: int) -> None:
    assert times_of(f"date,hours,part\n2026-01-03,{cell},Bed\n") == [(minutes, "exact")]


@pytest.mark.parametrize(("cell", "minutes"), [("90", 90), ("7", 7), ("12.5", 13), ("1 h", 60)])
def test_a_bare_figure_in_a_minutes_column_is_minutes(cell: str, minutes: int) -> None:
    assert times_of(f"date,Minutes,part\n2026-01-03,{cell},Bed\n") == [(minutes, "exact")]


def test_rough_and_unknown_times_stay_rough_and_unknown() -> None:
    assert times_of("date,hours,part\n2026-01-03,~3h,Bed\n2026-01-03,?,Bed\n") == [(180, "rough"), (None, "unknown")]


def test_a_comma_is_a_decimal_where_it_does_not_part_cells() -> None:
    assert times_of("date;hours;part\n2026-01-03;2,5;Bed\n") == [(150, "exact")]
    assert times_of("date\thours\tpart\n2026-01-03\t0,75\tBed\n") == [(45, "exact")]


@pytest.mark.parametrize("cell", ["", "-2", '"1, 879"', '"1,879"', "nan", "inf", "1e3", "two dozen", "1/0", "--3"])
def test_what_is_no_time_is_refused_with_file_row_and_column(cell: str) -> None:
    (complaint,) = complaints_of(f"date,hours,part\n2026-01-02,1,Bed\n2026-01-03,{cell},Bed\n")
    assert complaint.startswith('log.csv, row 3, column "hours": ')


def test_a_figure_in_thousands_is_not_taken_for_a_decimal() -> None:
    (complaint,) = complaints_of("date;hours;part\n2026-01-03;1,879;Bed\n")
    assert "thousands" in complaint


def test_hours_and_minutes_that_differ_are_refused() -> None:
    (complaint,) = complaints_of("date,hours,minutes,part\n2026-01-03,2,30,Bed\n")
    assert complaint.startswith('log.csv, row 2, column "minutes": ')
    assert times_of("date,hours,minutes,part\n2026-01-03,2,120,Bed\n2026-01-03,,5,Bed\n") == [
        (120, "exact"),
        (5, "exact"),
    ]


# ---- dates ----------------------------------------------------------------------------------------------------------
def test_dates_are_read_by_what_the_whole_column_tells() -> None:
    assert days_of("3/1/2026", "24/12/2025") == [date(2026, 1, 3), date(2025, 12, 24)]
    assert days_of("1/3/2026", "12/24/2025") == [date(2026, 1, 3), date(2025, 12, 24)]
    assert days_of("2026-01-03", "2026/1/4", "05.05.2026") == [date(2026, 1, 3), date(2026, 1, 4), date(2026, 5, 5)]


def test_a_date_that_could_be_read_in_two_ways_is_refused() -> None:
    (complaint,) = complaints_of("date,hours,part\n3/1/2026,1,Bed\n5/5/2026,1,Bed\n")
    assert complaint.startswith('log.csv, row 2, column "date": "3/1/2026" could have the day or the month first')


def test_dates_that_contradict_one_another_are_refused() -> None:
    (complaint,) = complaints_of("date,hours,part\n24/12/2025,1,Bed\n12/24/2025,1,Bed\n")
    assert complaint.startswith('log.csv, column "date": Some dates have the day first')


@pytest.mark.parametrize("cell", ["", "2026-02-30", "yesterday", "26-01-03", "2026-11-26", "0001-01-01"])
def test_what_is_no_past_date_is_refused(cell: str) -> None:
    (complaint,) = complaints_of(f"date,hours,part\n{cell},1,Bed\n")
    assert complaint.startswith('log.csv, row 2, column "date": ')


# ---- rows and columns -----------------------------------------------------------------------------------------------
def test_every_row_that_is_wrong_is_told_and_twenty_are_shown() -> None:
    text = "date,hours,part\n" + "2026-01-03,-1,Bed\n" * 23 + "2026-01-03,1,Bed\n" + "tomorrow,1,Bed\n"
    with pytest.raises(LogError) as caught:
        read_log(text, today=TODAY)
    assert len(caught.value.complaints) == 24
    shown = str(caught.value).splitlines()
    assert (len(shown), shown[-1]) == (21, "… and 4 more of the kind.")


@pytest.mark.parametrize(
    ("header", "row", "column"),
    [
        ("date,hours,part,good,reworked", "2026-01-03,1,Bed,2,3", "reworked"),
        ("date,hours,part,reason", "2026-01-03,1,Bed,dropped", "reason"),
        ("date,hours,part,good", "2026-01-03,1,Bed,-1", "good"),
        ("date,hours,part,good", "2026-01-03,1,Bed,1.5", "good"),
        ("date,hours,part,since", "2026-01-03,1,Bed,2026-01-04", "since"),
        ("date,hours,part,activity", "2026-01-03,1,Bed,tidying", "activity"),
        ("date,hours,part,activity", "2026-01-03,1,,", "part"),
        ("date,hours,activity", "2026-01-03,1,sleeping", "activity"),
        ("date,hours,part,note", f"2026-01-03,1,Bed,{'x' * 4001}", "note"),
    ],
)
def test_a_row_that_contradicts_the_rules_of_the_log_is_refused(header: str, row: str, column: str) -> None:
    (complaint,) = complaints_of(f"{header}\n{row}\n")
    assert complaint.startswith(f'log.csv, row 2, column "{column}": ')


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        (" \n\n", "empty"),
        ("date,hours,part\n", "no rows"),
        ("a,b,c\n1,2,3\n", 'no column "date"'),
        ("date,part\n2026-01-03,Bed\n", 'no column "hours" or "minutes"'),
        ("date,hours\n2026-01-03,1\n", 'no column "part" or "activity"'),
        ("date,hours,hours,part\n2026-01-03,1,1,Bed\n", "stands twice"),
        ("date,hours,part\n2026-01-03,1,879,Bed\n", "more cells"),
        ('date,hours,part\n2026-01-03,1,"Bed\n', "cannot be parted"),
        ("date,hours,part\n2026-01-03,1,B\0d\n", "no table"),
    ],
)
def test_what_is_no_log_is_refused_as_a_whole(text: str, said: str) -> None:
    (complaint, *_) = complaints_of(text)
    assert complaint.startswith("log.csv")
    assert said in complaint


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    (tmp_path / "junk.csv").write_bytes(bytes(range(256)) * 40)
    for name, said in (("none.csv", "no such file"), ("", "folder"), ("junk.csv", "Save the spreadsheet as CSV")):
        with pytest.raises(LogError, match=said):
            read_log(tmp_path / name, today=TODAY)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_umlauts_survive_whatever_the_spreadsheet_wrote(tmp_path: Path, encoding: str) -> None:
    file = tmp_path / "log.csv"
    file.write_bytes("date,hours,part\r\n2026-01-03,1,Pleuelbüchse\r\n".encode(encoding))
    assert [row.part for row in read_log(file, today=TODAY).rows] == ["Pleuelbüchse"]


def test_columns_nobody_knows_are_left_aside_and_said(db: None) -> None:
    report = import_log(make_build(), "Weather,DATE,Hrs,Section,Notes\nrain,2026-01-03,1,Bed,cold\n", today=TODAY)
    assert report.aside == ("Weather",)
    assert Entry.objects.get().note == "cold"


# ---- parts, operations, builders ------------------------------------------------------------------------------------
def test_a_new_section_becomes_a_part_nobody_has_estimated(db: None) -> None:
    build = make_build()
    import_log(build, "date,hours,section\n2026-01-03,1,Bed plate\n", today=TODAY)
    part = build.parts.get()
    operation = part.operations.get()
    assert (part.name, operation.kind, operation.minutes_per_unit, operation.added_on) == (
        "Bed plate", "making", None, None,
    )  # fmt: skip
    assert Entry.objects.get().operation == operation


def test_a_section_new_to_a_log_that_has_begun_joins_the_plan_with_its_first_row(db: None) -> None:
    build = make_build()
    make_entry(build, activity="tidying", worked_on=date(2026, 1, 2))
    import_log(build, "date,hours,section\n2026-02-09,1,Bed\n2026-02-03,1,Bed\n", today=TODAY)
    assert Operation.objects.get().added_on == date(2026, 2, 3)


def test_a_section_with_the_name_of_an_activity_is_shop_time(db: None) -> None:
    build = make_build()
    import_log(build, "date,hours,section\n2026-01-03,1,Tidying\n2026-01-03,2,fixtures  and tools\n", today=TODAY)
    assert sorted(Entry.objects.values_list("activity", flat=True)) == ["fixtures and tools", "tidying"]
    assert build.parts.count() == 0


def test_parts_and_operations_are_found_by_number_name_title_and_kind(db: None) -> None:
    build = make_build()
    part = make_part(build, "14", "Piston ring", operations=[{"kind": "turning"}, {"kind": "boring", "title": "Bore"}])
    text = "date,hours,part,operation,good\n" + "".join(
        f"2026-01-03,1,{name},{operation},1\n"
        for name, operation in [("14", "10"), ("piston RING", "turning"), ("14", "bore"), ("14", "20")]
    )
    report = import_log(build, text, today=TODAY)
    assert report.new_parts == ()
    numbers = Entry.objects.filter(part=part).order_by("pk").values_list("operation__number", flat=True)
    assert list(numbers) == [10, 10, 20, 20]


def test_rows_that_do_not_fit_the_plan_are_all_told_and_nothing_is_written(db: None) -> None:
    build = make_build()
    part = make_part(build, "14", "Ring", operations=[{"kind": "turning"}])
    make_operation(part, "lapping")
    make_part(build, "15", "Twin")
    make_part(build, "16", "Twin")
    text = (
        "date,hours,part,operation,good\n2026-01-03,1,Ring,welding,\n2026-01-03,1,Twin,,\n"
        "2026-01-03,1,Ring,,2\n2026-01-03,1,tidying,,2\n2026-01-03,1,New one,,2\n"
    )
    with pytest.raises(LogError) as caught:
        import_log(build, text, today=TODAY)
    places = [complaint.split(": ")[0] for complaint in caught.value.complaints]
    assert places == [
        'the log, row 2, column "operation"', 'the log, row 3, column "part"',
        'the log, row 4, column "operation"', 'the log, row 5, column "good"',
    ]  # fmt: skip
    assert (Entry.objects.count(), build.parts.count()) == (0, 3)


def test_builders_named_in_a_log_are_made_once(db: None) -> None:
    build = make_build()
    known = Builder.objects.create(name="Ada")
    text = "date,hours,part,who\n2026-01-03,1,Bed,ada\n2026-01-03,1,Bed,Bob\n2026-01-04,1,Bed,Bob\n2026-01-04,1,Bed,\n"
    report = import_log(build, text, by=known, today=TODAY)
    assert report.new_builders == ("Bob",)
    names = Entry.objects.order_by("pk").values_list("builder__name", flat=True)
    assert list(names) == ["Ada", "Bob", "Bob", "Ada"]


def test_an_entry_from_a_file_can_be_amended_and_the_amendment_undone(db: None) -> None:
    from dataclasses import replace

    from builds.services.log.entries import LogLine, amend_entry

    build = make_build()
    import_log(build, "date,hours,part\n2026-01-03,1,Bed\n", today=TODAY)
    entry: Any = Entry.objects.get()
    line = LogLine(worked_on=entry.worked_on, part=entry.part, operation=entry.operation, bench_minutes=90)
    amend_entry(entry=entry, line=replace(line, token=entry.token), by=None, today=TODAY)
    undo(event=build.events.first(), by=None)
    assert Entry.objects.get().bench_minutes == 60


# ---- what is odd is told, and taken in ------------------------------------------------------------------------------


def test_odd_rows_are_listed_and_taken_in_with_their_remark(db: None) -> None:
    build = make_build()
    part = make_part(build, "14", "Ring", quantity=2, operations=[{"kind": "turning"}, {"kind": "lapping"}])
    text = (
        "date,hours,part,operation,good,who\n"
        "2026-01-03,2,Ring,turning,3,Ada\n"
        "2026-01-04,1,Ring,lapping,5,Ada\n"
        "2026-01-05,9,Ring,,,Ada\n"
        "2026-01-05,9,Bed,,40,Ada\n"
        "2025-12-24,1,Bed,,,Ada\n"
    )
    checked = import_log(build, text, check=True, today=TODAY)
    assert [(row, odd.words) for row, odd in checked.odd] == [
        (3, "5 pieces are counted at this operation, and 3 could have got there."),
        (3, "5 good of 2 wanted."),
        (5, "That makes 18 h at the bench on one day."),
        (6, "That is 8 days before the build began."),
    ]
    report = import_log(build, text, today=TODAY)
    assert (report.added, report.odd) == (5, checked.odd)
    lapped = Entry.objects.get(operation__kind="lapping")
    assert (lapped.part, len(lapped.remarks)) == (part, 2)
    assert lapped.history.get().oddities == lapped.oddities
    assert import_log(build, text, today=TODAY).odd == ()


def test_of_two_real_logs_only_what_no_evening_holds_is_odd(db: None) -> None:
    build = make_build(started_on=None)
    odd = import_log(build, KIT_A, check=True, today=TODAY).odd
    assert [(row, one.figures["minutes"]) for row, one in odd] == [
        (69, 900), (102, 1500), (109, 960), (154, 780), (179, 2400), (185, 830), (306, 960)
    ]  # fmt: skip
    assert import_log(build, KIT_C, check=True, today=TODAY).odd == ()
