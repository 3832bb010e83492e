"""Export and import of one build, by the commands, against JSON and bare SQL."""

import json
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from django.core.management import call_command

from tests.speed import floors
from tests.speed.browser import queries_of
from tests.speed.measuring import Measure, medians
from tests.speed.shop import LARGE, manage


def measures(database: Path) -> Iterator[Measure]:
    with TemporaryDirectory() as place:
        file = Path(place) / "large.json"
        yield export(file)
        yield imports(file, database, Path(place))


def export(file: Path) -> Measure:
    def whole() -> None:
        call_command("export_record", LARGE, str(file), force=True, stdout=floors.Nowhere())

    whole()
    record = json.loads(file.read_text())
    works = {"export": whole, "dumps": lambda: floors.dump(record), "sql": lambda: floors.read_tables(LARGE)}
    taken = medians(works, process_time)
    floor = taken["dumps"] + taken["sql"]
    return Measure("export", taken["export"], "dumps + SQL", floor, queries_of(whole), file.stat().st_size, 3.0)


def imports(file: Path, database: Path, place: Path) -> Measure:
    """Import under ever other names, against parsing and bare insertion of the very rows that one import writes."""
    names = count(1)

    def whole() -> None:
        call_command("import_record", str(file), name=f"Carried {next(names)}", stdout=floors.Nowhere())

    bare = floors.Insertion(imported_alone(file, database, place), place)
    works = {
        "import": whole,
        "parse": lambda: json.loads(file.read_text()),
        "ready": bare.make_ready,
        "insert": bare.insert,
    }
    taken = medians(works, process_time)
    floor = taken["parse"] + taken["insert"]
    return Measure("import", taken["import"], "json + bare insertion", floor, queries_of(whole), bar=4.0)


def imported_alone(file: Path, database: Path, place: Path) -> Path:
    """A database that holds one import and nothing else."""
    folder = place / "alone"
    manage(folder, "migrate", "-v", "0")
    manage(folder, "import_record", str(file))
    return folder / database.name
