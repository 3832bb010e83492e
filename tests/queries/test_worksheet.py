"""Sums for beginners come from the part's own numbers, or not at all."""

import random
from datetime import date
from typing import Any

import pytest

from builds.arithmetic.speeds_form import SpeedsForm
from builds.models import Build, Operation, Part, Size
from builds.queries.plan.work_out import begin_with
from builds.queries.plan.worksheet import Sum, sums_sheet
from builds.services.plan import records as plan
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


def in_shop_arithmetic(operation: Operation) -> float:
    """The spindle speed that the sheet of speeds and times gives for the operation as its form begins, in rev/min."""
    inputs = begin_with(operation, ()) | {"length": "30 mm", "feed": "0.1 mm", "blade": "2 mm", "total_depth": ""}
    form = SpeedsForm(inputs)
    assert form.is_valid(), form.errors
    answer = form.kind.work_out(form)
    [speed] = [fact.value for fact in answer.facts if fact.label == "Spindle speed"]
    return float(speed.split()[0].replace(",", ""))


def on_the_sheet(part: Part) -> float:
    return float(sums(part)["Spindle speed"].working.steps[-1].result)


def turned_part(build: Build, number: str, speed: float, blank: str, kind: str = "turning", **has: Any) -> Part:
    machine = factories.make_machine(f"Lathe {number}", **has)
    material = factories.make_material(f"Metal {number}", cutting_speed=speed)
    operations = [{"kind": kind, "machine": machine, "minutes_per_unit": 20.0}]
    return factories.make_part(build, number=number, material=material, blank=blank, operations=operations)


def test_a_step_within_two_per_cent_counts_as_reached_on_both_pages(db: None) -> None:
    # 1000 × 20 ÷ (π × 32) = 198.9 rev/min, 0.5 % below the step of 200; for 33 mm it is 192.9, 3.7 % below.
    build = factories.make_build(units="mm")
    near, far = (
        turned_part(build, name, 20.0, f"{size} dia x 60", speeds=[60, 130, 200, 300])
        for name, size in (("1", 32), ("2", 33))
    )
    assert on_the_sheet(near) == in_shop_arithmetic(near.operations.get()) == 200
    assert on_the_sheet(far) == in_shop_arithmetic(far.operations.get()) == 130


def test_any_shop_gives_the_same_speed_on_a_parts_sheet_and_in_shop_arithmetic(db: None) -> None:
    chance, build = random.Random(11), factories.make_build(units="in")
    parts = []
    for number in range(40):
        steps = sorted({round(60 * 1.3 ** chance.uniform(0, 14)) for _ in range(chance.randrange(7))})
        low = float(chance.randrange(40, 200))
        has = {"speeds": steps} if steps else {"speed_low": low, "speed_high": 12 * low}
        kind, blank = chance.choice(("turning", "facing", "parting")), f"{chance.randrange(4, 90) / 16} dia x 2"
        parts.append(turned_part(build, str(number), round(chance.uniform(8, 90), 1), blank, kind, **has))
    for part in parts:
        shown = in_shop_arithmetic(part.operations.get())
        assert on_the_sheet(part) == pytest.approx(shown, rel=6e-3), part.number


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


@pytest.mark.parametrize(
    ("full_size", "numbers"),
    [("3 in", "3 in × 1:6"), ("3 in +.002 -0", "3 in × 1:6"), ("3 in H7/g6", "3 in × 1:6")],
)
def test_a_size_is_scaled_without_its_limits(db: None, full_size: str, numbers: str) -> None:
    part = factories.make_part(factories.make_build(units="in", scale="1:6"))
    plan.save(record=Size(part=part, name="bore", full_size=full_size), by=None)
    found = sums(part)["From full size to model"]
    assert (found.working.steps[0].numbers, found.working.steps[0].result) == (numbers, "0.5 in")
