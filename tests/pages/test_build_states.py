"""A build that is finished or rests says so on every page, on the board and on the command line."""

import io
import json
from datetime import date, timedelta
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from builds.models import Build, Milestone
from builds.models.choices import BuildState, Role
from builds.queries.forecast.finished import finished_build, span_in_words
from builds.queries.forecast.replay_work import replay_of
from builds.queries.plan.build_state import state_on
from builds.queries.plan.builds_list import builds_list
from builds.queries.snapshot import read_snapshot
from builds.queries.visitors.counts import CountsTold
from builds.queries.visitors.facts import facts_of
from builds.services.plan.records import edit_build, save_milestone
from tests import factories
from tests.factories import TODAY

FIRST, LAST = date(2026, 1, 10), date(2026, 6, 20)


@pytest.fixture(autouse=True)
def on_a_known_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *args, **kwargs: TODAY)


@pytest.fixture
def build(db: None) -> Build:
    """Eight parts of which seven are made, one every three weeks, and some work on an assembly that is not done."""
    build = factories.make_build(started_on=FIRST, on_board=True)
    parts = [factories.make_part(build, str(n), f"Part {n}") for n in range(8)]
    for n, part in enumerate(parts[:7]):
        day = LAST - timedelta(weeks=3 * (6 - n))
        factories.make_entry(build, day, 120, part=part, operation=part.operations.get(), good=1)
    factories.make_part(build, "90", "Erection", role=Role.ASSEMBLY_WORK)
    milestone = Milestone(build=build, name="First steam")
    save_milestone(milestone=milestone, parts=parts, assemblies=[], by=None)
    return build


def put(build: Build, state: str, **fields: Any) -> Build:
    for name, value in {"state": state, **fields}.items():
        setattr(build, name, value)
    return edit_build(build=build, by=None)


def page(client: Client, name: str, build: Build, *args: Any) -> str:
    response = client.get(reverse(f"builds:{name}", args=[build.slug, *args]))
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def command(*args: str) -> str:
    out = io.StringIO()
    call_command("forecast", *args, stdout=out)
    return out.getvalue()


def counted(build: Build) -> CountsTold:
    """What the board says of the parts."""
    counts = facts_of(build, TODAY).counts
    assert counts is not None
    return counts


EVERY_PAGE = ("page", "board", "forecast", "replay", "bench", "log", "rates", "repeats", "photos", "events")


@pytest.mark.parametrize("state", BuildState.values)
def test_every_page_of_a_build_stands_in_every_state(build: Build, signed_in: Client, state: str) -> None:
    put(build, state)
    for name in EVERY_PAGE:
        page(signed_in, name, build)
    for part in build.parts.all():
        page(signed_in, "part", build, part.pk)
        page(signed_in, "edit_part", build, part.pk)


def test_a_finished_build_says_when_how_long_and_what_had_been_said(build: Build, signed_in: Client) -> None:
    put(build, "finished")
    told = finished_build(read_snapshot(build, TODAY))
    assert told is not None
    assert told.when == "Finished on 20 June 2026."
    assert told.took == "It took 14 hours at the bench over 5 months."
    assert told.had_been_said.startswith("The first forecast, of ")
    for name in ("page", "forecast"):
        html = page(signed_in, name, build)
        for sentence in told.sentences:
            assert sentence in html
        assert "ven chance: today" not in html
    board = page(signed_in, "board", build)
    assert "14 hours over 5 months" in board
    assert "Finished in June 2026." in board
    assert told.had_been_said in board
    assert "on the bench" not in board
    assert "How far is it to the first run?" not in board
    for sentence in told.sentences:
        assert sentence in command(build.slug)


def test_the_first_forecast_is_the_replays_own(build: Build) -> None:
    put(build, "finished")
    told, replay = finished_build(read_snapshot(build, TODAY)), replay_of(build, TODAY)
    assert told is not None
    assert replay is not None
    assert told.first == next(month.forecast for month in replay.months if month.forecast.finish_on)


def test_a_board_without_a_date_tells_no_forecast_of_a_finished_build(build: Build, signed_in: Client) -> None:
    put(build, "finished", date_on_board=False)
    assert "The first forecast" not in page(signed_in, "board", build)


def test_nothing_is_left_of_a_finished_build_though_parts_are_open(build: Build, signed_in: Client) -> None:
    put(build, "finished")
    figures = json.loads(command(build.slug, "--json"))
    assert (figures["state"], figures["finished_on"], figures["finish_on"]) == ("finished", "2026-06-20", None)
    assert figures["hours_left"]["p90"] == 0
    # What was never made is not told as made.
    assert counted(build).parts.details.made == 7
    assert "reached; the day was not written down" in page(signed_in, "forecast", build)


def test_the_day_of_finishing_is_the_one_that_was_said(build: Build) -> None:
    put(build, "finished", finished_on=date(2026, 7, 1))
    assert state_on(build, TODAY).finished_on == date(2026, 7, 1)
    assert state_on(build, date(2026, 6, 30)).state == "active"


@pytest.mark.parametrize("state", ["finished", "resting"])
def test_an_earlier_day_knows_nothing_of_it(build: Build, state: str) -> None:
    put(build, state)
    figures = json.loads(command(build.slug, "--json", "--as-of", "2026-05-31"))
    assert (figures["state"], figures["finished_on"]) == ("active", None)
    assert figures["finish_on"]["p50"] > "2026-05-31"


def test_a_build_that_rests_says_so_and_tells_no_date(build: Build, signed_in: Client) -> None:
    put(build, "resting")
    sentence = "The build rests. No date is told until work on it goes on."
    assert sentence in page(signed_in, "page", build)
    assert "none while it rests" in page(signed_in, "page", build)
    forecast = page(signed_in, "forecast", build)
    assert sentence in forecast
    assert "none while it rests" in forecast
    assert "Work on it rests" in page(signed_in, "board", build)
    assert sentence in command(build.slug)
    figures = json.loads(command(build.slug, "--json"))
    assert (figures["state"], figures["finish_on"]) == ("resting", None)
    assert figures["hours_left"]["p50"] > 0


def test_the_bench_says_that_a_build_is_finished_or_rests(build: Build, signed_in: Client) -> None:
    assert "Finished on" not in page(signed_in, "bench", build)
    assert "Finished on 20 June 2026." in page(signed_in, "bench", put(build, BuildState.FINISHED))
    assert "The build rests." in page(signed_in, "bench", put(build, BuildState.RESTING))


def test_the_list_of_builds_counts_the_same_parts_as_the_board(build: Build) -> None:
    """Eight details; the erection is counted apart."""
    (row,) = builds_list(TODAY)
    assert row.parts == counted(build).parts.details.of == 8


def test_a_day_of_finishing_needs_a_finished_build(build: Build, signed_in: Client) -> None:
    data = {"name": build.name, "units": "mm", "state": "active", "finished_on": "2026-06-01", "seen": build.version}
    response = signed_in.post(reverse("builds:edit", args=[build.slug]), data)
    assert response.status_code == 422
    assert "Only a finished build has a day" in response.content.decode()
    assert 'value="2026-06-01"' in response.content.decode()


@pytest.mark.parametrize(
    ("last", "words"),
    [
        (date(2026, 1, 10), "1 day"),
        (date(2026, 1, 20), "11 days"),
        (date(2026, 2, 20), "6 weeks"),
        (date(2026, 6, 20), "5 months"),
        (date(2027, 1, 9), "1 year"),
        (date(2028, 6, 20), "2 years and 5 months"),
    ],
)
def test_a_span_is_told_in_the_words_that_fit_it(last: date, words: str) -> None:
    assert span_in_words(FIRST, last) == words


# ---- work on an assembly, on its pages
def test_work_shows_no_pieces_and_no_doors_to_them(build: Build, signed_in: Client) -> None:
    work = build.parts.get(number="90")
    html = page(signed_in, "part", build, work.pk)
    for word in ("Start a batch", "How many blanks?", "Needed"):
        assert word not in html
    form = page(signed_in, "edit_part", build, work.pk)
    assert 'name="quantity"' not in form
    assert 'name="blank"' not in form
    assert 'name="slip_costs_time"' not in page(signed_in, "new_operation", build, work.pk)


def test_work_is_done_on_the_bench_with_one_tick(build: Build, signed_in: Client) -> None:
    work = build.parts.get(number="90")
    sent = {
        "form-TOTAL_FORMS": "1", "form-INITIAL_FORMS": "0", "worked_on": TODAY.isoformat(), "log": "yes",
        "form-0-other": f"o{work.operations.get().pk}", "form-0-time": "2 h", "form-0-done": "on",
    }  # fmt: skip
    signed_in.post(reverse("builds:log_evening", args=[build.slug]), sent)
    assert read_snapshot(build, TODAY).by_part[work.pk].quantity_made
    entry = work.entries.get()
    amending = page(signed_in, "amend", build, entry.pk)
    assert 'name="done"' in amending
    assert 'name="scrap"' not in amending


def test_pieces_are_not_done_with_a_tick(build: Build, signed_in: Client) -> None:
    part = build.parts.get(number="7")
    sent = {
        "form-TOTAL_FORMS": "1", "form-INITIAL_FORMS": "0", "worked_on": TODAY.isoformat(), "log": "yes",
        "form-0-other": f"o{part.operations.get().pk}", "form-0-time": "2 h", "form-0-done": "on",
    }  # fmt: skip
    response = signed_in.post(reverse("builds:log_evening", args=[build.slug]), sent)
    assert response.status_code == 422
    assert "count the pieces" in response.content.decode()


def test_the_plan_offers_a_role_once(build: Build, signed_in: Client) -> None:
    jig = factories.make_part(build, "91", "Drilling jig")
    assert "Are these details?" in page(signed_in, "page", build)
    signed_in.post(reverse("builds:set_role", args=[build.slug, jig.pk]), {"role": "jig"})
    jig.refresh_from_db()
    assert jig.role == Role.JIG
    assert "Are these details?" not in page(signed_in, "page", build)
    signed_in.post(reverse("builds:set_role", args=[build.slug, jig.pk]), {"role": "nonsense"})
    jig.refresh_from_db()
    assert jig.role == Role.JIG


def test_board_and_title_block_count_details_and_all_else_in_lines_of_its_own(build: Build, signed_in: Client) -> None:
    counts = counted(build)
    assert counts.words == "7 of 8 parts made"
    assert [(line.name, line.made, line.of) for line in counts.assemblies] == [
        ("Parts", 7, 8),
        ("Work on assemblies", 0, 1),
    ]
    html = page(signed_in, "page", build)
    assert "<dt>Parts finished</dt> <dd>7 of 8</dd>" in html
    assert "<dt>Work on assemblies</dt> <dd>0 of 1</dd>" in html


def test_a_batch_of_work_is_refused_with_a_sentence(build: Build, signed_in: Client) -> None:
    work = build.parts.get(number="90")
    where = reverse("builds:start_batch", args=[build.slug, work.pk])
    sent = {"part": work.pk, "number": "1", "blanks": "3", "started_on": TODAY.isoformat()}
    response = signed_in.post(where, sent)
    assert response.status_code == 422
    assert "it has no blanks, so it starts no batch" in response.content.decode()
    assert not work.batches.exists()


def test_pieces_amended_onto_work_are_refused_with_a_sentence(build: Build, signed_in: Client) -> None:
    work, detail = build.parts.get(number="90"), build.parts.get(number="7")
    entry = factories.make_entry(build, part=detail, operation=detail.operations.get(), good=1)
    sent = {"worked_on": "2026-03-02", "other": f"o{work.operations.get().pk}", "time": "1 h", "good": "3"}
    response = signed_in.post(reverse("builds:amend", args=[build.slug, entry.pk]), sent | {"seen": entry.version})
    assert response.status_code == 422
    assert "it has no pieces to count" in response.content.decode()
    done = factories.make_entry(build, part=work, operation=work.operations.get())
    sent = {"worked_on": "2026-03-02", "other": f"o{work.operations.get().pk}", "time": "1 h", "done": "on"}
    signed_in.post(reverse("builds:amend", args=[build.slug, done.pk]), sent | {"seen": done.version})
    done.refresh_from_db()
    assert done.good == 1
