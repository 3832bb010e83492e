"""What visitors are told of a build, as facts: what is hidden is not among them."""

from datetime import date, timedelta
from typing import Any

import pytest

from builds.management.demonstration import load_demonstration
from builds.models import Build, Exhibit, Photo
from builds.models.choices import BuildState, Kind
from builds.queries.visitors.facts import Facts, facts_of
from builds.queries.visitors.figures import (
    halves_in_words,
    hours_in_words,
    length_in_words,
    mass_in_words,
    share_in_a_hundred,
)
from builds.queries.visitors.headings import PANELS, heading
from builds.queries.visitors.meanings import meaning_of
from builds.services.plan.records import edit_build
from builds.services.plan.visitors import keep_exhibit
from tests import factories
from tests.factories import TODAY, make_assembly, make_batch, make_build, make_entry, make_material, make_part


def spaced(words: str) -> str:
    """With plain spaces between figures and their units."""
    return words.replace("\u00a0", " ")


def told(build: Build, **fields: Any) -> Facts:
    """The facts of a build whose exhibit has these fields."""
    if fields:
        exhibit = Exhibit.objects.filter(build=build).first() or Exhibit(build=build)
        for name, value in fields.items():
            setattr(exhibit, name, value)
        keep_exhibit(exhibit=exhibit, for_visitors=build.for_visitors, on_board=True,
                     date_on_board=build.date_on_board, by=None)  # fmt: skip
    return facts_of(build, TODAY)


def rings(build: Build) -> Any:
    """Twelve rings: of nine begun five are good, three were lost and one is in work."""
    part = make_part(
        build, "212", "Piston ring", quantity=12, for_visitors="They keep the steam in.",
        assembly=make_assembly(build), material=make_material("Cast iron, bar", density=7200),
        blank="20 mm dia x 10", finished_mass_grams=4,
        operations=({"kind": "turning", "minutes_per_unit": 10.0}, {"kind": "lapping", "minutes_per_unit": 10.0}),
    )  # fmt: skip
    turned, lapped = part.operations.order_by("number")
    batch = make_batch(part, blanks=9)
    worked = [(turned, 7, 2, "broke at the gap"), (lapped, 5, 1, "too thin")]
    for n, (operation, good, scrap, reason) in enumerate(worked):
        counted: dict[str, Any] = {"good": good, "scrap": scrap, "scrap_reason": reason, "batch": batch}
        by = factories.make_builder("Wilhelmina")
        make_entry(build, date(2026, 3, 2 + n), 120, part=part, operation=operation, builder=by, **counted)
    return part


def test_a_shop_sets_its_own_headings() -> None:
    assert heading("bench", {"bench": "Tonight's job"}) == "Tonight's job"
    assert heading("bench", {"bench": ""}) == str(PANELS["bench"]) == "What is on the bench?"


def test_a_panel_that_there_is_not_has_no_heading() -> None:
    with pytest.raises(KeyError):
        heading("nothing", {})


@pytest.mark.parametrize(
    ("millimetres", "unit", "words"),
    [
        (8400, "mm", "8.4 m"), (8000, "mm", "8 m"), (25_400, "mm", "25 m"), (352, "mm", "35 cm"), (42, "mm", "42 mm"),
        (6.5, "mm", "6.5 mm"), (8382, "in", "27 ft 6 in"), (3048, "in", "10 ft"), (355.6, "in", "14 in"),
        (63.5, "in", "2.5 in"),
    ],
)  # fmt: skip
def test_lengths_are_said_in_the_unit_of_the_drawings(millimetres: float, unit: str, words: str) -> None:
    assert spaced(length_in_words(millimetres, unit)) == words


def test_figures_are_rounded_to_what_a_passer_by_takes_in() -> None:
    assert [hours_in_words(hours) for hours in (1 / 3, 1, 2.5, 640.4, 1223)] == [
        "less than an hour", "1 hour", "2½ hours", "640 hours", "1,220 hours"
    ]  # fmt: skip
    assert [halves_in_words(hours) for hours in (0.5, 1, 1.5)] == ["½ hour", "1 hour", "1½ hours"]
    assert [spaced(mass_in_words(grams)) for grams in (0.3, 38.2, 6345)] == ["0.3 g", "38 g", "6.3 kg"]


@pytest.mark.parametrize(("made", "of", "percent"), [(0, 0, 0), (0, 9, 0), (1, 900, 1), (899, 900, 99), (9, 9, 100)])
def test_nearly_all_is_not_told_as_all(made: int, of: int, percent: int) -> None:
    assert share_in_a_hundred(made, of) == percent


def test_every_kind_of_operation_has_its_meaning() -> None:
    assert all(meaning_of(kind) for kind in Kind.values)


@pytest.mark.django_db
class TestFacts:
    def test_the_model_follows_from_the_real_one_by_the_scale(self) -> None:
        facts = told(make_build(scale="1:6", units="in"), real_length="7 ft", real_height="6 ft", model_height="13 in")
        assert tuple(map(spaced, facts.sizes.sentences)) == (
            "The real one: 7 ft long, 6 ft high.",
            "The model: 14 in long, 13 in high.",
        )
        assert facts.times_smaller == "The model is 6 times smaller than the real one."

    def test_without_a_scale_only_what_was_typed_is_told(self) -> None:
        facts = told(make_build(scale="Gauge 1"), real_length="8.4 m")
        assert tuple(map(spaced, facts.sizes.sentences)) == ("The real one: 8.4 m long.",)
        assert facts.times_smaller == ""

    def test_hours_are_told_as_evenings(self) -> None:
        build = make_build()
        for day in range(8):
            make_entry(build, date(2026, 3, 2) + timedelta(days=day), 150, activity="other")
        hours = told(build).hours
        assert hours is not None
        assert (hours.words, hours.evenings) == ("20 hours", 8)
        assert hours.meaning == "That is about 8 evenings of 2½ hours since January 2026."
        assert [(year.year, year.words, year.percent) for year in hours.years] == [(2026, "20 hours", 100)]

    def test_jigs_make_no_part_and_are_told_apart(self) -> None:
        build = make_build()
        frame = make_assembly(build, "Frame")
        make_part(build, "1", assembly=frame, finished_on=TODAY)
        make_part(build, "2", assembly=frame, quantity=4)
        make_part(build, "3", assembly=frame, role="jig", finished_on=TODAY)
        counts = told(build).counts
        assert counts is not None
        assert (counts.words, counts.pieces_words) == (
            "1 of 2 parts made",
            "Counted piece by piece: 1 of 5.",
        )
        assert [(one.name, one.figures) for one in counts.assemblies] == [
            ("Frame", "1 of 2"),
            ("Jigs and tools", "1 of 1"),
        ]
        assert (counts.pieces_made, counts.pieces) == (1, 5)

    def test_the_bench_has_its_part_until_the_builder_says_it_in_words(self) -> None:
        build = make_build()
        rings(build)
        bench = told(build).bench
        assert bench is not None
        assert (bench.title, bench.what_it_does, bench.when) == (
            "Piston ring", "They keep the steam in.", "Last on the bench"
        )  # fmt: skip
        assert [(step.name, step.row.words) for step in bench.steps] == [
            ("turning", "turning: 7 of 12 done"),
            ("lapping", "lapping: 5 of 12 done"),
        ]
        said = told(build, bench_words="Lapping rings to size", bench_words_on=TODAY).bench
        assert said is not None
        assert (said.title, said.when) == ("Lapping rings to size", "On the bench today")
        later = told(build, bench_words_on=TODAY - timedelta(days=1)).bench
        assert later is not None
        assert later.title == "Piston ring"

    def test_a_block_becomes_a_part_and_chips(self) -> None:
        build = make_build()
        rings(build)
        block = told(build).block
        assert block is not None
        # π/4 · 2² cm² · 1 cm · 7.2 g/cm³ = 22.6 g
        assert block.blank_grams == pytest.approx(22.619, abs=0.001)
        assert spaced(block.sentence) == (
            "A block of 23 g becomes a part of 4 g. The other 19 g are cut away as chips."
        )
        assert block.in_a_hundred == "Of every 100 grams, 82 become chips."

    def test_the_hardest_part_is_the_one_that_lost_most(self) -> None:
        build = make_build()
        rings(build)
        hardest = told(build).hardest
        assert hardest is not None
        assert hardest.lost is not None
        assert hardest.lost.headline == "Of 9 begun, 5 came out good"
        assert hardest.lost.sentence == "3 pieces were lost on the way. Most often: broke at the gap (2)."

    def test_where_no_scrap_is_told_the_hardest_took_most_hours_beyond_its_plan(self) -> None:
        build = make_build()
        rings(build)
        part = make_part(build, "7", "Bed plate", operations=({"kind": "milling", "minutes_per_unit": 60.0},))
        make_entry(build, date(2026, 4, 1), 240, part=part, operation=part.operations.get(), good=1)
        hardest = told(build, scrap_shown=False).hardest
        assert hardest is not None
        assert hardest.over is not None
        assert (hardest.lost, hardest.part) == (None, part)
        assert hardest.over.sentence == "It took 4 hours. The plan had said 1 hour."
        assert told(build, scrap_shown=False, hours_shown=False).hardest is None

    def test_masses_are_shares_of_what_is_weighed(self) -> None:
        build = make_build()
        iron, brass = make_material("Cast iron, bar"), make_material("Brass CZ121")
        make_part(build, "1", material=iron, finished_mass_grams=300)
        make_part(build, "2", material=brass, finished_mass_grams=25, quantity=4)
        make_part(build, "3", material=brass)
        make_part(build, "4", material=brass, finished_mass_grams=5000, role="jig")
        masses = told(build).masses
        assert masses is not None
        assert [(one.label, spaced(one.mass), one.percent) for one in masses.shares] == [
            ("Cast iron", "300 g", 75), ("Brass CZ121", "100 g", 25)
        ]  # fmt: skip
        assert spaced(masses.sentence) == "The 2 parts with a known weight come to 400 g. There are 3 parts in all."

    def test_without_masses_the_materials_are_named(self) -> None:
        build = make_build()
        for number, name in (("1", "Mild steel, bright drawn"), ("2", "PB1 bronze"), ("3", "Mild steel, black")):
            make_part(build, number, material=make_material(name))
        facts = told(build)
        assert (facts.masses, facts.materials_words) == (None, "mild steel and PB1 bronze")

    def test_the_way_names_its_steps_with_and_without_dates(self) -> None:
        build = make_build()
        part = rings(build)
        build.milestones.create(name="Cylinder stands", reached_on=date(2026, 5, 1))
        build.milestones.create(name="First turn on air", position=1).parts.add(part)
        way = told(build).way
        assert way is not None
        assert way.next is not None
        assert [(step.name, step.reached) for step in way.steps] == [
            ("Cylinder stands", True), ("First turn on air", False)
        ]  # fmt: skip
        assert way.steps[0].when == "May 2026"
        assert (way.next.when != "", way.finish != "", "even chance" in way.even) == (True, True, True)
        build.date_on_board = False
        edit_build(build=build, by=None)
        hidden = told(build).way
        assert hidden is not None
        assert ([step.when for step in hidden.steps], hidden.finish, hidden.even, hidden.chance) == (
            ["", ""],
            "",
            "",
            "",
        )

    def test_what_is_hidden_is_not_among_the_facts(self) -> None:
        build = make_build()
        part = rings(build)
        Photo.objects.create(build=build, part=part, image="a.jpg", for_visitors=True, caption="A ring")
        shown = told(build, names_shown=True)
        assert (shown.people, len(shown.photos)) == (("Wilhelmina",), 1)
        assert shown.bench is not None
        assert shown.bench.photo == shown.photos[0]
        hidden = told(build, names_shown=False, photos_shown=False, hours_shown=False, scrap_shown=False)
        assert (hidden.people, hidden.photos, hidden.hours, hidden.hardest) == ((), (), None, None)
        assert hidden.bench is not None
        assert hidden.bench.photo is None
        assert "scrap" not in hidden.bench.row.words
        assert "Wilhelmina" not in repr(hidden)

    def test_a_photo_that_is_not_ticked_is_not_told(self) -> None:
        build = make_build()
        Photo.objects.create(build=build, image="a.jpg")
        assert told(build).photos == ()

    def test_a_finished_build_tells_what_it_took(self) -> None:
        build = make_build(state=BuildState.FINISHED, finished_on=date(2026, 10, 1))
        rings(build)
        facts = told(build)
        assert facts.finished is not None
        assert facts.finished.took == "4 hours over 9 months"
        assert {"finished", "hours", "bench", "way"} & set(facts.panels) == {"finished"}
        without = told(build, hours_shown=False).finished
        assert without is not None
        assert (without.took, without.had_been_said) == ("9 months", "")

    def test_an_empty_build_has_one_panel_and_a_resting_one_says_so(self) -> None:
        build = make_build()
        assert told(build).panels == ("size",)
        build.state = BuildState.RESTING
        edit_build(build=build, by=None)
        facts = told(build)
        assert facts.way is not None
        assert facts.way.headline == "Work on it rests" == facts.standing

    def test_facts_take_a_fixed_number_of_queries(self, django_assert_num_queries: Any) -> None:
        for parts in (1, 3):
            build = make_build(f"Engine {parts}")
            for n in range(parts):
                part = make_part(build, str(n), quantity=3, assembly=make_assembly(build, str(n)))
                make_entry(build, part=part, operation=part.operations.get(), good=1)
                build.milestones.create(name=str(n)).parts.add(part)
            facts_of(build, TODAY)
            with django_assert_num_queries(13):
                facts_of(build, TODAY)

    def test_the_demonstration_has_something_to_say_on_each_panel(self) -> None:
        build = load_demonstration(TODAY)
        assert build is not None
        facts = facts_of(build, TODAY)
        assert set(PANELS) - set(facts.panels) <= {"finished", "photos", "people"}
