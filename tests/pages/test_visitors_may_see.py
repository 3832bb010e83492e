"""What visitors are told is chosen: words, photos and the arithmetic; nothing else opens with it."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone

from builds.models import Build, Event, Exhibit, Photo, Shop
from builds.queries.visitors.exhibit import bench_words_of, exhibit_of
from builds.services.plan.photos import add_photo
from tests.services.test_photos import jpeg

SAID = {"on_board": "on", "hours_shown": "on", "date_on_board": "on", "photos_shown": "on", "seconds_a_panel": "20"}


@pytest.fixture
def build(make_build: Any, settings: Any, tmp_path: Any) -> Build:
    settings.MEDIA_ROOT = tmp_path
    return make_build(on_board=True)


@pytest.fixture
def photo(build: Build) -> Photo:
    return add_photo(build=build, upload=SimpleUploadedFile("a.jpg", jpeg(), "image/jpeg"), by=None)


def tick(client: Client, photo: Photo, shown: str = "yes") -> None:
    client.post(f"/builds/{photo.build.slug}/photos/{photo.pk}/visitors/", {"shown": shown})


def status_of(client: Client, photo: Photo) -> int:
    answer = client.get(public(photo))
    if answer.streaming:
        b"".join(answer.streaming_content)
    return answer.status_code


def public(photo: Photo) -> str:
    return f"/board/{photo.build.slug}/photos/{photo.pk}/"


def test_what_visitors_are_told_is_one_event_and_comes_back_in_the_form(signed_in: Client, build: Build) -> None:
    to = f"/builds/{build.slug}/visitors/"
    revision = build.revision
    words = {"for_visitors": "It drove a mill.", "real_length": "8.4 m", "how_it_works": "Steam comes in.\nIt pushes."}
    assert signed_in.post(to, {**SAID, **words}).status_code == 302
    build.refresh_from_db()
    kept = exhibit_of(build)
    assert (build.for_visitors, kept.real_length, kept.seconds_a_panel) == ("It drove a mill.", "8.4 m", 20)
    assert not kept.scrap_shown
    assert build.revision == revision + 1
    page = signed_in.get(to).content.decode()
    assert "8.4 m" in page
    assert "It pushes." in page
    assert "exhibit" in str(Event.objects.latest("pk"))


def test_taking_it_back_brings_the_words_of_before(signed_in: Client, build: Build) -> None:
    to = f"/builds/{build.slug}/visitors/"
    signed_in.post(to, {**SAID, "for_visitors": "First words."})
    signed_in.post(to, {**SAID, "for_visitors": "Second words.", "what_it_did": "It pumped."})
    signed_in.post(f"/builds/{build.slug}/events/{Event.objects.latest('pk').pk}/undo/")
    build.refresh_from_db()
    assert (build.for_visitors, exhibit_of(build).what_it_did) == ("First words.", "")


@pytest.mark.parametrize(
    "said", [{"real_length": "as long as a bus"}, {"seconds_a_panel": "2"}, {"seconds_a_panel": "9000"}]
)
def test_what_cannot_be_is_refused_beside_its_field_and_keeps_what_was_typed(
    signed_in: Client, build: Build, said: dict[str, str]
) -> None:
    answer = signed_in.post(f"/builds/{build.slug}/visitors/", {**SAID, "what_it_did": "It pumped.", **said})
    assert answer.status_code == 422
    html = answer.content.decode()
    assert "It pumped." in html
    assert "field--refused" in html
    assert not Exhibit.objects.exists()


def test_words_for_the_bench_are_those_of_one_day(signed_in: Client, build: Build) -> None:
    today = timezone.localdate()
    signed_in.post(f"/builds/{build.slug}/visitors/", {**SAID, "bench_words": "We bore the cylinder."})
    exhibit = exhibit_of(build)
    assert bench_words_of(exhibit, today) == "We bore the cylinder."
    assert bench_words_of(exhibit, today + timedelta(days=1)) == ""
    Exhibit.objects.update(bench_words_on=today - timedelta(days=1))
    assert "We bore the cylinder." not in signed_in.get(f"/builds/{build.slug}/visitors/").content.decode()


def test_somebody_elses_change_meanwhile_is_shown_beside_ones_own(signed_in: Client, build: Build) -> None:
    to = f"/builds/{build.slug}/visitors/"
    signed_in.post(to, {**SAID, "for_visitors": "First words."})
    form = signed_in.get(to).context["form"]
    opened = {**SAID, "for_visitors": "First words.", "seen": form["seen"].value()}
    signed_in.post(to, {**SAID, "for_visitors": "Theirs."})
    answer = signed_in.post(to, {**opened, "for_visitors": "Mine."})
    assert answer.status_code == 422
    assert [one.name for one in answer.context["form"].conflict] == ["for_visitors"]


def test_a_photo_has_no_public_address_until_it_is_ticked(client: Client, user: Any, photo: Photo) -> None:
    builder = Client()
    builder.force_login(user, backend="builds.permissions.PeopleBackend")
    assert status_of(client, photo) == 404
    tick(builder, photo)
    assert status_of(client, photo) == 200
    assert client.get(f"/photos/{photo.image.name}").status_code == 302
    tick(builder, photo, "no")
    assert status_of(client, photo) == 404


@pytest.mark.parametrize("hide", ["photos", "board"])
def test_a_ticked_photo_goes_with_the_board_and_with_its_build_s_photos(
    client: Client, photo: Photo, hide: str
) -> None:
    Photo.objects.update(for_visitors=True)
    assert status_of(client, photo) == 200
    if hide == "photos":
        Exhibit.objects.create(build=photo.build, photos_shown=False)
    else:
        Build.objects.update(on_board=False)
    assert status_of(client, photo) == 404


def test_a_photo_of_another_build_is_not_shown_on_this_one_s_board(
    client: Client, make_build: Any, photo: Photo
) -> None:
    Photo.objects.update(for_visitors=True)
    other = make_build("Mill engine", on_board=True)
    assert client.get(f"/board/{other.slug}/photos/{photo.pk}/").status_code == 404


def test_the_arithmetic_opens_to_anybody_by_the_owners_tick_and_nothing_else_does(
    client: Client, owner: Any, build: Build
) -> None:
    assert client.get("/arithmetic/").status_code == 302
    of_owner = Client()
    of_owner.force_login(owner, backend="builds.permissions.PeopleBackend")
    assert of_owner.post("/shop/visitors/", {"arithmetic_for_visitors": "on"}).status_code == 302
    for page in ("/arithmetic/", "/arithmetic/threads/"):
        answer = client.get(page)
        assert answer.status_code == 200, page
        assert build.name not in answer.content.decode()
    for page in ("/", f"/builds/{build.slug}/", "/shop/visitors/", "/shop/machines/", "/read/time/"):
        assert client.get(page).status_code == 302, page
    of_owner.post("/shop/visitors/", {"seen": ""})
    assert client.get("/arithmetic/").status_code == 302


def test_the_shops_own_headings_are_kept_and_raise_its_revision(client: Client, owner: Any) -> None:
    client.force_login(owner, backend="builds.permissions.PeopleBackend")
    from builds.queries.visitors.headings import PANELS

    key = next(iter(PANELS))
    client.post("/shop/visitors/", {f"heading-{key}": "Our own words"})
    shop = Shop.the_one()
    assert shop.headings == {key: "Our own words"}
    before = shop.revision
    client.post("/shop/visitors/", {f"heading-{key}": ""})
    assert (Shop.the_one().headings, Shop.the_one().revision > before) == ({}, True)
