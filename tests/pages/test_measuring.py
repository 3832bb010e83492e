"""Pieces measured on their page: figures, differences, gauges; what is out goes on to the bench."""

import re
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from builds.models import Entry, Measurement, Size
from builds.services.log.clock import evening_of
from builds.services.shop.builders import add_builder
from tests import factories


@pytest.fixture
def bore(db: None) -> Size:
    part = factories.make_part(
        factories.make_build(), quantity=12, operations=[{"kind": "boring"}, {"kind": "inspecting"}]
    )
    return factories.make_size(part, "bore", "12 H7")


def where(size: Size) -> str:
    return f"/builds/{size.part.build.slug}/parts/{size.part.pk}/measure/"


def sheet(size: Size, **fields: Any) -> dict[str, Any]:
    """What the form of this size sends."""
    today = evening_of(timezone.now()).isoformat()
    return {"size": size.pk, "way": "figure", "measured_on": today, "token": "form", "seen": 0, **fields}


def text_of(answer: Any) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", answer.content.decode()))


def test_figures_of_several_pieces_are_kept_in_either_unit(signed_in: Client, bore: Size) -> None:
    figures = {"figure-1": "12.01", "figure-2": ".4730 in", "figure-5": "12,03"}
    answer = signed_in.post(where(bore), sheet(bore, **figures), follow=True)
    assert "3 pieces are measured." in text_of(answer)
    assert [(one.piece, one.typed, one.millimetres) for one in Measurement.objects.order_by("piece")] == [
        (1, "12.01", 12.01), (2, ".4730 in", 12.0142), (5, "12,03", 12.03),
    ]  # fmt: skip
    assert "Piece 5: bore 12.03 mm over 12.018 mm." in text_of(answer)


def test_a_difference_to_a_master_is_added_to_it(signed_in: Client, bore: Size) -> None:
    figures = {"figure-1": "+0.02", "figure-2": "0.01", "below-2": "on", "figure-3": "-.001 in"}
    signed_in.post(where(bore), sheet(bore, way="difference", master="12 mm", **figures))
    assert [(one.typed, one.millimetres) for one in Measurement.objects.order_by("piece")] == [
        ("12 mm +0.02", 12.02), ("12 mm -0.01", 11.99), ("12 mm -.001 in", 11.9746),
    ]  # fmt: skip


def test_a_limit_gauge_goes_or_does_not(signed_in: Client, bore: Size) -> None:
    answer = signed_in.post(
        where(bore), sheet(bore, way="gauge", **{"gauged-1": "go", "gauged-2": "no go"}), follow=True
    )
    assert [one.gauged for one in Measurement.objects.order_by("piece")] == ["go", "no go"]
    assert "Piece 2: bore out by the gauge." in text_of(answer)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"figure-2": "the bore"}, "not understood"),
        ({"figure-2": "+0.02"}, "is a difference"),
        ({"figure-2": "12 h6"}, "no single figure"),
        ({"way": "difference", "master": "", "figure-2": "0.02"}, "Say what size the gauge was set to"),
        ({"way": "difference", "master": "12", "figure-2": "12.02"}, "is no difference"),
        ({"measured_on": "soon"}, "not a date"),
        ({"measured_on": (timezone.localdate() + timedelta(days=3)).isoformat()}, "has not come yet"),
        ({"instrument": "999"}, "not in the list"),
    ],
)
def test_what_is_refused_keeps_what_was_typed_and_stores_nothing(
    signed_in: Client, bore: Size, fields: dict[str, str], words: str
) -> None:
    answer = signed_in.post(where(bore), sheet(bore, **{"figure-1": "0.01", **fields}))
    assert answer.status_code == 422
    assert words in text_of(answer)
    page = answer.content.decode()
    assert 'value="0.01"' in page
    assert all(f'value="{typed}"' in page for name, typed in fields.items() if name.startswith("figure"))
    assert not Measurement.objects.exists()


def test_nothing_given_is_said_so(signed_in: Client, bore: Size) -> None:
    answer = signed_in.post(where(bore), sheet(bore))
    assert "nothing to keep yet" in text_of(answer)


def test_sent_twice_it_is_kept_once(signed_in: Client, bore: Size) -> None:
    signed_in.post(where(bore), sheet(bore, **{"figure-1": "12.01"}))
    answer = signed_in.post(where(bore), sheet(bore, **{"figure-1": "12.01"}), follow=True)
    assert "had been sent already" in text_of(answer)
    assert Measurement.objects.count() == 1


def test_another_way_of_reading_off_keeps_what_was_typed(signed_in: Client, bore: Size) -> None:
    answer = signed_in.post(where(bore), sheet(bore, turn_to="difference", **{"figure-3": "+0.02"}))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert 'name="master"' in page
    assert "Not accepted yet" not in page
    assert 'value="form"' in page
    assert 'value="+0.02"' in page
    assert not Measurement.objects.exists()


def test_then_comes_the_next_size(signed_in: Client, bore: Size) -> None:
    width = factories.make_size(bore.part, "width", "3 ±0.05")
    page = signed_in.get(where(bore)).content.decode()
    assert "then width" in re.sub(r"\s+", " ", page)
    answer = signed_in.post(where(bore), sheet(bore, then=width.pk, **{"figure-1": "12.01"}), follow=True)
    assert "width: 2.95 to 3.05 mm" in text_of(answer)


def test_what_somebody_else_measured_meanwhile_is_said(signed_in: Client, bore: Size) -> None:
    factories.make_measurements(bore, {1: "12.00"})
    answer = signed_in.post(where(bore), sheet(bore, **{"figure-1": "12.01", "figure-2": "12.01"}), follow=True)
    assert "Piece 1 was measured by somebody else meanwhile: 12 mm." in text_of(answer)
    assert Measurement.objects.filter(piece=1).count() == 2


def test_a_batch_has_the_pieces_of_its_blanks(signed_in: Client, bore: Size) -> None:
    batch = factories.make_batch(bore.part, blanks=40)
    page = signed_in.get(where(bore)).content.decode()
    assert 'name="figure-30"' in page
    assert 'name="figure-31"' not in page
    later = signed_in.get(where(bore), {"batch": batch.pk, "first": 31}).content.decode()
    assert [name for name in ("figure-30", "figure-31", "figure-40", "figure-41") if f'"{name}"' in later] == [
        "figure-31", "figure-40",
    ]  # fmt: skip
    signed_in.post(where(bore), sheet(bore, batch=batch.pk, first=31, **{"figure-40": "12.01"}))
    assert Measurement.objects.get().batch == batch


@pytest.mark.parametrize("asked", ["size=x&batch=x&first=x&way=x&operation=x", "first=99999&batch=9999999999999999999"])
def test_nonsense_in_the_address_shows_the_page(signed_in: Client, bore: Size, asked: str) -> None:
    page = signed_in.get(f"{where(bore)}?{asked}")
    assert page.status_code == 200
    assert 'name="figure-1"' in page.content.decode()


def test_pieces_that_are_out_fill_the_bench_and_log_nothing(signed_in: Client, bore: Size) -> None:
    signed_in.post(where(bore), sheet(bore, **{"figure-1": "12.03", "figure-2": "11.99", "figure-3": "12.01"}))
    page = signed_in.get(where(bore)).content.decode()
    links = [link.replace("&amp;", "&") for link in re.findall(r'href="([^"]*/bench/\?[^"]*)"', page)]
    one_scrap, one_rework, *_others, all_scrap, all_rework = links
    bench = signed_in.get(one_scrap).content.decode()
    assert "out of size: bore 12.03 mm over 12.018 mm" in bench
    assert re.search(r'name="form-0-scrap" value="1"', bench)
    assert re.search(r'name="form-0-scrap" value="2"', signed_in.get(all_scrap).content.decode())
    reworked = signed_in.get(all_rework).content.decode()
    assert re.search(r'name="form-0-good" value="2"', reworked)
    assert re.search(r'name="form-0-reworked" value="2"', reworked)
    inspecting = bore.part.operations.get(kind="inspecting")
    assert f"o{inspecting.pk}" in bench
    assert "Nothing is logged yet" in text_of(signed_in.get(one_rework))
    assert not Entry.objects.exists()


def test_what_the_bench_was_filled_with_can_be_logged(signed_in: Client, bore: Size) -> None:
    factories.make_measurements(bore, {1: "12.03"})
    page = signed_in.get(where(bore)).content.decode()
    link = re.findall(r'href="([^"]*/bench/\?[^"]*)"', page)[0].replace("&amp;", "&")
    bench = signed_in.get(link).content.decode()
    names = re.findall(r'<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"[^>]*>', bench)
    sent = {n: v for n, v in names if n.startswith("form-") and not n.endswith(("-work", "-usual", "-done"))}
    inspecting = bore.part.operations.get(kind="inspecting")
    sent |= {"form-0-other": f"o{inspecting.pk}", "form-0-time": "5 min", "log": "yes"}
    sent |= {"worked_on": evening_of(timezone.now()).isoformat(), "form-TOTAL_FORMS": 1, "form-INITIAL_FORMS": 0}
    signed_in.post(f"/builds/{bore.part.build.slug}/bench/evening/", sent)
    entry = Entry.objects.get()
    assert (entry.scrap, entry.scrap_reason) == (1, "out of size: bore 12.03 mm over 12.018 mm")
    assert entry.operation == inspecting


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"figure-4": "12.01"}, "within"),
        ({"figure-4": "12.03"}, "out, 0.012 mm over"),
        ({"figure-4": "12.017", "instrument": "known"}, "not decided"),
        ({"figure-4": ".4730 in"}, "12.0142 mm"),
        ({"figure-4": "0.01", "way": "difference", "master": "12"}, "12.01 mm"),
        ({"figure-4": "0.01", "below-4": "on", "way": "difference", "master": "12"}, "out, 0.01 mm under"),
        ({"figure-4": "0.01", "way": "difference", "master": ""}, "Say first what size"),
        ({"figure-4": "bore"}, "not understood"),
    ],
)
def test_in_or_out_is_said_as_one_types(signed_in: Client, bore: Size, asked: dict[str, str], words: str) -> None:
    if "instrument" in asked:
        asked = {**asked, "instrument": str(factories.make_instrument(uncertainty="0.002 mm").pk)}
    answer = signed_in.get(f"{where(bore)}reading/", {"size": bore.pk, **asked})
    assert words in text_of(answer)


def test_nothing_is_said_of_nothing(signed_in: Client, bore: Size) -> None:
    assert text_of(signed_in.get(f"{where(bore)}reading/", {"size": bore.pk, "figure-4": " "})).strip() == ""
    assert signed_in.get(f"{where(bore)}reading/", {"size": "x", "figure-4": "12"}).status_code == 404


def test_a_figure_is_removed_with_a_way_back(signed_in: Client, bore: Size) -> None:
    [one] = factories.make_measurements(bore, {3: "12.01"})
    slug = bore.part.build.slug
    answer = signed_in.post(f"/builds/{slug}/measurements/{one.pk}/remove/", {"next": where(bore)}, follow=True)
    assert "The figure of piece 3: bore is removed." in text_of(answer)
    assert not Measurement.objects.exists()
    event = bore.part.build.events.order_by("-pk").first()
    signed_in.post(f"/builds/{slug}/events/{event.pk}/undo/")
    assert Measurement.objects.get().typed == "12.01"


def test_a_part_without_sizes_says_what_to_do(signed_in: Client, make_build: Any) -> None:
    part = factories.make_part(make_build())
    page = signed_in.get(f"/builds/{part.build.slug}/parts/{part.pk}/measure/")
    assert "No sizes yet" in text_of(page)
    assert signed_in.post(f"/builds/{part.build.slug}/parts/{part.pk}/measure/", {"figure-1": "12"}).status_code == 422


def test_the_page_asks_as_often_for_many_pieces_as_for_few(signed_in: Client, bore: Size) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            signed_in.get(where(bore))
        return len(queries)

    factories.make_measurements(bore, {1: "12.01"}, instrument=factories.make_instrument())
    asked()
    few = asked()
    batch = factories.make_batch(bore.part, blanks=30)
    factories.make_measurements(bore, dict.fromkeys(range(1, 30), "12.03"), batch=batch)
    factories.make_measurements(factories.make_size(bore.part, "width", "3"), {1: "3"})
    assert asked() == few


def test_every_figure_stands_in_a_table(signed_in: Client, bore: Size) -> None:
    micrometer = factories.make_instrument(uncertainty="±2 µm")
    batch = factories.make_batch(bore.part)
    factories.make_measurements(bore, {1: "12.03"}, batch=batch, instrument=micrometer)
    factories.make_measurements(bore, {2: "go"})
    table = signed_in.get(f"/builds/{bore.part.build.slug}/tables/measurements.csv").content.decode("utf-8-sig")
    _head, first, second = table.strip().splitlines()
    assert "14" in first
    assert all(cell in first for cell in ("bore", "12.018", "12.03", '"out, 0.012 mm over"', "Micrometer", "0.002"))
    assert "goes" in second


def test_the_measuring_page_is_found_from_part_batch_and_bench(signed_in: Client, bore: Size) -> None:
    slug, part = bore.part.build.slug, bore.part
    batch = factories.make_batch(part)
    inspecting = part.operations.get(kind="inspecting")
    assert f'href="{where(bore)}"' in signed_in.get(f"/builds/{slug}/parts/{part.pk}/").content.decode()
    assert (
        f'href="{where(bore)}?batch={batch.pk}"'
        in signed_in.get(f"/builds/{slug}/batches/{batch.pk}/grid/").content.decode()
    )
    bench = signed_in.get(f"/builds/{slug}/bench/", {"operation": inspecting.pk, "part": part.pk}).content.decode()
    assert f'href="{where(bore)}?operation={inspecting.pk}"' in bench


@pytest.mark.parametrize(("typed", "kept"), [("±2 µm", True), (".0001 in", True), ("", True), ("0.002", False)])
def test_an_instrument_says_how_sure_it_is(signed_in: Client, typed: str, kept: bool) -> None:
    answer = signed_in.post("/shop/instruments/", {"name": "Plug", "uncertainty": typed, "note": ""}, follow=True)
    assert ("The measuring instrument is kept." in text_of(answer)) is kept
    assert ("has no unit" in text_of(answer)) is not kept


def test_an_onlooker_reads_what_was_measured_and_finds_no_form(bore: Size) -> None:
    factories.make_measurements(bore, {1: "12.03"})
    onlooker = Client()
    user = add_builder(username="guest", password="turned between centres", role="onlooker")
    onlooker.force_login(user, backend="builds.permissions.PeopleBackend")
    page = onlooker.get(where(bore))
    assert "out, 0.012 mm over" in text_of(page)
    assert not [door for door in ("data-once", "/bench/?", "/remove/") if door in page.content.decode()]


def test_what_was_measured_at_another_batch_stands_on_its_own_page(signed_in: Client, bore: Size) -> None:
    first, second = factories.make_batch(bore.part), factories.make_batch(bore.part, number=2)
    factories.make_measurements(bore, {1: "12.03"}, batch=first)
    assert "12.03 mm over" in text_of(signed_in.get(where(bore), {"batch": first.pk}))
    assert "12.03 mm over" not in text_of(signed_in.get(where(bore), {"batch": second.pk}))
