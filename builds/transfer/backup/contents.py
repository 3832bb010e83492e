"""What a backup holds besides the database and the photos, for whoever reads it without the program."""

from collections.abc import Iterator, Sequence

from builds.models import Build, Entry, Photo
from builds.models.choices import TimeIs
from builds.transfer.backup.layout import LOGS, PHOTO_LIST, PHOTOS, RECORDS
from builds.transfer.record.writer import export_text
from builds.transfer.tables.out import TableOut, Value, as_csv
from calcs.messages import _

LOG_COLUMNS = (
    "date", "since", "builder", "part", "part name", "operation", "activity",
    "minutes", "unattended minutes", "good", "reworked", "scrap", "reason", "note",
)  # fmt: skip
PHOTO_COLUMNS = ("build", "part", "part name", "file", "caption", "taken on")
WHAT_MINUTES_SAY = {TimeIs.EXACT: "{}", TimeIs.ROUGH: "~{}", TimeIs.UNKNOWN: "?"}


def readable_files() -> Iterator[tuple[str, str]]:
    """The name and the text of each."""
    for build in Build.objects.order_by("slug"):
        yield f"{RECORDS}/{build.slug}.json", export_text(build, photos=False)
        yield f"{LOGS}/{build.slug}.csv", _log(build)
    yield PHOTO_LIST, _photo_list()


def read_me() -> str:
    return _(
        "A backup of Swarfbook, the record of a workshop.\n"
        "\n"
        "The program puts it back with `manage.py restore` and the name of this zip. It can be read without the "
        "program as well:\n"
        "\n"
        "  logs/            the log of each build as a table (CSV); a time with ~ is rough, one with ? is not known\n"
        "  records/         each build as a whole: parts, routes, log (JSON); `manage.py import_record` takes one in\n"
        "  photos/          the photos (JPEG), by build and part; older ones by month\n"
        "  drawings/        the scans of the drawing sheets, by build and sheet\n"
        "  photos.csv       which photo shows which part\n"
        "  swarfbook.sqlite3  everything, history included (SQLite)\n"
        "  manifest.json    the size and the SHA-256 of each of these files\n"
        "\n"
        "It holds the sign-in names and scrambled passwords of this shop, so keep it where you keep such things.\n"
    )


def _log(build: Build) -> str:
    entries = Entry.objects.kept().filter(build=build).select_related("builder", "part", "operation")
    return as_csv(
        TableOut(
            build.name, LOG_COLUMNS, (_log_row(entry) for entry in entries.order_by("worked_on", "pk").iterator(2000))
        )
    )


def _log_row(entry: Entry) -> Sequence[Value]:
    minutes = WHAT_MINUTES_SAY[TimeIs(entry.bench_is)].format(entry.bench_minutes or 0)
    return (
        entry.worked_on, entry.since_on, entry.builder and entry.builder.name,
        entry.part and entry.part.number, entry.part and entry.part.name,
        entry.operation and (entry.operation.title or entry.operation.kind), entry.activity,
        minutes, entry.unattended_minutes, entry.good, entry.reworked, entry.scrap, entry.scrap_reason, entry.note,
    )  # fmt: skip


def _photo_list() -> str:
    photos = Photo.objects.select_related("build", "part").order_by("build__slug", "part__position", "pk")
    return as_csv(TableOut("photos", PHOTO_COLUMNS, (_photo_row(photo) for photo in photos)))


def _photo_row(photo: Photo) -> Sequence[Value]:
    part = photo.part
    named = (photo.build.name, part and part.number, part and part.name)
    return (*named, f"{PHOTOS}/{photo.image.name}", photo.caption, photo.taken_on)
