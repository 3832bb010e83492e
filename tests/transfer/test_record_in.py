"""A record file is taken in whole, or refused with the path of the field that is wrong and nothing written."""

import base64
import copy
import io
import time
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from builds.models import Assembly, Build, Builder, Entry, Machine, Material, Milestone, Operation, Part, Photo, Sheet
from builds.services.log.entries import LogLine, amend_entry
from builds.services.undo import undo
from builds.transfer.complaints import RecordError
from builds.transfer.record.reader import import_record, load_record
from builds.transfer.record.writer import export_record
from tests.factories import TODAY

RECORD: dict[str, Any] = {
    "format": "swarfbook-record",
    "version": 1,
    "build": {"name": "Beam engine", "scale": "1:12", "units": "in", "started_on": "2026-01-01"},
    "machines": [{"name": "Lathe", "kind": "lathe", "speeds": [50, 100.5, 200]}, {"name": "Drill", "speed_low": 100,
                 "speed_high": 3000}],
    "materials": [{"name": "Cast iron", "density": 7200}],
    "assemblies": [{"name": "Piston", "parent": "Cylinder"}, {"name": "Cylinder", "parent": None}],
    "sheets": [{"number": "S1", "title": "Cylinder", "revision": "b",
                "remarks": [{"drawing_says": "4 holes", "we_made": "6 holes", "noted_on": "2026-02-03"}]}],
    "parts": [
        {"number": "14", "name": "Ring", "assembly": "Piston", "sheet": "S1", "quantity": 4, "spares": 2,
         "material": "Cast iron", "waiting_for": "post", "waiting_since": "2026-03-01",
         "operations": [
             {"kind": "turning", "title": "Outside", "setup_minutes": 30, "minutes_per_unit": 12.5, "machine": "Lathe"},
             {"kind": "lapping", "minutes_per_unit": None},
         ]},
        {"number": "15", "name": "Bolt", "source": "bought", "quantity": 6, "spares": 0, "operations": []},
        {"number": "16", "name": "Bed", "operations": [{"number": 5, "kind": "making"}]},
    ],
    "batches": [{"part": "14", "number": 1, "blanks": 8, "started_on": "2026-02-01"}],
    "closures": [{"from": "2026-07-01", "to": "2026-07-20", "reason": "away"}],
    "milestones": [{"name": "First turn", "parts": ["14"], "assemblies": ["Cylinder"],
                    "operations": [{"part": "16", "operation": "making"}]}],
    "entries": [
        {"date": "2026-02-03", "builder": "Ada", "part": "14", "operation": 10, "bench_minutes": 90, "good": 5,
         "reworked": 1, "scrap": 1, "scrap_reason": "chatter", "batch": 1, "token": "one"},
        {"date": "2026-02-04", "part": "Bed", "bench_minutes": None, "bench_is": "unknown"},
        {"date": "2026-02-05", "since": "2026-02-01", "activity": "tidying", "bench_minutes": 60, "bench_is": "rough"},
    ],
}  # fmt: skip


def record() -> dict[str, Any]:
    return copy.deepcopy(RECORD)


def put(data: Any, path: list[str | int], value: Any) -> Any:
    at = data
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    return data


def refusal_of(data: Any, **options: Any) -> str:
    with pytest.raises(RecordError) as caught:
        import_record(data, today=TODAY, **options)
    return str(caught.value)


def test_a_record_comes_in_with_everything_it_says(db: None) -> None:
    taken = import_record(record(), today=TODAY)
    build = taken.build
    assert (taken.parts, taken.operations, taken.entries, taken.notes) == (3, 3, 3, ())
    assert (build.slug, build.scale, build.units, build.started_on) == ("beam-engine", "1:12", "in", date(2026, 1, 1))
    assert {m.name for m in build.machines.all()} == {"Lathe", "Drill"}
    ring = build.parts.get(number="14")
    assert (ring.assembly.name, ring.assembly.parent.name, ring.sheet.number) == ("Piston", "Cylinder", "S1")
    assert (ring.quantity_with_spares, ring.material.density, ring.waiting_for) == (6, 7200.0, "post")
    route = [(o.number, o.kind, o.minutes_per_unit) for o in ring.operations.order_by("number")]
    assert route == [(10, "turning", 12.5), (20, "lapping", None)]
    first, second, third = build.entries.order_by("pk")
    assert (first.builder.name, first.batch.number, first.reworked, first.scrap_reason) == ("Ada", 1, 1, "chatter")
    assert (second.bench_minutes, second.bench_is, second.operation.number) == (None, "unknown", 5)
    assert (third.activity, third.since_on, third.bench_is) == ("tidying", date(2026, 2, 1), "rough")
    assert build.milestones.get().parts.get() == ring
    assert build.milestones.get().operations.get() == build.parts.get(number="16").operations.get()
    assert build.events.get().undoable is False


def test_what_was_odd_about_an_entry_comes_in_with_it(db: None) -> None:
    said = [{"oddity": "more than wanted", "good": 5, "wanted": 1}]
    build = import_record(put(record(), ["entries", 0, "oddities"], said), today=TODAY).build
    assert build.entries.get(token="one").remarks == ["5 good of 1 wanted."]


@pytest.mark.parametrize(
    "said", [[{}], [{"oddity": "elephant"}], [{"oddity": "long day"}], [{"oddity": "long day", "minutes": "x"}], "odd"]
)
def test_an_oddity_that_is_not_known_is_refused(db: None, said: Any) -> None:
    refusal = refusal_of(put(record(), ["entries", 0, "oddities"], said))
    assert refusal.startswith("entries[0].oddities")


def test_a_later_amendment_of_what_came_in_can_be_undone(db: None) -> None:
    build = import_record(record(), today=TODAY).build
    entry = build.entries.get(token="one")
    line = LogLine(worked_on=entry.worked_on, part=entry.part, operation=entry.operation, bench_minutes=10, token="one")
    amend_entry(entry=entry, line=line, by=None, today=TODAY)
    undo(event=build.events.first(), by=None)
    entry.refresh_from_db()
    assert (entry.bench_minutes, entry.good, entry.scrap_reason) == (90, 5, "chatter")


def test_everything_moves_by_the_same_number_of_days(db: None) -> None:
    build = import_record(record(), shift_days=14, today=TODAY).build
    assert build.started_on == date(2026, 1, 15)
    assert build.closures.get().to_on == date(2026, 8, 3)
    assert build.parts.get(number="14").waiting_since_on == date(2026, 3, 15)
    assert sorted(build.entries.values_list("worked_on", flat=True))[0] == date(2026, 2, 17)


def test_moving_beyond_the_calendar_is_refused(db: None) -> None:
    assert "calendar" in refusal_of(record(), shift_days=10**7)
    assert "has not come yet" in refusal_of(record(), shift_days=700)


def test_another_name_lets_the_same_record_stand_twice(db: None) -> None:
    import_record(record(), today=TODAY)
    refusal = refusal_of(record())
    assert refusal.startswith("build.name: ")
    assert "--as NAME" in refusal
    other = import_record(record(), name="Beam engine two", today=TODAY).build
    assert (other.name, other.slug, other.entries.count()) == ("Beam engine two", "beam-engine-two", 3)
    assert (Machine.objects.count(), Material.objects.count(), Builder.objects.count()) == (2, 1, 1)


def test_the_shops_own_figures_stay_and_the_difference_is_noted(db: None) -> None:
    Material.objects.create(name="Cast iron", density=7000)
    Machine.objects.create(name="Drill", speed_low=100, speed_high=3000)
    taken = import_record(record(), today=TODAY)
    assert Material.objects.get().density == 7000
    assert taken.build.parts.get(number="14").material == Material.objects.get()
    (note,) = taken.notes
    assert '"Cast iron"' in note
    assert "density" in note


def test_an_entry_without_a_token_gets_the_same_one_every_time(db: None) -> None:
    one = import_record(record(), today=TODAY).build
    other = import_record(record(), name="Other", today=TODAY).build
    tokens = [sorted(build.entries.values_list("token", flat=True)) for build in (one, other)]
    assert tokens[0] == tokens[1]
    assert len(set(tokens[0])) == 3


REFUSED: list[tuple[list[str | int], Any, str, str]] = [
    (["format"], "other", "format", "swarfbook-record"),
    (["format"], None, "format", "missing"),
    (["version"], 2, "version", "version 1"),
    (["version"], True, "version", "version 1"),
    (["extra"], 1, "extra", "no field of this name"),
    (["build", "colour"], "red", "build.colour", "no field of this name"),
    (["build"], [], "build", "object in braces"),
    (["build", "name"], "", "build.name", "empty"),
    (["build", "name"], "x" * 121, "build.name", "121 characters"),
    (["build", "name"], 7, "build.name", "text in quotation marks"),
    (["build", "subject"], "a\0b", "build.subject", "no text"),
    (["build", "subject"], "\ud800", "build.subject", "no text"),
    (["build", "units"], "cm", "build.units", "mm, in"),
    (["build", "on_board"], 1, "build.on_board", "true or false"),
    (["build", "wished_finish_on"], "2025-12-31", "build.wished_finish_on", "before the start"),
    (["build", "activities_counted"], ["naps"], "build.activities_counted[0]", "fixtures and tools"),
    (["machines"], {}, "machines", "list in brackets"),
    (["machines", 0, "speeds", 1], -5, "machines[0].speeds[1]", "more than 0"),
    (["machines", 1, "speed_high"], 50, "machines[1].speed_high", "the lowest first"),
    (["machines", 1, "speed_low"], None, "machines[1].speed_low", "both"),
    (["machines", 1, "name"], "Lathe", "machines[1].name", "stands twice"),
    (["machines", 1, "out_of_order_note"], "Belt", "machines[1].out_of_order_since", "since when"),
    (["materials", 0, "density"], float("inf"), "materials[0].density", "number is wanted"),
    (["materials", 0, "density"], float("nan"), "materials[0].density", "number is wanted"),
    (["materials", 0, "density"], True, "materials[0].density", "number is wanted"),
    (["materials", 0, "density"], 10**400, "materials[0].density", "number"),
    (["assemblies", 1, "parent"], "Piston", "assemblies[1].parent", "inside itself"),
    (["assemblies", 1, "parent"], "Crank", "assemblies[1].parent", "no assembly"),
    (["sheets", 0, "remarks", 0, "we_made"], None, "sheets[0].remarks[0].we_made", "missing"),
    (["sheets", 0, "remarks", 0, "noted_on"], "2026-02-30", "sheets[0].remarks[0].noted_on", "2026-03-14"),
    (["parts", 0, "number"], 14.5, "parts[0].number", "text in quotation marks"),
    (["parts", 1, "number"], "14", "parts[1].number", "stands twice"),
    (["parts", 0, "quantity"], 0, "parts[0].quantity", "from 1"),
    (["parts", 0, "quantity"], 1.5, "parts[0].quantity", "whole number"),
    (["parts", 0, "quantity"], True, "parts[0].quantity", "whole number"),
    (["parts", 0, "material"], "Bronze", "parts[0].material", "Cast iron"),
    (["parts", 0, "waiting_since"], None, "parts[0].waiting_since", "since when"),
    (["parts", 0, "finished_mass_grams"], 0, "parts[0].finished_mass_grams", "more than 0"),
    (["parts", 0, "blank_cost"], 1.005, "parts[0].blank_cost", "two decimals"),
    (["parts", 0, "blank_cost"], -1, "parts[0].blank_cost", "from 0"),
    (["parts", 0, "sizes"], [{"name": "bore"}, {"name": "bore"}], "parts[0].sizes[1].name", "already"),
    (["parts", 0, "operations", 0, "worked"], [], "parts[0].operations[0].worked", "braces"),
    (["parts", 0, "operations", 0, "worked"], {"a": [float("inf")]}, "parts[0].operations[0].worked", "no number"),
    (["parts", 0, "operations", 0, "worked"], {"a\0": 1}, "parts[0].operations[0].worked", "no text"),
    (["parts", 0, "operations", 0, "kind"], "welding", "parts[0].operations[0].kind",
     '"welding" is not a kind of operation. Known kinds: sawing, turning'),
    (["parts", 0, "operations", 0, "kind"], None, "parts[0].operations[0].kind", "missing"),
    (["parts", 0, "operations", 0, "number"], 20, "parts[0].operations[1].number", ""),
    (["parts", 0, "operations", 0, "unattended_share"], 1.01, "parts[0].operations[0].unattended_share", "from 0 to 1"),
    (["parts", 0, "operations", 0, "amount"], 0, "parts[0].operations[0].amount", "more than 0"),
    (["parts", 0, "operations", 0, "minutes_per_unit"], "5", "parts[0].operations[0].minutes_per_unit", "number"),
    (["parts", 0, "operations", 0, "machine"], "Mill", "parts[0].operations[0].machine", "Lathe, Drill"),
    (["batches", 0, "part"], "99", "batches[0].part", "no part"),
    (["batches", 0, "blanks"], None, "batches[0].blanks", "how many"),
    (["closures", 0, "to"], "2026-06-01", "closures[0].to", "before the first"),
    (["closures", 0, "hours_per_week"], 169, "closures[0].hours_per_week", "168"),
    (["milestones", 0, "parts", 0], "99", "milestones[0].parts[0]", "no part"),
    (["milestones", 0, "assemblies", 0], None, "milestones[0].assemblies[0]", "null"),
    (["milestones", 0, "operations", 0, "part"], "99", "milestones[0].operations[0].part", "no part"),
    (["milestones", 0, "operations", 0, "operation"], 99, "milestones[0].operations[0].operation", "no operation"),
    (["milestones", 0, "operations", 0, "operation"], None, "milestones[0].operations[0].operation", "missing"),
    (["entries", 0, "date"], "2026-11-26", "entries[0].date", "has not come yet"),
    (["entries", 0, "date"], None, "entries[0].date", "missing"),
    (["entries", 0, "since"], "2026-02-04", "entries[0].since", "after the date"),
    (["entries", 0, "operation"], 30, "entries[0].operation", "10 Outside, 20 lapping"),
    (["entries", 0, "operation"], None, "entries[0].operation", "at which operation"),
    (["entries", 0, "activity"], "tidying", "entries[0].activity", "one of the two"),
    (["entries", 0, "part"], None, "entries[0].operation", "which part"),
    (["entries", 0, "bench_minutes"], -1, "entries[0].bench_minutes", "from 0"),
    (["entries", 0, "bench_minutes"], 90.5, "entries[0].bench_minutes", "whole number"),
    (["entries", 0, "bench_minutes"], None, "entries[0].bench_minutes", "unknown"),
    (["entries", 0, "bench_is"], "unknown", "entries[0].bench_minutes", "unknown"),
    (["entries", 0, "reworked"], 6, "entries[0].reworked", "cannot be more"),
    (["entries", 0, "scrap"], 0, "entries[0].scrap", "no scrap"),
    (["entries", 0, "batch"], 2, "entries[0].batch", "no batch 2"),
    (["entries", 1, "token"], "one", "entries[1].token", "stands twice"),
    (["entries", 2, "activity"], None, "entries[2].part", "one of the two"),
    (["entries", 2, "good"], 1, "entries[2].good", "shop time"),
    (["photos"], [{"content": "?"}], "photos[0].content", "base64"),
    (["photos"], [{"content": "aGVsbG8="}], "photos[0].content", "picture"),
    (["photos"], [{"content": "aGVsbG8=", "entry": "none"}], "photos[0].entry", "no entry"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "where", "said"), REFUSED, ids=lambda v: str(v)[:40])
def test_what_is_wrong_is_refused_with_the_path_of_its_field(
    db: None, path: list[str | int], value: Any, where: str, said: str
) -> None:
    data = put(record(), path, value)
    if where == "parts[0].operations[1].number":
        data["parts"][0]["operations"][1]["number"] = 20
    refusal = refusal_of(data)
    assert refusal.startswith(f"{where}: ")
    assert said in refusal
    for model in (Build, Part, Operation, Entry, Machine, Material, Assembly, Sheet, Milestone, Builder, Photo):
        assert not model.objects.exists()


def test_a_name_that_two_parts_share_is_no_reference(db: None) -> None:
    data = put(record(), ["parts", 1, "name"], "Bed")
    assert refusal_of(data).startswith("entries[1].part: ")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"  \n", "empty"),
        (b"{", "not JSON (line 1, column 2"),
        (b'{"format": "swarfbook-record",}', "not JSON"),
        (bytes(range(256)), "UTF-8"),
        (b"[" * 100_000, "too deep"),
        (b'{"version": NaN}', "NaN"),
        (b'{"version": -Infinity}', "-Infinity"),
        (b'{"version": 1, "version": 2}', '"version" stands twice'),
        (b'{"version": ' + b"9" * 5000 + b"}", "version: A number of 5,000 digits"),
        (b"[]", "object in braces"),
        (b"7", "object in braces"),
        (b'"text"', "object in braces"),
    ],
)
def test_what_is_no_record_at_all_is_refused_with_a_sentence(db: None, content: bytes, said: str) -> None:
    with pytest.raises(RecordError) as caught:
        import_record(load_record(content), today=TODAY)
    assert said in str(caught.value)


def test_files_that_cannot_be_read_are_refused_with_a_sentence(tmp_path: Path) -> None:
    for path, said in ((tmp_path / "none.json", "no such file"), (tmp_path, "folder")):
        with pytest.raises(RecordError, match=said):
            load_record(path)


def picture(size: tuple[int, int] = (40, 30), kind: str = "JPEG") -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", size, (90, 60, 30)).save(out, kind)
    return out.getvalue()


def with_photo(content: bytes) -> dict[str, Any]:
    photo = {"name": "../x/ring.png", "caption": "The ring", "part": "14", "entry": "one", "taken_on": "2026-02-03"}
    return {**record(), "photos": [{**photo, "content": base64.b64encode(content).decode()}]}


def test_a_photo_is_restored_byte_for_byte_where_it_is_as_photos_are_kept(db: None, data_dir: Path) -> None:
    content = picture()
    build = import_record(with_photo(content), today=TODAY).build
    photo = build.photos.get()
    assert Path(photo.image.path).read_bytes() == content
    assert Path(photo.image.path).is_relative_to(data_dir / "photos")
    assert (photo.part.number, photo.entry.token, photo.caption) == ("14", "one", "The ring")
    assert base64.b64decode(export_record(build)["photos"][0]["content"]) == content


@pytest.mark.parametrize(("size", "kind"), [((40, 30), "PNG"), ((1700, 20), "JPEG")])
def test_a_photo_of_another_sort_is_made_as_photos_are_kept(
    db: None, data_dir: Path, size: tuple[int, int], kind: str
) -> None:
    from PIL import Image

    build = import_record(with_photo(picture(size, kind)), today=TODAY).build
    with Image.open(build.photos.get().image.path) as kept:
        assert kept.format == "JPEG"
        assert max(kept.size) == min(max(size), 1600)


def test_no_photo_is_left_behind_by_a_record_that_is_refused(db: None, data_dir: Path) -> None:
    data = with_photo(picture())
    data["photos"].append({"content": "aGVsbG8="})
    refusal_of(data)
    assert not [path for path in (data_dir / "photos").rglob("*") if path.is_file()]


def test_a_large_build_comes_in_quickly(db: None) -> None:
    data = record()
    operations = [{"kind": "turning", "minutes_per_unit": 10} for _ in range(10)]
    data["parts"] += [{"number": f"x{i}", "name": f"Part {i}", "operations": operations} for i in range(30)]
    data["entries"] = [
        {"date": "2026-02-03", "part": f"x{i % 30}", "operation": 10 * (i % 10) + 10, "bench_minutes": i, "good": 1}
        for i in range(500)
    ]
    began = time.process_time()
    taken = import_record(data, today=TODAY)
    assert (taken.operations, taken.entries) == (303, 500)
    # Processor time, so that a busy machine does not fail it.
    assert time.process_time() - began < 3


def test_no_photo_is_left_behind_when_writing_breaks_off(db: None, data_dir: Path) -> None:
    from django.db.models.signals import pre_save

    def break_off(sender: Any, instance: Photo, **_: Any) -> None:
        if instance.caption == "second":
            raise OSError("the disk is full")

    data = with_photo(picture())
    data["photos"].append({**data["photos"][0], "caption": "second"})
    pre_save.connect(break_off, sender=Photo)
    try:
        with pytest.raises(OSError, match="disk is full"):
            import_record(data, today=TODAY)
    finally:
        pre_save.disconnect(break_off, sender=Photo)
    assert not Build.objects.exists()
    assert not [path for path in (data_dir / "photos").rglob("*") if path.is_file()]


def test_history_rows_carry_the_event_that_they_came_with(db: None) -> None:
    build = import_record(record(), today=TODAY).build
    event = build.events.get()
    for model in (Part, Operation, Entry, Sheet, Assembly, Milestone):
        marks = set(model.history.values_list("event_id", flat=True))  # type: ignore[attr-defined]
        assert marks == {event.pk}


def test_a_plain_number_is_as_good_as_one_in_quotation_marks(db: None) -> None:
    data = {
        "format": "swarfbook-record",
        "version": 1,
        "build": {"name": "Tiny engine"},
        "sheets": [{"number": 3}],
        "parts": [{"number": 7, "name": "Bed", "sheet": 3}],
        "entries": [{"date": "2026-01-02", "part": 7, "bench_minutes": 30}],
    }
    build = import_record(data, today=TODAY).build

    assert (build.parts.get().number, build.entries.get().part.number) == ("7", "7")
    with pytest.raises(RecordError, match=r"parts\[0\]\.number"):
        import_record({**data, "build": {"name": "Other"}, "parts": [{"number": True, "name": "Bed"}]}, today=TODAY)


def test_history_rows_are_what_the_records_are(db: None) -> None:
    import_record(record(), today=TODAY)
    for model in (Part, Operation, Entry, Sheet, Assembly):
        columns = [field.attname for field in model._meta.concrete_fields]
        history = model.history.order_by("id")  # type: ignore[attr-defined]
        assert list(history.values_list(*columns)) == list(model.objects.order_by("id").values_list(*columns))  # type: ignore[attr-defined]
        assert set(history.values_list("history_type", "history_user", "history_change_reason")) == {("+", None, None)}


def test_keys_go_on_from_those_that_were_ever_given(db: None) -> None:
    first = import_record(record(), today=TODAY).build
    last = Entry.objects.order_by("pk").last()
    assert last is not None
    gone, saved_later = last.pk, Entry.objects.get(token="one")
    last.delete()
    saved_later.pk, saved_later.token, saved_later._state.adding = None, "later", True
    saved_later.save()
    second = import_record(record(), name="Second engine", today=TODAY).build
    assert gone < saved_later.pk < min(second.entries.values_list("pk", flat=True))
    assert first.entries.count() == second.entries.count() == 3


def test_a_list_of_a_whole_life_is_taken_and_a_longer_one_refused(db: None) -> None:
    speeds: list[str | int] = ["machines", 0, "speeds"]
    taken = import_record(put(record(), speeds, [50] * 240_000), today=TODAY)
    assert len(taken.build.machines.get(name="Lathe").speeds) == 240_000
    refusal = refusal_of(put(record(), speeds, [50] * 250_001), name="Other")
    assert refusal == "machines[0].speeds: This list has 250,001 rows; 250,000 is the most that is taken."
