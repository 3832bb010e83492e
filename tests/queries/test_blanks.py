"""How many blanks, and what one thing for the counter costs: from the plan and the log to the answer."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from builds.models import Part
from builds.queries.repeats.blanks import Question, beliefs_of, blanks_page, usual_question
from builds.queries.repeats.material import material_for
from builds.queries.repeats.shop_counter import counter_page
from builds.queries.snapshot import read_snapshot
from tests import factories

ROUTE = [{"kind": kind, "minutes_per_unit": 10.0, "setup_minutes": 30.0} for kind in ("turning", "lapping")]


@pytest.fixture
def ring(make_build: Any, make_part: Any) -> Any:
    return make_part(make_build(), quantity=6, spares=2, operations=ROUTE)


def count(part: Any, number: int, batch: Any = None, **counts: Any) -> None:
    factories.make_entry(part.build, part=part, operation=part.operations.get(number=number), batch=batch, **counts)


def afresh(part: Any) -> Any:
    return Part.objects.select_related("build", "material").get(pk=part.pk)


def test_what_is_usually_asked_is_what_the_build_wants(ring: Any, today: date) -> None:
    assert usual_question(ring) == Question(6, 2, 0.9)
    answer = blanks_page(afresh(ring), usual_question(ring), today).answer
    assert answer.needed == 8
    assert answer.sure.blanks >= 8
    assert answer.sure.chance >= 0.9
    before = next(choice for choice in answer.table if choice.blanks == answer.sure.blanks - 1)
    assert before.chance < 0.9


def test_the_cheapest_choice_has_the_fewest_hours_of_the_table(ring: Any, today: date) -> None:
    count(ring, 20, good=3, scrap=3)
    answer = blanks_page(afresh(ring), Question(6, 2, 0.9), today).answer
    assert answer.cheapest.hours == min(choice.hours for choice in answer.table)


def test_finished_pieces_and_pieces_in_work_count_unless_they_are_left_out(ring: Any, today: date) -> None:
    batch = factories.make_batch(ring, 10)
    count(ring, 10, batch, good=9, scrap=1)
    count(ring, 20, batch, good=3)
    part = afresh(ring)
    counted = blanks_page(part, Question(6, 2, 0.9), today).answer
    finished = blanks_page(part, Question(6, 2, 0.9, count_in_work=False), today).answer
    none = blanks_page(part, Question(6, 2, 0.9, count_in_work=False, count_finished=False), today).answer
    assert [belief.standing for belief in counted.beliefs] == [0, 6]
    assert (counted.needed, finished.needed, none.needed) == (5, 5, 8)
    assert counted.sure.blanks < finished.sure.blanks < none.sure.blanks


def test_scrap_counted_here_asks_for_more_blanks(ring: Any, today: date) -> None:
    question = Question(6, 2, 0.9, count_in_work=False, count_finished=False)
    before = blanks_page(afresh(ring), question, today).answer.sure.blanks
    count(ring, 20, good=4, scrap=4)
    assert blanks_page(afresh(ring), question, today).answer.sure.blanks > before


def test_a_number_that_cannot_do_has_no_chance(ring: Any, today: date) -> None:
    answer = blanks_page(afresh(ring), Question(6, 2, 0.9), today, tried=5).answer
    assert (answer.tried.blanks, answer.tried.chance) == (5, 0.0)
    answer = blanks_page(afresh(ring), Question(6, 2, 0.9), today, tried=60).answer
    assert answer.tried.chance > 0.999


def test_a_long_table_is_shown_in_steps_with_the_choices_in_it(ring: Any, today: date) -> None:
    count(ring, 20, good=2, scrap=6)
    answer = blanks_page(afresh(ring), Question(120, 0, 0.95), today).answer
    assert len(answer.table) > 120
    assert len(answer.shown) <= 63
    assert answer.sure in answer.shown
    assert answer.cheapest in answer.shown
    assert answer.shown[0] == answer.table[0]


def test_without_times_there_is_no_cheapest_choice(make_build: Any, make_part: Any, today: date) -> None:
    part = make_part(make_build(), quantity=4, operations=[{"kind": "turning"}])
    answer = blanks_page(afresh(part), usual_question(part), today).answer
    assert answer.cheapest is None
    assert answer.sure.hours is None


def test_a_part_that_is_had_or_has_no_route_asks_nothing_of_the_arithmetic(
    make_build: Any, make_part: Any, today: date
) -> None:
    build = make_build()
    had = make_part(build, "1", quantity=2)
    count(had, 10, good=2)
    assert blanks_page(afresh(had), usual_question(had), today).answer.needed == 0
    bare = make_part(build, "2", quantity=2, operations=[])
    answer = blanks_page(afresh(bare), usual_question(bare), today).answer
    assert (answer.needed, answer.sure, answer.beliefs) == (2, None, ())


def test_a_yield_that_is_too_low_is_refused_with_a_sentence(ring: Any, today: date) -> None:
    count(ring, 20, scrap=900)
    answer = blanks_page(afresh(ring), Question(250, 0, 0.95), today).answer
    assert answer.sure is None
    assert "yield is too low" in answer.refusal


def test_a_yield_rests_on_what_was_counted_here_and_on_its_kind_elsewhere(
    ring: Any, make_part: Any, today: date
) -> None:
    def means() -> list[float]:
        snapshot = read_snapshot(ring.build, today)
        return [belief.mean for belief in beliefs_of(snapshot, snapshot.by_part[ring.pk])]

    turned, lapped = means()
    count(make_part(ring.build, "2", operations=ROUTE), 20, good=10, scrap=10)
    turned_then, lapped_then = means()
    # Lapping elsewhere lost half its pieces: that lowers lapping here, and turning as well, but less.
    assert 0.7 < lapped_then < lapped
    assert 0 < turned - turned_then < 0.8 * (lapped - lapped_then)
    count(ring, 20, good=14, scrap=6)
    # Twenty pieces of its own weigh more than all others.
    assert means()[1] == pytest.approx(0.7, abs=abs(lapped_then - 0.7) / 2)


def test_material_is_reckoned_where_the_blank_can_be_read(make_build: Any, make_part: Any) -> None:
    brass = factories.make_material("Brass", density=8500)
    part = make_part(make_build(), blank="20 mm dia x 50", material=brass)
    needed = material_for(part, "mm", 10)
    # 10 × (50 + 3) mm of bar; π/4 × 2² × 5 cm³ × 8.5 g/cm³ = 133.5 g each.
    assert (needed.bar, needed.mass) == ("530 mm", "1.3 kg")
    assert len(needed.workings) == 2
    assert needed.remark == ""


@pytest.mark.parametrize("blank", ["", "casting from the pattern"])
def test_material_that_cannot_be_read_is_only_said_as_typed(make_build: Any, make_part: Any, blank: str) -> None:
    needed = material_for(make_part(make_build(), blank=blank), "mm", 10)
    assert (needed.as_typed, needed.bar, needed.mass, needed.workings) == (blank, "", "", ())


def test_a_blank_far_heavier_than_its_piece_is_remarked_on(make_build: Any, make_part: Any) -> None:
    brass = factories.make_material("Brass", density=8500)
    part = make_part(make_build(), blank="20 mm dia x 500", material=brass, finished_mass_grams=2)
    assert "bar for several" in material_for(part, "mm", 10).remark
    assert material_for(part, "mm", 10).mass == "13.4 kg"


def test_the_price_of_one_covers_hours_and_material(make_build: Any, make_part: Any, today: date) -> None:
    build = make_build(for_counter=True, hourly_figure=Decimal("24.00"), currency="£")
    make_part(build, quantity=2, operations=ROUTE[:1], blank_cost=Decimal("0.50"))
    page = counter_page(build, today, batch=10)
    [part] = page.parts
    price = page.price
    hours = (2 * 10 / part.survive + 30 / 10) / 60
    assert price.hours == pytest.approx(hours)
    assert float(price.material) == pytest.approx(2 * 0.5 / part.survive, abs=0.005)
    assert float(price.price) == pytest.approx(float(price.labour + price.material), abs=0.01)


def test_what_the_price_lacks_is_named(make_build: Any, make_part: Any, today: date) -> None:
    build = make_build(for_counter=True)
    make_part(build, operations=[{"kind": "turning"}])
    price = counter_page(build, today).price
    assert price.price is None
    assert len(price.unknown) == 3


def test_so_many_at_once_as_the_last_batch_was_for(make_build: Any, make_part: Any, today: date) -> None:
    build = make_build(for_counter=True)
    assert counter_page(build, today).price is None
    part = make_part(build, quantity=2, operations=ROUTE)
    assert counter_page(build, today).batch == 10
    factories.make_batch(part, blanks=31)
    assert counter_page(build, today).batch == 15


def test_blanks_and_counter_ask_the_same_for_one_part_and_for_three(
    make_build: Any, make_part: Any, today: date, django_assert_max_num_queries: Any
) -> None:
    build = make_build(for_counter=True, hourly_figure=Decimal(20))
    part = make_part(build, "1", operations=ROUTE, quantity=3)
    asked = []
    for more in (0, 2):
        for number in range(more):
            make_part(build, f"9{number}", operations=ROUTE, quantity=3)
        build.refresh_from_db()
        read = afresh(part)
        with django_assert_max_num_queries(9) as for_blanks:
            blanks_page(read, usual_question(part), today)
        with django_assert_max_num_queries(9) as for_counter:
            counter_page(build, today)
        asked.append((len(for_blanks.captured_queries), len(for_counter.captured_queries)))
    assert asked[0] == asked[1]
