"""The long record that the program is measured with: as long as asked for, valid, and the same every time."""

import io
import json
from datetime import date
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import transaction
from django.db.models import Count, F, Sum
from django.test import Client
from django.urls import reverse

from builds.models import Batch, Build, Entry, Operation, Part


def make(*args: str) -> str:
    out = io.StringIO()
    call_command("make_long_record", *args, stdout=out)
    return out.getvalue()


def test_it_is_as_long_as_the_size_asks_for(db: None) -> None:
    told = make("0.02", "--builds", "2")
    assert told.splitlines() == [f"Long build {n}: 12 parts, 120 entries" for n in (1, 2)]
    counted = Build.objects.annotate(n=Count("parts__operations")).values_list("slug", "n").order_by("slug")
    assert list(counted) == [("long-1", 80), ("long-2", 80)]


def test_the_log_runs_over_twenty_years_up_to_now_and_one_line_in_ten_is_shop_time(db: None) -> None:
    make("0.02", "--builds", "1")
    days = list(Entry.objects.order_by("pk").values_list("worked_on", flat=True))
    assert days == sorted(days)
    assert (date.today() - days[0]).days == 20 * 365
    assert 0 <= (date.today() - days[-1]).days <= 20 * 365 / 120 + 1
    assert Entry.objects.exclude(activity="").count() == 12


def test_what_was_worked_on_is_counted_in_full_and_a_third_of_the_work_is_still_to_do(db: None) -> None:
    make("0.02", "--builds", "1")
    done = Operation.objects.filter(entries__isnull=False).annotate(good=Sum("entries__good")).distinct()
    assert done.count() == 2 * 80 // 3
    assert set(done.values_list("good", "part__quantity")) == {(n, n) for n in done.values_list("good", flat=True)}
    assert not Entry.objects.exclude(operation=None).exclude(operation__part=F("part")).exists()
    assert set(Batch.objects.values_list("part", flat=True)) == set(
        Part.objects.filter(quantity__gt=2, entries__isnull=False).values_list("pk", flat=True)
    )


def test_the_record_is_valid_and_the_same_every_time(db: None, tmp_path: Path) -> None:
    def exported(name: str) -> str:
        before = transaction.savepoint()
        make("0.02", "--builds", "1")
        call_command("export_record", "long-1", str(tmp_path / name), stdout=io.StringIO())
        transaction.savepoint_rollback(before)
        return (tmp_path / name).read_text()

    def without_tokens(text: str) -> object:
        record = json.loads(text)
        for entry in record["entries"]:
            del entry["token"]
        return record

    first, second = exported("first.json"), exported("second.json")
    assert without_tokens(first) == without_tokens(second)
    call_command("import_record", str(tmp_path / "first.json"), stdout=io.StringIO())
    assert Entry.objects.filter(build__name="Long build 1").count() == 120


def test_its_pages_answer(signed_in: Client) -> None:
    make("0.02", "--builds", "1")
    for view in ("page", "bench", "log", "forecast", "rates", "repeats", "board"):
        assert signed_in.get(reverse(f"builds:{view}", args=["long-1"])).status_code == 200, view
    assert "Finished" in signed_in.get(reverse("builds:forecast", args=["long-1"])).content.decode()


def test_records_of_ones_own_are_left_alone(db: None) -> None:
    make("0.01", "--builds", "1")
    with pytest.raises(CommandError, match="wants an empty database"):
        make("0.01")
    assert Build.objects.count() == 1


@pytest.mark.parametrize("asked", [("0",), ("11",), ("nan",), ("0.01", "--builds", "0")])
def test_a_size_or_number_out_of_range_is_refused(db: None, asked: tuple[str, ...]) -> None:
    with pytest.raises(CommandError, match="between"):
        make(*asked)
    assert not Build.objects.exists()
