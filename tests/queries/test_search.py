"""Looking something up: what is found, in which order, and that nothing typed is taken for anything but words."""

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.models import Build, Machine, Material, Part
from builds.queries.search import KINDS, Found, find
from builds.services.plan import records as plan
from tests import factories


def names(found: Found, key: str = "parts") -> list[str]:
    return [str(hit.record) for group in found.groups if group.key == key for hit in group.hits]


@pytest.fixture
def build(make_build: Any) -> Build:
    return make_build()


@pytest.mark.parametrize(
    "typed", ["ecc str", "STRAP", "strap eccentric", "223", "22", "eccentric-strap", "  ecc,str ", "Ecc. str."]
)
def test_the_beginnings_of_words_find_a_part(build: Build, typed: str) -> None:
    factories.make_part(build, "223", "Eccentric strap")
    factories.make_part(build, "14", "Piston ring")
    assert names(find(typed, build)) == ["223 Eccentric strap"]


@pytest.mark.parametrize("typed", ["trap", "ccentric", "strap piston", "2233", "strapping"])
def test_what_no_word_begins_with_finds_nothing(build: Build, typed: str) -> None:
    factories.make_part(build, "223", "Eccentric strap")
    assert find(typed, build).groups == ()


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("Führungsstück", "fuhrungs"),
        ("Führungsstück", "FÜHRUNGSSTÜCK"),
        ("Fuhrung", "führung"),
        ("Fu\u0308hrung", "führung"),
        ("Führung", "fu\u0308hrung"),
        ("Maßstab", "massstab"),
        ("Masstab", "maßtab"),
        ("ÉCHAPPEMENT", "echap"),
        ("Ćwierćwałek", "cwierc"),
        ("Поршень", "ПОР"),
        ("Ø6 reamer", "ø6"),
    ],
)
def test_accents_and_large_letters_make_no_difference(build: Build, name: str, typed: str) -> None:
    factories.make_part(build, "7", name)
    assert len(names(find(typed, build))) == 1


@pytest.mark.parametrize(
    ("note", "typed"),
    [
        ("bored to 2.125", "2.125"),
        ("drill 3/8-24", "3/8"),
        ("at -5 degrees", "5"),
        ("see a@b.org", "a@b.org"),
        ("1e5", "1e5"),
    ],
)
def test_figures_are_found_as_they_are_written(build: Build, note: str, typed: str) -> None:
    factories.make_part(build, "7", "Bracket", note=note)
    assert names(find(typed, build)) == ["7 Bracket"]


# fmt: off
HOSTILE = [
    '"', "'", '""', "*", "strap*", "strap OR", "NOT strap", "NEAR(strap, 2)", "strap NEAR/2 ecc", "name:strap",
    "{name}:strap", "^strap", "strap + ecc", "(strap", "strap)", "-strap", "strap -ecc", "\x00", "str\x00ap",
    "strap & !ecc", "strap:*A", "<->", "%s %(x)s", "'; DROP TABLE builds_part; --", "\\", "\ud7ff", "x" * 5000,
    "x " * 5000, "🚂", "\u0301", "_", "__", "ﬀ½²", "\udc80",
]
# fmt: on


@pytest.mark.parametrize("typed", HOSTILE)
def test_nothing_typed_is_taken_for_anything_but_words(build: Build, typed: str) -> None:
    factories.make_part(build, "1", "Strap")
    assert names(find(typed, build)) in ([], ["1 Strap"])
    assert Part.objects.count() == 1


def test_a_word_of_the_query_language_is_a_word(build: Build) -> None:
    factories.make_part(build, "1", "Strap or bridle")
    factories.make_part(build, "2", "Strap")
    assert names(find("strap OR", build)) == ["1 Strap or bridle"]
    assert names(find("strap NOT bridle", build)) == []


def test_without_a_word_nothing_is_asked(build: Build) -> None:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert find(" ,;- ", build).groups == ()
    assert len(asked) == 0


def test_every_kind_of_record_is_found_by_its_own_words(build: Build) -> None:
    part = factories.make_part(build, "1", "Zylinder one", operations=[])
    factories.make_assembly(build, "Zylinder two")
    factories.make_operation(part, title="Zylinder three")
    sheet = factories.make_sheet(build, "9", title="Zylinder four")
    factories.make_entry(build, part=part, note="zylinder five")
    from builds.models import Batch, Milestone, Photo, Remark

    plan.save(record=Remark(sheet=sheet, drawing_says="zylinder six", we_made="seven"), by=None)
    plan.save(record=Batch(part=part, number=1, blanks=3, started_on=date(2026, 2, 1), note="zylinder eight"), by=None)
    plan.save(record=Milestone(build=build, name="Zylinder nine"), by=None)
    Photo.objects.create(build=build, image="x.jpg", caption="Zylinder ten")
    Machine.objects.create(name="Zylinder lathe")
    Material.objects.create(name="Iron", note="zylinder iron")
    assert {group.key: len(group.hits) for group in find("zyl", build).groups} == dict.fromkeys(KINDS, 1)


def test_number_of_queries_stays_whatever_is_found(build: Build, django_assert_num_queries: Any) -> None:
    for n in range(8):
        part = factories.make_part(build, str(n), "Strap", operations=[{"kind": "making", "title": "Strap"}])
        factories.make_entry(build, part=part, operation=part.operations.get(), note="strap")
    with django_assert_num_queries(len(KINDS)):
        found = find("strap", build)
        assert [(group.key, len(group.hits), group.more) for group in found.groups] == [
            ("parts", 6, True), ("operations", 6, True), ("entries", 6, True),
        ]  # fmt: skip
        assert all(hit.part or hit.called for group in found.groups for hit in group.hits)


def test_one_kind_alone_shows_more_of_it(build: Build) -> None:
    for n in range(8):
        factories.make_part(build, str(n), "Strap", operations=[])
    factories.make_assembly(build, "Strap")
    found = find("strap", build, "parts")
    assert [(group.key, len(group.hits), group.more) for group in found.groups] == [("parts", 8, False)]
    assert len(find("strap", build, "nonsense").groups) == 2


def test_this_build_comes_first_then_the_others(build: Build, make_build: Any) -> None:
    other = make_build("Tug")
    factories.make_part(other, "1", "Strap")
    factories.make_part(build, "2", "Bracket", note="for the strap")
    found = find("strap", build).groups[0].hits
    assert [(str(hit.record), hit.elsewhere) for hit in found] == [("2 Bracket", None), ("1 Strap", other)]


def test_the_number_itself_comes_before_what_begins_with_it_and_a_name_before_a_note(build: Build) -> None:
    factories.make_part(build, "14-2", "Ring")
    factories.make_part(build, "15", "Bracket", note="beside 14")
    factories.make_part(build, "141", "Bush")
    factories.make_part(build, "14", "Piston ring")
    found = names(find("14", build))
    assert found[0] == "14 Piston ring"
    assert found[-1] == "15 Bracket"


def test_the_newest_entry_comes_first(build: Build) -> None:
    part = factories.make_part(build)
    for day in (3, 5, 4):
        factories.make_entry(build, date(2026, 3, day), part=part, note="chatter " * day)
    assert [hit.day.day for hit in find("chatter", build).groups[0].hits] == [5, 4, 3]


def test_the_words_are_marked_and_a_long_note_is_shown_where_they_stand(build: Build) -> None:
    factories.make_part(build, "1", "Bracket", note="long " * 200 + "the Strap broke " + "and so on " * 90)
    (hit,) = find("str", build).groups[0].hits
    assert ("Str", True) in hit.told
    assert 100 < sum(len(piece) for piece, _found in hit.told) < 260
