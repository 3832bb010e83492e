"""Photos: upright, small, and without what a phone writes into them."""

import io
import struct
import zlib
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from builds.models import Build, Part, Photo
from builds.services.plan import records as plan
from builds.services.plan.photos import KEPT_DAYS, add_photo, remove_photo
from builds.services.plan.pictures import LONGEST_SIDE
from builds.services.undo import undo
from tests import factories

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F


def jpeg(width: int = 400, height: int = 200, *, orientation: int = 1, **save: Any) -> bytes:
    """A picture as a phone makes it, red on its left half, with where it was taken written into it."""
    picture = Image.new("RGB", (width, height), "blue")
    picture.paste("red", (0, 0, width // 2, height))
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = orientation, "A phone"
    exif.get_ifd(GPS).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, quality=95, **save)
    return out.getvalue()


def upload(content: bytes, name: str = "photo.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


@pytest.fixture
def build(db: None, data_dir: Path) -> Build:
    return factories.make_build()


def kept(build: Build, content: bytes, **fields: Any) -> Image.Image:
    photo = add_photo(build=build, upload=upload(content), by=None, **fields)
    with Image.open(photo.image.path) as picture:
        picture.load()
        return picture


def files(data_dir: Path) -> list[Path]:
    return [path for path in (data_dir / "photos").rglob("*") if path.is_file()]


def test_a_photo_taken_on_its_side_is_turned_upright(build: Build) -> None:
    picture = kept(build, jpeg(orientation=6))

    assert picture.size == (200, 400)
    red, _, blue = picture.convert("RGB").getpixel((100, 20))  # type: ignore[misc]
    assert red > 200 > 60 > blue


def test_nothing_that_a_phone_wrote_into_a_photo_is_kept(build: Build) -> None:
    content = jpeg(comment=b"taken at home", xmp=b"<x:xmpmeta>GPSLatitude</x:xmpmeta>", icc_profile=b"profile")
    assert b"taken at home" in content
    assert b"GPSLatitude" in content

    photo = add_photo(build=build, upload=upload(content), by=None)

    raw = Path(photo.image.path).read_bytes()
    with Image.open(io.BytesIO(raw)) as picture:
        assert not dict(picture.getexif())
        assert not dict(picture.getexif().get_ifd(GPS))
    for told in (b"taken at home", b"GPSLatitude", b"A phone", b"Exif"):
        assert told not in raw


def test_a_large_photo_is_made_small_in_its_own_shape(build: Build) -> None:
    assert kept(build, jpeg(4000, 1000)).size == (LONGEST_SIDE, LONGEST_SIDE // 4)


@pytest.mark.parametrize("size", [(1, 1), (1, 5000)])
def test_the_smallest_and_the_thinnest_pictures_are_kept(build: Build, size: tuple[int, int]) -> None:
    assert max(kept(build, jpeg(*size)).size) <= LONGEST_SIDE


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
@pytest.mark.parametrize("mode", ["RGBA", "L", "P"])
def test_other_kinds_of_picture_become_a_jpeg(build: Build, kind: str, mode: str) -> None:
    out = io.BytesIO()
    Image.new(mode, (20, 10)).save(out, kind)

    assert kept(build, out.getvalue()).format == "JPEG"


def png_that_claims(width: int, height: int) -> bytes:
    """The head of a picture that says it is huge; nothing behind it has to be."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(60_000, 60_000), (12_000, 12_000), (100_000, 1_001)])
def test_a_picture_of_huge_dimensions_is_refused_before_it_is_read(build: Build, size: tuple[int, int]) -> None:
    with pytest.raises(ValidationError) as refused:
        add_photo(build=build, upload=upload(png_that_claims(*size)), by=None)

    assert "one of its kind can be read up to 30 million" in refused.value.message_dict["image"][0]


@pytest.mark.parametrize(
    "content",
    [b"", b"these are no pixels", b"%PDF-1.7", jpeg()[:300], jpeg()[:-900], b"\xff\xd8\xff\xe1", png_that_claims(4, 4)],
)
def test_what_is_no_picture_is_refused_and_leaves_nothing(build: Build, data_dir: Path, content: bytes) -> None:
    revision = build.revision

    with pytest.raises(ValidationError) as refused:
        add_photo(build=build, upload=upload(content), by=None)

    assert "send a JPEG, PNG or WebP" in refused.value.message_dict["image"][0]
    assert not Photo.objects.exists()
    assert files(data_dir) == []
    assert Build.objects.get().revision == revision


def test_more_than_twenty_megabytes_are_refused_unread(build: Build) -> None:
    with pytest.raises(ValidationError, match="larger than 20 MB"):
        add_photo(build=build, upload=upload(b"x" * (20 * 1024 * 1024 + 1)), by=None)


def test_a_refused_caption_leaves_no_file_behind(build: Build, data_dir: Path) -> None:
    with pytest.raises(ValidationError) as refused:
        add_photo(build=build, upload=upload(jpeg()), by=None, caption="x" * 201)

    assert set(refused.value.error_dict) == {"caption"}
    assert files(data_dir) == []


def test_a_photo_belongs_to_a_part_of_its_own_build_only(build: Build) -> None:
    part, foreign = factories.make_part(build), factories.make_part(factories.make_build("Launch engine"))

    photo = add_photo(build=build, upload=upload(jpeg()), by=None, part=part)
    assert list(part.photos.all()) == [photo]
    assert str(build.events.first()) == "added a photo of 14 Piston ring"
    with pytest.raises(ValidationError, match="another build"):
        add_photo(build=build, upload=upload(jpeg()), by=None, part=foreign)


def test_the_name_of_an_upload_says_nothing_about_where_it_is_kept(build: Build, data_dir: Path) -> None:
    photo = add_photo(build=build, upload=upload(jpeg(), name="../../../secret.html"), by=None)

    assert files(data_dir) == [Path(photo.image.path)]
    assert photo.image.name.endswith(".jpg")


@pytest.mark.django_db(transaction=True)
def test_a_removed_photo_comes_back_with_its_file(data_dir: Path) -> None:
    build = factories.make_build()
    part = factories.make_part(build)
    photo = add_photo(build=build, upload=upload(jpeg()), by=None, part=part, caption="The ring")
    shown = Path(photo.image.path).read_bytes()
    event = remove_photo(photo=photo, by=None)
    assert not Photo.objects.exists()

    undo(event=event, by=None)

    back = Photo.objects.get()
    assert (back.caption, back.part, Path(back.image.path).read_bytes()) == ("The ring", part, shown)


@pytest.mark.django_db(transaction=True)
def test_the_file_of_a_removed_photo_goes_after_a_month_and_no_other_does(data_dir: Path) -> None:
    build = factories.make_build()
    old, new, shown = (add_photo(build=build, upload=upload(jpeg()), by=None) for _ in range(3))
    long_gone = remove_photo(photo=old, by=None)
    Photo.history.filter(event_id=long_gone.pk).update(history_date=timezone.now() - timedelta(days=KEPT_DAYS + 1))

    event = remove_photo(photo=new, by=None)

    assert sorted(files(data_dir)) == sorted(Path(photo.image.path) for photo in (new, shown))
    with pytest.raises(ValidationError, match="no longer there"):
        undo(event=long_gone, by=None)
    undo(event=event, by=None)
    assert Photo.objects.count() == 2


def test_a_photo_belongs_to_its_part_again_when_that_is_put_back(build: Build) -> None:
    part = factories.make_part(build)
    photo = add_photo(build=build, upload=upload(jpeg()), by=None, part=part)

    undo(event=plan.remove(record=part, by=None), by=None)

    photo.refresh_from_db()
    assert photo.part == Part.objects.get()


def test_a_photo_outlives_its_part(build: Build) -> None:
    part = factories.make_part(build)
    photo = add_photo(build=build, upload=upload(jpeg()), by=None, part=part)
    plan.remove(record=part, by=None)

    photo.refresh_from_db()
    assert (photo.part, photo.build) == (None, build)


def test_a_photo_lies_in_a_folder_of_its_build_and_part(db: None, data_dir: Any) -> None:
    part = factories.make_part(factories.make_build(), number="14/2", name="Piston ring")
    photo = Photo(build=part.build, part=part)
    photo.image.save("photo.jpg", ContentFile(b"\xff\xd8\xff"), save=False)
    assert photo.image.name == "beam-engine/142-piston-ring/photo.jpg"
    whole = Photo(build=part.build)
    whole.image.save("photo.jpg", ContentFile(b"\xff\xd8\xff"), save=False)
    assert whole.image.name == "beam-engine/build-as-a-whole/photo.jpg"
