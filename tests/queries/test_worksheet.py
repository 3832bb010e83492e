"""Sums for beginners come from the part's own numbers, or not at all."""

from datetime import date

import pytest

from builds.models import Part
from builds.queries.plan.worksheet import Sum, sums_sheet
from tests import factories
from tests.factories import TODAY


def sums(part: Part) -> dict[str, Sum]:
    return {one.title: one for one in sums_sheet(part, TODAY).sums}


def test_a_part_that_says_nothing_gives_no_sum_and_says_what_is_missing(db: None) -> None:
    part = factories.make_part(factories.make_build(), operations=[{"kind": "making"}])
    sheet = sums_sheet(part, TODAY)
    assert sheet.sums == ()
    assert "Spindle speed" in sheet.left_out


def test_the_time_of_a_batch(db: None) -> None:
    operations = [{"kind": "turning", "setup_minutes": 40.0, "minutes_per_unit": 21.0}]
    part = factories.make_part(factories.make_build(), quantity=6, spares=2, operations=operations)
    found = sums(part)["Time for a batch"]
    assert [step.result for step in found.working.steps] == [8, 208, pytest.approx(208 / 60)]


def test_the_spindle_speed_of_the_real_blank_on_the_real_lathe(db: None) -> None:
    # N = 1000·V/(π·D), any machining handbook: 20 m/min on 1-1/4 in is 200.5 rev/min; the next lower step is 200.
    lathe = factories.make_machine(speeds=[60, 130, 200, 300])
    iron = factories.make_material(cutting_speed=20.0, density=7200.0)
    part = factories.make_part(
        factories.make_build(units="in"),
        material=iron,
        blank="1-1/4 dia x 2",
        operations=[{"kind": "turning", "machine": lathe, "minutes_per_unit": 20.0}],
    )
    assert sums(part)["Spindle speed"].working.steps[-1].result == pytest.approx(200, rel=1e-3)


def test_what_share_of_the_blank_becomes_chips(db: None) -> None:
    # A 1 × 1 × 2 in steel blank is 32.77 cm³, 257.3 g at 7850 kg/m³; 100 g are left of it: 61.1 % are chips.
    steel = factories.make_material("Mild steel", density=7850.0)
    part = factories.make_part(
        factories.make_build(units="in"), material=steel, blank="1 x 1 x 2", finished_mass_grams=100.0
    )
    assert sums(part)["What becomes chips"].working.steps[-1].result == pytest.approx(61.13, abs=0.02)


def test_how_many_to_start_for_enough_divides_by_the_yield(db: None) -> None:
    build = factories.make_build()
    part = factories.make_part(build, quantity=6, spares=2)
    operation = part.operations.get()
    factories.make_entry(build, date(2026, 3, 2), 60, part=part, operation=operation, good=15, scrap=6)
    found = sums(part)["How many to start"]
    assert [step.result for step in found.working.steps] == [pytest.approx(15 / 21), pytest.approx(11.2), 12]


def test_the_sheet_prints_answers_and_shows_them_only_when_asked(signed_in, db: None) -> None:  # type: ignore[no-untyped-def]
    part = factories.make_part(factories.make_build(), quantity=3)
    url = f"/builds/{part.build.slug}/parts/{part.pk}/worksheet/"
    assert 'new-page on-paper-only" id="answers"' in signed_in.get(url).content.decode()
    assert 'new-page" id="answers"' in signed_in.get(url + "?answers=yes").content.decode()
