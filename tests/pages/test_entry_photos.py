"""Photos of an evening: several at once, tied to it and its part, with captions; what is none is refused by name."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from builds.models import Photo
from builds.services.plan.photos import LARGEST_UPLOAD
from tests.services.test_photos import jpeg


@pytest.fixture
def where(make_build: Any, make_part: Any, make_entry: Any, settings: Any, tmp_path: Any) -> str:
    settings.MEDIA_ROOT = tmp_path
    build = make_build()
    entry = make_entry(build, part=make_part(build))
    return f"/builds/{build.slug}/log/{entry.pk}/photos/"


def picture(name: str, content: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, jpeg() if content is None else content, "image/jpeg")


def test_several_are_kept_at_once_tied_to_the_evening_and_its_part(signed_in: Client, where: str) -> None:
    located = jpeg(comment=b"taken at home", xmp=b"<x:xmpmeta>GPSLatitude</x:xmpmeta>")
    sent = {"images": [picture("a.jpg", located), picture("b.jpg")]}
    assert signed_in.post(where, sent).status_code == 302
    photos = list(Photo.objects.select_related("entry", "part"))
    assert len(photos) == 2
    assert all(photo.entry is not None and photo.part == photo.entry.part for photo in photos)
    assert {photo.taken_on for photo in photos} == {photos[0].entry.worked_on}
    for photo in photos:
        with open(photo.image.path, "rb") as file:
            assert b"GPSLatitude" not in file.read()
        with Image.open(photo.image.path) as kept:
            assert not kept.getexif()


def test_a_caption_is_changed_and_the_change_is_an_event(signed_in: Client, where: str) -> None:
    signed_in.post(where, {"images": [picture("a.jpg")]})
    photo = Photo.objects.get()
    signed_in.post(where, {f"caption-{photo.pk}": "The first ring"})
    photo.refresh_from_db()
    assert photo.caption == "The first ring"
    assert "The first ring" in signed_in.get(where).content.decode()
    assert photo.build.events.first().type == "edit"
    assert signed_in.get(f"/builds/{photo.build.slug}/events/").status_code == 200


def test_a_broken_and_a_huge_one_are_refused_by_name_and_the_others_are_kept(signed_in: Client, where: str) -> None:
    huge = picture("huge.jpg", bytes(LARGEST_UPLOAD + 1))
    sent = {"images": [picture("torn.jpg", b"no picture"), huge, picture("good.jpg")]}
    page = signed_in.post(where, sent, follow=True).content.decode()
    assert "torn.jpg: This file is not a picture" in page
    assert "huge.jpg: That picture is larger" in page
    assert "1 photo is kept." in page
    assert Photo.objects.count() == 1


def test_too_many_at_once_are_refused_in_words(signed_in: Client, where: str) -> None:
    page = signed_in.post(where, {"images": [picture(f"{n}.jpg") for n in range(13)]})
    assert page.status_code == 422
    assert "Up to 12 pictures at once" in page.content.decode()
    assert not Photo.objects.exists()
