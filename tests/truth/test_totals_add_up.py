"""The hours of a build come to the same on every page, in the commands and in the record; where not, it says why."""

import json
import re
from collections.abc import Callable
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from builds.models import Build
from builds.models.choices import Activity
from builds.services.plan.records import edit_build
from builds.transfer.record.writer import export_text
from calcs.typed.durations import format_hours, format_logged
from tests.truth.printed_sums import printed_sums, visible_text

# Time that the builder logs and does not count.
UNCOUNTED = {"buying", "tidying", "other"}


@pytest.fixture(params=["demonstration", "young_build"])
def build(request: pytest.FixtureRequest) -> Build:
    found: Build = request.getfixturevalue(request.param)
    found.on_board = True
    found.activities_counted = [one for one in Activity.values if one not in UNCOUNTED]
    return edit_build(build=found, by=None)


@pytest.fixture
def minutes(build: Build) -> dict[str, int]:
    """Bench minutes in the record file: all, those on parts, those of the build's hours."""
    entries = json.loads(export_text(build))["entries"]
    whole = sum(entry.get("bench_minutes") or 0 for entry in entries)
    less = sum(entry.get("bench_minutes") or 0 for entry in entries if entry.get("activity") in UNCOUNTED)
    parts = sum(entry.get("bench_minutes") or 0 for entry in entries if not entry.get("activity"))
    return {"all": whole, "uncounted": less, "parts": parts, "done": whole - less}


@pytest.fixture
def texts(build: Build, signed_in_owner: Client) -> Callable[[str], str]:
    def text_of(address: str) -> str:
        html = signed_in_owner.get(address.format(slug=build.slug)).content.decode()
        wrong = [one for one in printed_sums(html) if not one.right]
        assert wrong == []
        return " ¦ ".join(visible_text(html))

    return text_of


def why_less(minutes: dict[str, int]) -> str:
    whole, less, done = (format_logged(minutes[key]) for key in ("all", "uncounted", "done"))
    return f"{whole} − {less} = {done} done."


def of_the_parts(minutes: dict[str, int]) -> str:
    shop = format_logged(minutes["done"] - minutes["parts"])
    return f"{format_logged(minutes['parts'])} + {shop} = {format_logged(minutes['done'])} done."


def test_the_log_book_says_what_of_it_the_build_does_not_count(texts: Any, minutes: dict[str, int]) -> None:
    assert minutes["uncounted"] > 0
    page = texts("/builds/{slug}/log/")
    assert f"At the bench ¦ {format_logged(minutes['all'])} ¦" in page
    assert f"Counted in this build’s hours ¦ {format_logged(minutes['done'])} ¦" in page
    assert "not counted in this build’s hours" in page
    assert why_less(minutes) in page


@pytest.mark.parametrize("address", ["/builds/{slug}/", "/builds/{slug}/forecast/"])
def test_plan_and_forecast_say_the_same_hours_done_and_why_the_log_has_more(
    texts: Any, minutes: dict[str, int], address: str
) -> None:
    page = texts(address)
    assert re.search(rf"Hours done ¦ {re.escape(format_hours(minutes['done']))}(?! ?min)", page)
    assert why_less(minutes) in page
    assert (of_the_parts(minutes) in page) == (minutes["done"] > minutes["parts"])


def test_the_assemblies_come_to_the_hours_at_the_parts(
    build: Build, signed_in_owner: Client, minutes: dict[str, int]
) -> None:
    html = signed_in_owner.get(f"/builds/{build.slug}/forecast/").content.decode()
    done = [float(one.replace(",", "")) for one in re.findall(r'data-label="Hours done">([\d.,]+) h<', html)]
    assert done
    # Each line is rounded to whole hours, or to a tenth.
    assert sum(done) == pytest.approx(minutes["parts"] / 60, abs=0.5 * len(done))


def test_the_board_says_the_same_hours(texts: Any, minutes: dict[str, int]) -> None:
    said = re.search(r"([\d,]+)(½?) hours so far", texts("/board/{slug}/"))
    assert said is not None
    hours = float(said[1].replace(",", "")) + 0.5 * bool(said[2])
    done = minutes["done"] / 60
    assert hours == pytest.approx(done, abs=5 if done >= 1000 else 0.5)
    if done >= 10:
        assert f"{said[1]} h" == format_hours(minutes["done"])


def test_the_command_says_the_same_hours_and_why_the_log_has_more(build: Build, minutes: dict[str, int]) -> None:
    said, figures = StringIO(), StringIO()
    call_command("forecast", build.slug, stdout=said)
    call_command("forecast", build.slug, "--json", stdout=figures)
    assert f"Done: {format_hours(minutes['done'])} at the bench" in said.getvalue()
    assert why_less(minutes) in said.getvalue()
    assert json.loads(figures.getvalue())["hours_done"] == pytest.approx(minutes["done"] / 60, abs=0.005)


def test_the_hours_in_all_are_the_hours_done_and_the_hours_left(texts: Any, minutes: dict[str, int]) -> None:
    page = texts("/builds/{slug}/forecast/")
    left = re.search(r"between ([\d,]+) and ([\d,]+) hours, 4 chances in 5", page)
    assert left is not None
    done = format_hours(minutes["done"])
    for end in left.groups():
        assert f"{done} + {end} h = " in page
    assert f"with between {left[1]} and {left[2]} hours left to work" in page


def test_where_everything_counts_there_is_nothing_to_say(build: Build, texts: Any) -> None:
    build.activities_counted = list(Activity.values)
    edit_build(build=build, by=None)
    assert "not counted" not in texts("/builds/{slug}/log/")
