"""The commands that carry records: what they print, and what they refuse without a traceback."""

import io
import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from builds.models import Build, Builder, Entry
from builds.queries.forecast.build_forecast import forecast_of
from builds.transfer.record.writer import export_text
from calcs.forecast.working import working_of
from tests.factories import make_build, make_entry, make_part
from tests.transfer.test_record_in import record

KIT_C = Path(__file__).parent.parent / "data" / "kit_aircraft_c.csv"


def run(*args: str) -> str:
    out = io.StringIO()
    call_command(*args, stdout=out)
    return out.getvalue()


def refusal_of(*args: str) -> str:
    with pytest.raises(CommandError) as caught:
        call_command(*args, stdout=io.StringIO())
    return str(caught.value)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A record file that is right."""
    path = tmp_path / "beam.json"
    path.write_text(json.dumps(record()), encoding="utf-8")
    return path


# ---- import_record and export_record --------------------------------------------------------------------------------
def test_a_record_file_is_taken_in_and_written_out_again(db: None, file: Path, tmp_path: Path) -> None:
    assert "took in Beam engine as beam-engine: 3 parts, 3 operations, 3 entries" in run("import_record", str(file))
    out = tmp_path / "out.json"
    run("export_record", "beam-engine", str(out))
    assert out.read_text(encoding="utf-8") == run("export_record", "beam-engine") == export_text(Build.objects.get())
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_a_build_that_is_there_already_wants_another_name(db: None, file: Path) -> None:
    run("import_record", str(file))
    assert "--as NAME" in refusal_of("import_record", str(file))
    assert "as second-engine" in run("import_record", str(file), "--as", "Second engine")
    assert "one file" in refusal_of("import_record", str(file), str(file), "--as", "Third")
    assert "1 to 120" in refusal_of("import_record", str(file), "--as", " ")


def test_one_wrong_file_does_not_keep_the_others_out(db: None, file: Path, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.json"
    wrong.write_text('{"format": "swarfbook-record", "version": 3}')
    refusal = refusal_of("import_record", str(wrong), str(tmp_path), str(tmp_path / "none.json"), str(file))
    lines = refusal.splitlines()
    assert lines[0].startswith(f"{wrong}: version: ")
    assert lines[1].startswith(f"{tmp_path}: ")
    assert lines[2].startswith(f"{tmp_path / 'none.json'}: ")
    assert Build.objects.count() == 1


def test_a_file_that_is_there_is_not_written_over(db: None, tmp_path: Path) -> None:
    make_build()
    out = tmp_path / "out.json"
    out.write_text("mine")
    assert "--force" in refusal_of("export_record", "beam-engine", str(out))
    assert out.read_text() == "mine"
    run("export_record", "beam-engine", str(out), "--force")
    assert json.loads(out.read_text())["build"]["name"] == "Beam engine"


def test_what_cannot_be_exported_is_said(db: None, tmp_path: Path) -> None:
    assert "There is none yet" in refusal_of("export_record", "beam-engine")
    make_build()
    assert "There are: beam-engine" in refusal_of("export_record", "other")
    assert "folder" in refusal_of("export_record", "beam-engine", str(tmp_path))
    assert "cannot be written" in refusal_of("export_record", "beam-engine", str(tmp_path / "none" / "out.json"))


# ---- import_log -----------------------------------------------------------------------------------------------------
def test_a_log_is_read_as_it_is_said_to_be(db: None, tmp_path: Path) -> None:
    build, file = make_build(), tmp_path / "meter.csv"
    file.write_text("date,hours,part\n03/04/2026,10,Bed\n05/04/2026,12,Bed\n06/04/2026,11,Bed\n")
    told = refusal_of("import_log", build.slug, str(file), "--times", "meter", "--dates", "month")
    assert "row 4" in told or "has not come" in told
    said = ("--times", "meter", "--dates", "day", "--first-reading", "counts", "--backwards", "left out")
    assert "2 taken in" in run("import_log", build.slug, str(file), *said)
    taken = build.entries.order_by("worked_on").values_list("worked_on", "bench_minutes")
    assert list(taken) == [(date(2026, 4, 3), 600), (date(2026, 4, 5), 120)]
    assert "row 4" in refusal_of("import_log", build.slug, str(file), "--times", "meter", "--dates", "day")


def test_a_log_is_checked_then_taken_in_then_known_again(db: None) -> None:
    build = make_build()
    checked = run("import_log", "beam-engine", str(KIT_C), "--check")
    assert "132 rows; 132 would be taken in, 403 h 54 min at the bench" in checked
    assert "Nothing was written." in checked
    assert not Entry.objects.exists()
    taken = run("import_log", "beam-engine", str(KIT_C))
    assert "132 taken in" in taken
    assert "New parts, without a figure yet: workshop, logistics" in taken
    again = run("import_log", "beam-engine", str(KIT_C))
    assert "0 taken in" in again
    assert "132 were in the log already" in again
    assert build.entries.count() == 132


def test_odd_rows_of_a_log_are_told_at_most_twenty_of_them(db: None, tmp_path: Path) -> None:
    make_build()
    path = tmp_path / "evenings.csv"
    path.write_text("date,hours,part\n" + "".join(f"2026-01-{day:02},13,Bed\n" for day in range(1, 24)))
    lines = run("import_log", "beam-engine", str(path)).splitlines()
    assert "Odd in row 2: That makes 13 h at the bench on one day." in lines
    assert sum(line.startswith("Odd in row") for line in lines) == 20
    assert "… and 3 more of the kind." in lines


def test_a_log_with_wrong_rows_names_file_row_and_column(db: None, tmp_path: Path) -> None:
    make_build()
    path = tmp_path / "evenings.csv"
    path.write_text("date,hours,part\n2026-01-03,-1,Bed\n2026-01-04,1,Bed\n2026-13-01,1,Bed\n")
    lines = refusal_of("import_log", "beam-engine", str(path)).splitlines()
    assert lines[0].startswith('evenings.csv, row 2, column "hours": ')
    assert lines[1].startswith('evenings.csv, row 4, column "date": ')
    assert lines[2] == "Nothing was taken in."
    assert "no such file" in refusal_of("import_log", "beam-engine", str(tmp_path / "none.csv"))
    assert not Entry.objects.exists()


def test_hours_can_be_given_to_a_builder(db: None, tmp_path: Path) -> None:
    make_build()
    ada = Builder.objects.create(name="Ada")
    assert 'no builder "Bob"' in refusal_of("import_log", "beam-engine", str(KIT_C), "--builder", "Bob")
    run("import_log", "beam-engine", str(KIT_C), "--builder", "ada")
    assert Entry.objects.filter(builder=ada).count() == 132


# ---- forecast --------------------------------------------------------------------------------------------------------
def a_build_half_done() -> Build:
    build = make_build()
    part = make_part(build, quantity=10)
    for week in range(12):
        make_entry(build, date.fromordinal(date(2026, 8, 31).toordinal() + 7 * week), 45, part=part)
    make_part(build, "15", "Flywheel", operations=[{"kind": "making", "minutes_per_unit": 6000.0}])
    make_part(build, "16", "Governor", operations=[{"kind": "making", "minutes_per_unit": None}])
    return build


def test_the_forecast_as_figures_is_that_of_the_query(db: None) -> None:
    build = a_build_half_done()
    build.milestones.create(name="First run").operations.set(build.parts.get(number="15").operations.all())
    figures: dict[str, Any] = json.loads(run("forecast", "beam-engine", "--as-of", "2026-11-22", "--json"))
    forecast = forecast_of(build, date(2026, 11, 22)).forecast
    assert forecast.hours_left is not None
    assert forecast.finish_on is not None
    assert list(figures) == [
        "build", "as_of", "state", "finished_on", "hours_done", "planned_hours_left", "hours_left",
        "unattended_hours_left", "pace_hours_per_week", "finish_on", "unestimated_parts", "milestones",
    ]  # fmt: skip
    [figured], [first] = figures["milestones"], forecast.milestones
    assert (figured["name"], figured["learned_from"]) == ("First run", 0)
    assert figured["hours_left"]["p50"] == round(first.hours_left.p50, 2)
    assert figured["finish_on"]["p50"] == (first.finish_on and first.finish_on.p50 and first.finish_on.p50.isoformat())
    assert figured["share_of_hours"]["mean"] == round(first.towards.mean, 2)
    assert (figures["build"], figures["as_of"], figures["hours_done"]) == ("beam-engine", "2026-11-22", 9.0)
    assert figures["unestimated_parts"] == 1
    assert figures["hours_left"]["p80"] == round(forecast.hours_left.p80, 2)
    assert figures["finish_on"]["p50"] == (forecast.finish_on.p50 and forecast.finish_on.p50.isoformat())
    order = [figures["hours_left"][name] for name in ("p10", "p50", "p80", "p90")]
    assert order == sorted(order)


def test_an_forecast_without_figures_says_so_rather_than_zero(db: None) -> None:
    make_build()
    figures = json.loads(run("forecast", "--json"))
    assert (figures["finish_on"], figures["pace_hours_per_week"]) == (None, None)
    text = run("forecast")
    assert "Finish: not known" in text


def test_the_forecast_in_words_shows_its_working(db: None) -> None:
    build = a_build_half_done()
    text = run("forecast", "--as-of", "2026-11-22")
    build_forecast = forecast_of(build, date(2026, 11, 22))
    assert working_of(build_forecast.forecast).as_text() in text
    assert "Beam engine, as of 2026-11-22" in text
    assert "Without any figure yet: 16 Governor." in text
    assert "even chance" in text


def test_every_build_is_a_line(db: None) -> None:
    make_build()
    make_build("Clock")
    lines = run("forecast", "--all", "--json").splitlines()
    assert [json.loads(line)["build"] for line in lines] == ["beam-engine", "clock"]


def test_what_forecast_cannot_tell_is_said(db: None) -> None:
    assert "no build yet" in refusal_of("forecast")
    make_build()
    make_build("Clock")
    assert "Say which build, or --all" in refusal_of("forecast")
    assert "not both" in refusal_of("forecast", "clock", "--all")
    assert 'no build "watch"' in refusal_of("forecast", "watch")
    assert "not a date" in refusal_of("forecast", "clock", "--as-of", "tomorrow")
    assert "has not come yet" in refusal_of("forecast", "clock", "--as-of", "2999-01-01")
