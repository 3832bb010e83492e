"""What visitors are told of a build, and which of its photos they see."""

from builds.models import Builder, Exhibit, Photo
from builds.models.choices import EventType
from builds.services.changes import change, write


def keep_exhibit(
    *, exhibit: Exhibit, for_visitors: str, on_board: bool, date_on_board: bool, by: Builder | None
) -> Exhibit:
    """Keep what is said to visitors, and whether there is a board, as one event.

    Raises ValidationError with a sentence a field.
    """
    build = exhibit.build
    with change(build=build, by=by, type=EventType.EDIT, details={"record": "exhibit", "name": build.name}):
        build.for_visitors, build.on_board, build.date_on_board = for_visitors, on_board, date_on_board
        write(build)
        write(exhibit)
    return exhibit


def show_photo(*, photo: Photo, shown: bool, by: Builder | None) -> Photo:
    """Tick a photo for visitors, or take the tick away."""
    details = {"record": "photo", "name": str(photo)}
    with change(build=photo.build, by=by, type=EventType.EDIT, details=details):
        photo.for_visitors = shown
        photo.save()
    return photo
