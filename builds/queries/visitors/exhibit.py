"""What a build says to visitors, and what of it they may be told: asked by the board and all that hangs from it."""

from datetime import date

from django.db.models import QuerySet

from builds.models import Build, Exhibit, Photo


def exhibit_of(build: Build) -> Exhibit:
    """The build's own, or one with the defaults that is not saved. One query."""
    return Exhibit.objects.filter(build=build).first() or Exhibit(build=build)


def bench_words_of(exhibit: Exhibit, today: date) -> str:
    """What is on the bench in the builder's own words, where they are of this day; else nothing."""
    return exhibit.bench_words if exhibit.bench_words_on == today else ""


def photos_for_visitors(exhibit: Exhibit) -> "QuerySet[Photo]":
    """The photos that anybody may see, the newest first: ticked one by one, and none where the build shows none."""
    photos = Photo.objects.filter(build=exhibit.build, for_visitors=True).select_related("part")
    return photos if exhibit.photos_shown else photos.none()
