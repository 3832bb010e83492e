"""What goes out comes in, and going out again it is the same text, byte for byte."""

import json
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds.management.demonstration import RECORD as DEMONSTRATION
from builds.models import (
    Assembly,
    Batch,
    Build,
    Builder,
    Closure,
    Entry,
    Event,
    Machine,
    Material,
    Milestone,
    Offer,
    Operation,
    Part,
    Photo,
    Sheet,
    Stock,
)
from builds.models.choices import Activity, Basis, BuildState, Kind, Origin, Role, Units, WaitingFor
from builds.models.oddity import WORDS as WORDS_OF
from builds.services.log.entries import remove_entry
from builds.transfer.record.reader import import_record, load_record
from builds.transfer.record.writer import export_record, export_text
from tests.factories import TODAY, make_build, make_entry, make_operation, make_part
from tests.transfer.test_record_in import picture, record, with_photo


def empty_the_database() -> None:
    for model in (Stock, Offer, Event, Photo, Entry, Batch, Milestone, Operation, Part, Closure, Sheet):
        model.objects.all().delete()
    Assembly.objects.update(parent=None)
    for model in (Assembly, Build, Machine, Material, Builder):
        model.objects.all().delete()


def out_in_out(text: str) -> str:
    empty_the_database()
    return export_text(import_record(load_record(text.encode()), today=TODAY).build)


# ---- records made up at random --------------------------------------------------------------------------------------
DAYS = st.dates(date(2024, 1, 1), TODAY).map(date.isoformat)
WORDS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
NAMES = WORDS.filter(str.strip)
FIGURES = st.one_of(st.integers(0, 10_000), st.floats(0, 1e6, allow_nan=False))
ABOVE_NOTHING = st.one_of(st.integers(1, 10_000), st.floats(1e-6, 1e4))
COUNTS = st.integers(0, 1000)
ODDITIES = st.sampled_from(list(WORDS_OF)).flatmap(
    lambda kind: st.fixed_dictionaries({"oddity": st.just(kind), **dict.fromkeys(WORDS_OF[kind][0].split(), COUNTS)})
)
MONEY = st.integers(0, 10_000_00).map(lambda hundredths: hundredths / 100)
WORKED = st.none() | st.dictionaries(
    WORDS, WORDS | COUNTS | st.floats(0, 1e6) | st.lists(WORDS, max_size=2), max_size=3
)
SIZES = st.lists(
    st.fixed_dictionaries({"name": NAMES, "full_size": WORDS, "made": WORDS}, optional={"reason": NAMES}),
    max_size=2,
    unique_by=lambda size: size["name"],
)


def some(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """An object that has any of these fields."""
    return st.fixed_dictionaries({}, optional=fields)


# What a part with pieces may say it is; a bought one is told by its source.
ROLES_OF_PIECES = st.sampled_from(
    [{}, {"source": "made"}, {"source": "bought"}, *({"role": role.value} for role in (Role.DETAIL, Role.JIG))]
)


def distinct_names(least: int = 0, most: int = 3) -> st.SearchStrategy[list[str]]:
    return st.lists(NAMES, min_size=least, max_size=most, unique_by=lambda name: " ".join(name.casefold().split()))


def operations(machines: list[str]) -> st.SearchStrategy[list[dict[str, Any]]]:
    one = st.builds(
        dict.__or__,
        st.fixed_dictionaries({"kind": st.sampled_from(Kind.values)}),
        some(
            title=WORDS, setup_minutes=FIGURES, basis=st.sampled_from(Basis.values), amount=ABOVE_NOTHING,
            minutes_per_unit=st.none() | FIGURES, unattended_share=st.floats(0, 1), note=WORDS, added_on=DAYS,
            slip_costs_time=st.booleans(), origin=st.sampled_from(Origin.values), worked=WORKED,
            machine=st.sampled_from([None, *machines]),
        ),
    )  # fmt: skip
    return st.lists(one, max_size=3)


@st.composite
def builds(draw: st.DrawFn) -> dict[str, Any]:
    started = draw(st.dates(date(2024, 1, 1), TODAY))
    later = started + timedelta(days=draw(COUNTS))
    title = {"name": draw(NAMES), "started_on": started.isoformat(), "wished_finish_on": later.isoformat()}
    title |= draw(st.sampled_from([
        {}, *({"state": state} for state in BuildState.values),
        {"state": BuildState.FINISHED.value, "finished_on": later.isoformat()},
    ]))  # fmt: skip
    return title | draw(
        some(
            subject=WORDS, scale=WORDS, units=st.sampled_from(Units.values),
            on_board=st.booleans(), date_on_board=st.booleans(), for_visitors=WORDS,
            activities_counted=st.lists(st.sampled_from(Activity.values)), for_counter=st.booleans(),
            general_tolerance=st.sampled_from(["", "ISO 2768-m", "±.005 in"]),
            hourly_figure=MONEY, budget=MONEY, currency=st.sampled_from(["", "£", "kr"]),
        )
    )  # fmt: skip


EXHIBIT = st.fixed_dictionaries(
    {},
    optional={
        **dict.fromkeys(("real_length", "model_height", "what_it_did", "how_it_works"), WORDS),
        **dict.fromkeys(("names_shown", "photos_shown", "hours_shown", "scrap_shown"), st.booleans()),
        "seconds_a_panel": st.integers(12, 120),
        "bench_words_on": DAYS,
    },
)


@st.composite
def parts(draw: st.DrawFn, machines: list[str], materials: list[str], assemblies: list[str]) -> list[dict[str, Any]]:
    made = []
    for number in draw(distinct_names()):
        part = {"number": number, "name": draw(NAMES), "operations": draw(operations(machines))}
        if draw(st.booleans()):
            part |= {"waiting_for": draw(st.sampled_from(WaitingFor.values)), "waiting_since": draw(DAYS)}
        part |= draw(ROLES_OF_PIECES)
        if made and draw(st.booleans()):
            # Of a part before it, so there is no circle.
            waits = draw(st.sampled_from([part, *part["operations"]]))
            waits["needs"] = [{"part": draw(st.sampled_from(made))["number"]}]
        made.append(part | draw(
            some(
                assembly=st.sampled_from([None, *assemblies]), material=st.sampled_from([None, *materials]),
                quantity=st.integers(1, 1000), spares=COUNTS, note=WORDS,
                blank=WORDS, for_visitors=WORDS, finished_mass_grams=ABOVE_NOTHING, finished_on=DAYS,
                waiting_note=WORDS, blank_cost=MONEY, sizes=SIZES, supplier=WORDS, ordered_on=DAYS,
                arrived_on=st.just(TODAY.isoformat()),
            )
        ))  # fmt: skip
    for place in range(1, draw(st.integers(0, len(made))) + 1):
        made[-place]["working_order"] = place
    return made


@st.composite
def entries(draw: st.DrawFn, parts: list[dict[str, Any]], batches: list[dict[str, Any]]) -> list[dict[str, Any]]:
    made = []
    for place in range(draw(st.integers(0, 5))):
        entry: dict[str, Any] = {"date": draw(DAYS)} | draw(
            some(builder=NAMES, note=WORDS, unattended_minutes=COUNTS, token=st.just(f"token {place}"))
        )
        entry |= draw(some(oddities=st.lists(ODDITIES, max_size=2)))
        entry["bench_is"] = draw(st.sampled_from(["exact", "rough", "unknown"]))
        entry["bench_minutes"] = None if entry["bench_is"] == "unknown" else draw(COUNTS)
        part = draw(st.sampled_from([None, *parts]))
        if part is None:
            made.append(entry | {"activity": draw(st.sampled_from(Activity.values))})
            continue
        entry["part"] = part["number"]
        own = [batch["number"] for batch in batches if batch["part"] == part["number"]]
        entry |= draw(some(batch=st.sampled_from([None, *own])))
        if part["operations"]:
            place_on_route = draw(st.integers(0, len(part["operations"])))
            entry["operation"] = 10 * place_on_route or None
            if place_on_route:
                good = draw(COUNTS)
                entry |= {"good": good, "reworked": draw(st.integers(0, good))}
                entry |= draw(st.sampled_from([{}, {"scrap": 3, "scrap_reason": "chatter"}, {"scrap": 1}]))
        made.append(entry)
    return made


def some_of(these: list[Any]) -> st.SearchStrategy[list[Any]]:
    return st.lists(st.sampled_from(these), unique_by=str) if these else st.just([])


def stock(materials: list[str], more: st.SearchStrategy[dict[str, Any]]) -> st.SearchStrategy[list[dict[str, Any]]]:
    if not materials:
        return st.just([])
    one = st.fixed_dictionaries(
        {
            "material": st.sampled_from(materials),
            "section": st.sampled_from(["20 mm dia", "1/2 in sq", "1 in plate"]),
            "units": st.sampled_from(Units.values),
        }
    ).map(lambda said: said | {"length": "12 in x 8 in" if "plate" in said["section"] else "500 mm"})
    return st.lists(st.builds(dict.__or__, one, more), max_size=3)


@st.composite
def records(draw: st.DrawFn) -> dict[str, Any]:
    """Whole records: every sort of row, optional fields there or not."""
    machines, materials, assemblies, sheets = (draw(distinct_names()) for _ in range(4))
    made = draw(parts(machines, materials, assemblies))
    numbers = [part["number"] for part in made]
    steps = [
        {"part": part["number"], "operation": 10 * (place + 1)}
        for part in made
        for place in range(len(part["operations"]))
    ]
    batches = [
        {"part": number, "number": n + 1, "blanks": draw(st.integers(1, 50)), "started_on": draw(DAYS)}
        for number in numbers
        for n in range(draw(st.integers(0, 2)))
    ]
    remark = st.fixed_dictionaries({"drawing_says": NAMES, "we_made": NAMES}, optional={"noted_on": DAYS})
    return {
        "format": "swarfbook-record",
        "version": 1,
        "build": draw(builds()),
        "machines": [
            {"name": name}
            | draw(some(kind=WORDS, speeds=st.lists(ABOVE_NOTHING, max_size=3), power_watts=ABOVE_NOTHING))
            | draw(st.just({}) | st.fixed_dictionaries({"out_of_order_since": DAYS, "out_of_order_note": WORDS}))
            for name in machines
        ],
        "materials": [{"name": name} | draw(some(density=ABOVE_NOTHING, note=WORDS)) for name in materials],
        "stock": draw(stock(materials, some(pieces=COUNTS, note=WORDS))),
        "offers": draw(stock(materials, some(price=MONEY, supplier=WORDS))),
        # Each may stand in one that comes after it, so there is no circle.
        "assemblies": [
            {"name": name, "parent": draw(st.sampled_from([None, *assemblies[i + 1 :]]))}
            for i, name in enumerate(assemblies)
        ],
        "sheets": [
            {"number": number, "title": draw(WORDS)} | draw(some(remarks=st.lists(remark, max_size=2)))
            for number in sheets
        ],
        "parts": made,
        "batches": batches,
        "closures": draw(
            st.lists(
                st.fixed_dictionaries(
                    {"from": st.just("2025-07-01"), "to": st.just("2025-08-01")},
                    optional={"reason": WORDS, "hours_per_week": st.floats(0, 168)},
                ),
                max_size=2,
            )
        ),
        "milestones": [
            {"name": name} | draw(some(parts=some_of(numbers), operations=some_of(steps)))
            for name in draw(distinct_names())
        ],
        "entries": draw(entries(made, batches)),
    } | draw(some(exhibit=EXHIBIT))


@settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=records())
def test_any_record_goes_out_comes_in_and_goes_out_the_same(db: None, data: dict[str, Any]) -> None:
    empty_the_database()
    first = export_text(import_record(data, today=TODAY).build)
    assert out_in_out(first) == first


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=records())
def test_nothing_that_a_record_says_is_lost(db: None, data: dict[str, Any]) -> None:
    empty_the_database()
    out = export_record(import_record(data, today=TODAY).build)
    for kind in ("stock", "offers"):
        assert len(out.get(kind, [])) == len(data[kind])
    for kind in ("machines", "materials", "assemblies", "sheets", "parts", "batches", "milestones", "entries"):
        assert len(out[kind]) == len(data[kind])
    said = {entry["token"]: entry for entry in out["entries"]}
    for entry in data["entries"]:
        if "token" in entry:
            there = said[entry["token"]]
            assert {name: there.get(name) for name in ("date", "part", "bench_minutes")} == {
                name: entry.get(name) for name in ("date", "part", "bench_minutes")
            }
            assert there.get("good", 0) == entry.get("good", 0)
    for part, other in zip(data["parts"], out["parts"], strict=True):
        for name in part.keys() - {"operations"}:
            assert other.get(name, _default_of(name)) == part[name]


def _default_of(name: str) -> Any:
    return {"source": "made", "sizes": []}.get(name, None if name in {"assembly", "material", "finished_on"} else "")


# ---- and those that we know -----------------------------------------------------------------------------------------
def test_a_record_with_photos_goes_round(db: None, data_dir: Any) -> None:
    first = export_text(import_record(with_photo(picture()), today=TODAY).build)
    assert out_in_out(first) == first


@pytest.mark.skipif(not DEMONSTRATION.exists(), reason="the demonstration record is not there")
def test_the_demonstration_goes_round(db: None) -> None:
    first = export_text(import_record(load_record(DEMONSTRATION), today=TODAY).build)
    assert out_in_out(first) == first


def test_a_build_kept_on_the_pages_goes_round(db: None) -> None:
    build = make_build(started_on=None)
    part = make_part(build, operations=[])
    make_entry(build, part=part, minutes=30)
    make_operation(part)
    make_entry(build, part=part, good=3, scrap=1, note="two\r\nlines ½ “quoted”")
    make_entry(build, activity="tidying", minutes=None)
    remove_entry(entry=make_entry(build, part=part), by=None)
    first = export_text(build)
    assert out_in_out(first) == first
    assert [entry.get("operation", "left out") for entry in json.loads(first)["entries"]] == [None, 10, "left out"]


def test_the_text_of_a_record_is_plain_and_ends_with_a_line(db: None) -> None:
    build = import_record({**record(), "build": {"name": "Größe ½"}}, today=TODAY).build
    text = export_text(build)
    assert '"name": "Größe ½"' in text
    assert text.endswith("}\n")
    assert text.startswith('{\n "format": "swarfbook-record"')
    assert export_text(Build.objects.get()) == text


def test_a_record_stands_on_a_line_of_its_own_and_what_is_inside_it_too(db: None) -> None:
    text = export_text(import_record(record(), today=TODAY).build)
    lines = text.splitlines()
    for section, indent in (("machines", 2), ("parts", 2), ("entries", 2)):
        start = lines.index(f' "{section}": [') + 1
        stop = next(n for n in range(start, len(lines)) if lines[n].startswith(" ]"))
        assert sum(line.startswith(" " * indent + "{") for line in lines[start:stop]) == len(record()[section])
    assert '  {"name": "First turn", "parts": ["14"], "assemblies": ["Cylinder"], "operations": [' in lines
    assert '   {"part": "16", "operation": 5}' in lines
    assert sum(line.startswith('   {"number": ') for line in lines) == 3
    assert ' "assemblies": [],' in export_text(make_build("Empty engine")).splitlines()


def test_a_file_laid_out_otherwise_says_the_same(db: None) -> None:
    text = export_text(import_record(record(), today=TODAY).build)
    for indent in (None, 1):
        assert out_in_out(json.dumps(json.loads(text), indent=indent)) == text


def test_what_stands_at_its_default_is_left_out(db: None) -> None:
    data = {"format": "swarfbook-record", "version": 1, "build": {"name": "Tiny engine"}}
    data |= {
        "machines": [{"name": "Lathe"}],
        "materials": [{"name": "Brass"}],
        "sheets": [{"number": "S1"}],
        "parts": [{"number": "1", "name": "Bed", "operations": [{"kind": "making"}], "sizes": [{"name": "bore"}]}],
        "batches": [{"part": "1", "blanks": 2, "started_on": "2026-01-02"}],
        "closures": [{"from": "2026-02-01", "to": "2026-02-02"}],
        "milestones": [{"name": "First turn"}],
        "entries": [
            {"date": "2026-01-02", "part": "1", "bench_minutes": 30, "token": "one"},
            {"date": "2026-01-03", "activity": "tidying", "bench_minutes": 5, "token": "two"},
        ],
    }
    assert json.dumps(export_record(import_record(data, today=TODAY).build)) == json.dumps(
        {
            "format": "swarfbook-record",
            "version": 1,
            "build": {
                "name": "Tiny engine", "subject": "", "scale": "", "units": "mm", "started_on": None,
                "wished_finish_on": None,
            },
            "machines": [{"name": "Lathe", "kind": ""}],
            "materials": [{"name": "Brass"}],
            "assemblies": [],
            "sheets": [{"number": "S1", "title": "", "revision": ""}],
            "parts": [
                {
                    "number": "1", "name": "Bed", "assembly": None, "sheet": None, "quantity": 1, "spares": 0,
                    "material": None, "sizes": [{"name": "bore", "full_size": "", "made": ""}],
                    "operations": [
                        {
                            "number": 10, "kind": "making", "title": "", "setup_minutes": 0, "basis": "piece",
                            "amount": 1, "minutes_per_unit": None, "unattended_share": 0,
                        }
                    ],
                }
            ],
            "batches": [{"part": "1", "number": 1, "blanks": 2, "started_on": "2026-01-02"}],
            "closures": [{"from": "2026-02-01", "to": "2026-02-02", "reason": ""}],
            "milestones": [{"name": "First turn", "parts": [], "assemblies": []}],
            "entries": [
                {"date": "2026-01-02", "part": "1", "operation": 10, "bench_minutes": 30, "token": "one"},
                {"date": "2026-01-03", "activity": "tidying", "bench_minutes": 5, "token": "two"},
            ],
        }
    )  # fmt: skip
