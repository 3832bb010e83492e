"""Hours left and the finish date: rules that hold for every build."""

import json
import math
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from calcs.forecast import forecast
from calcs.forecast.rates import RateDraws
from calcs.forecast.remark_words import remarks_in_words
from calcs.forecast.result import Forecast, Remark
from calcs.forecast.working import working_of
from calcs.parts.plan import BuildPlan, Closure, MilestonePlan, OperationPlan, PartPlan, Stint
from calcs.working.serialise import from_plain, to_plain

TODAY = date(2026, 3, 1)
START = TODAY - timedelta(weeks=60)
KINDS = ("turning", "milling", "drilling", "fitting")
STINTS = tuple(Stint(START + timedelta(weeks=week), START + timedelta(weeks=week), 300) for week in range(60))


def operation(key: int, **facts: object) -> OperationPlan:
    usual: dict[str, object] = {"kind": "turning", "setup_minutes": 30.0, "minutes_per_piece": 20.0}
    return OperationPlan(key, **{**usual, **facts})  # type: ignore[arg-type]


def part(key: int, *operations: OperationPlan, **facts: object) -> PartPlan:
    usual: dict[str, object] = {"name": f"part {key}", "group": "cylinder", "quantity": 4, "spares": 0}
    return PartPlan(key, operations=operations, **{**usual, **facts})  # type: ignore[arg-type]


def build(*parts: PartPlan, **facts: object) -> BuildPlan:
    return replace(BuildPlan(parts, STINTS, started_on=START), **facts)  # type: ignore[arg-type]


def look(plan: BuildPlan, draws: int = 400) -> Forecast:
    return forecast(plan, TODAY, seed=7, draws=draws)


DONE = part(900, operation(900, good=4, bench_minutes_counted=150, setups_done=1))

figures = st.one_of(st.none(), st.floats(0, 200))


@st.composite
def operations(draw, key):
    good, scrap = draw(st.integers(0, 6)), draw(st.integers(0, 2))
    return OperationPlan(
        key,
        draw(st.sampled_from(KINDS)),
        draw(st.floats(0, 120)),
        draw(figures),
        draw(st.sampled_from([0.0, 0.0, 0.3, 1.0])),
        draw(st.booleans()),
        good,
        draw(st.integers(0, good)),
        scrap,
        draw(st.floats(0, 900)) if good + scrap else 0.0,
        draw(st.sampled_from([0.0, 0.0, 45.0, 2000.0])),
        times_unknown=draw(st.booleans()),
        added_on=draw(st.sampled_from([None, START, TODAY])),
    )


@st.composite
def plans(draw):
    parts = [
        PartPlan(
            key,
            f"part {key}",
            draw(st.sampled_from(["cylinder", "crankcase"])),
            draw(st.integers(0, 8)),
            draw(st.integers(0, 2)),
            tuple(draw(operations(10 * key + place)) for place in range(draw(st.integers(0, 3)))),
            draw(st.sampled_from([0.0, 0.0, 200.0])),
            draw(st.booleans()) and draw(st.booleans()),
        )
        for key in range(draw(st.integers(0, 6)))
    ]
    milestones = (MilestonePlan(1, "first turn", frozenset({0, 1})), MilestonePlan(2, "first run", frozenset({2, 3})))
    stints = draw(st.sampled_from([(), STINTS[:1], STINTS]))
    return BuildPlan(tuple(parts), stints, (), milestones, START)


@settings(max_examples=80, deadline=None)
@given(plans())
def test_every_build_has_a_forecast_that_holds_together(plan):
    forecast = look(plan, 200)
    assert from_plain(Forecast, json.loads(json.dumps(to_plain(forecast), allow_nan=False))) == forecast
    spreads = [forecast.hours_left, forecast.unattended_hours_left, *(one.hours_left for one in forecast.parts)]
    spreads += [one.hours_left for one in (*forecast.groups, *forecast.milestones)]
    for spread in spreads:
        if spread is not None:
            assert 0 <= spread.p10 <= spread.p50 <= spread.p80 <= spread.p90
            assert spread.mean >= 0
    for finish in (forecast.finish_on, *(one.finish_on for one in forecast.milestones)):
        if finish is not None:
            days = [day or date.max for day in (finish.p10, finish.p50, finish.p80, finish.p90)]
            assert days == sorted(days)
            assert days[0] >= TODAY
    assert forecast.hours_left is not None or forecast.remarks


@settings(max_examples=80, deadline=None)
@given(plans())
def test_the_working_adds_up_to_the_hours_left(plan):
    forecast = look(plan, 200)
    if forecast.hours_left is None:
        assert "not known" in working_of(forecast).as_text()
        return
    lines = {step.symbol: step.result for step in working_of(forecast).steps}
    added = (
        "at your ratios",
        "learning",
        "what finished parts took",
        "without a figure",
        "remakes",
        "already spent on unfinished work",
        "growth",
        "shop time",
    )
    links = [float(lines.get(symbol, 0.0)) for symbol in added]
    assert lines["planned hours left"] == pytest.approx(forecast.planned_hours_left)
    # Lines under half a hundredth of an hour are left out; single precision holds some six figures.
    assert sum(links) == pytest.approx(forecast.hours_left.mean, rel=1e-3, abs=0.03)
    assert lines["mean hours left"] == pytest.approx(forecast.hours_left.mean)
    assert lines["hours left, even chance"] == forecast.hours_left.p50


@settings(max_examples=40, deadline=None)
@given(plans())
def test_milestones_in_order_never_ask_for_less(plan):
    forecast = look(plan, 200)
    if forecast.hours_left is not None:
        first, second = forecast.milestones
        assert first.hours_left.p50 <= second.hours_left.p50 <= forecast.hours_left.p50 + 1e-6


def test_what_widens_the_range_most_narrows_it_most_when_it_is_done():
    parts = [
        part(key, operation(key, minutes_per_piece=minutes)) for key, minutes in ((1, 10.0), (2, 60.0), (3, 300.0))
    ]
    whole = look(build(DONE, *parts))
    assert whole.hours_left is not None
    narrowed = []
    for done in parts:
        left = look(build(DONE, *(one for one in parts if one is not done))).hours_left
        assert left is not None
        narrowed.append((whole.hours_left.p90 - whole.hours_left.p10) - (left.p90 - left.p10))
    shares = [one.widening for one in whole.parts]
    assert sum(shares) == pytest.approx(1, abs=1e-3)
    assert 0 < shares[0] < shares[1] < shares[2]
    assert narrowed == sorted(narrowed)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 6), st.integers(1, 12), st.floats(0, 90))
def test_one_part_more_never_takes_hours_away(parts, quantity, minutes):
    listed = [part(key, operation(key, kind=KINDS[key % 3])) for key in range(parts)]
    more = part(50, operation(50, kind="fitting", minutes_per_piece=minutes), quantity=quantity)
    before, after = look(build(DONE, *listed), 200).hours_left, look(build(DONE, *listed, more), 200).hours_left
    assert before is not None
    assert after is not None
    for quantile in ("mean", "p10", "p50", "p80", "p90"):
        assert getattr(after, quantile) >= getattr(before, quantile) - 1e-6


def test_the_same_build_day_and_seed_give_the_same_figures():
    plan = build(DONE, part(1, operation(1), operation(2, kind="milling")))
    assert look(plan) == look(plan)
    assert look(plan) != forecast(plan, TODAY, seed=8, draws=400)


def test_a_build_with_everything_finished_has_no_hours_left():
    forecast = look(build(DONE, part(2, marked_finished=True), part(3, operation(3), marked_finished=True)))
    assert forecast.hours_left is not None
    assert (forecast.hours_left.mean, forecast.hours_left.p90) == (0, 0)
    assert forecast.finish_on is not None
    assert forecast.finish_on.p90 == TODAY
    assert forecast.parts == ()


def test_spares_are_work_until_they_are_had():
    route = operation(1, good=5, bench_minutes_counted=130, setups_done=1)
    left = [look(build(part(1, route, quantity=4, spares=spares))).planned_hours_left for spares in (0, 1, 3)]
    assert left == pytest.approx([0, 0, 40 / 60])


def test_pieces_in_work_are_not_made_again():
    sawn = operation(1, good=4, bench_minutes_counted=110, setups_done=1)
    forecast = look(build(part(1, sawn, operation(2))))
    assert forecast.planned_hours_left == pytest.approx((30 + 4 * 20) / 60)


def test_hours_on_a_piece_in_hand_are_not_counted_twice():
    fresh = look(build(DONE, part(1, operation(1))))
    begun = look(build(DONE, part(1, operation(1, bench_minutes_open=60))))
    overrun = look(build(DONE, part(1, operation(1, bench_minutes_open=600))))
    assert fresh.hours_left is not None
    assert begun.hours_left is not None
    assert overrun.hours_left is not None
    assert begun.hours_left.mean < fresh.hours_left.mean
    # What is in hand takes longer than what was spent on it, so the whole never shrinks below the fresh figure.
    assert begun.hours_left.mean + 1.0 >= 0.98 * fresh.hours_left.mean
    # Ten hours on a job planned at two: it is not finished, so something is left, and not a whole new job.
    assert 0 < overrun.hours_left.p10 < overrun.hours_left.p50 < 6


def test_slow_work_so_far_means_more_hours_ahead():
    def after(minutes: float) -> float:
        logged = [part(100 + key, operation(100 + key, good=4, bench_minutes_counted=minutes)) for key in range(6)]
        left = look(build(*logged, part(1, operation(1)))).hours_left
        assert left is not None
        return left.p50

    assert after(80) < after(110) < after(300)


def test_pieces_that_went_quicker_each_time_go_on_doing_so():
    def left(minutes: list[float]) -> float:
        counts = tuple((one, 1) for one in minutes)
        filed = operation(1, setup_minutes=0.0, good=12, bench_minutes_counted=sum(minutes), piece_minutes=counts)
        hours = look(build(DONE, part(1, filed, quantity=24))).hours_left
        assert hours is not None
        return hours.p50

    falling = [40 * unit**-0.4 for unit in range(1, 13)]
    steady = [sum(falling) / 12] * 12
    # On the true curve the next twelve take 0.58 of the first twelve.
    assert 0.55 * left(steady) < left(falling) < 0.9 * left(steady)


def test_lost_pieces_elsewhere_add_remakes_here():
    def after(scrap: int) -> float:
        logged = operation(100, good=4, scrap=scrap, bench_minutes_counted=30 + 20 * (4 + scrap))
        left = look(build(part(100, logged), part(1, operation(1), quantity=12))).hours_left
        assert left is not None
        return left.mean

    assert after(12) > 1.2 * after(0)


def test_shop_time_and_growth_add_to_the_whole_and_not_to_the_parts():
    plain = look(build(DONE, part(1, operation(1))))
    shop = tuple(replace(one, kind="shop") for one in STINTS[::2])
    busy = look(build(DONE, part(1, operation(1)), stints=STINTS + shop))
    grown = look(build(DONE, part(1, operation(1, added_on=TODAY), quantity=200)))
    steady = look(build(DONE, part(1, operation(1), quantity=200)))
    assert plain.hours_left is not None
    assert busy.hours_left is not None
    assert grown.hours_left is not None
    assert steady.hours_left is not None
    assert busy.hours_left.mean > 1.2 * plain.hours_left.mean
    assert busy.parts[0].hours_left == plain.parts[0].hours_left
    assert busy.shop_share.mean > plain.shop_share.mean
    assert grown.growth.mean > steady.growth.mean
    assert grown.hours_left.mean > steady.hours_left.mean


def test_a_planned_hour_that_comes_in_costs_the_mean_ratio_and_not_the_median():
    # A kind and an operation each scatter by 0.8, so the mean of their log-normal is e^0.64 times its median.
    shapes = [(1, 0.0), ((1, 1), 0.0), (1, 0.0), (1, 0.8), (1, 0.1), (1, 0.8)]
    rates = RateDraws(*(np.full(shape, sd) for shape, sd in shapes))
    assert rates.mean_ratio() == pytest.approx(stats.lognorm(math.hypot(0.8, 0.8)).mean())

    def share_that_comes_in(scatter: float) -> float:
        # Forty pieces each, so that the scatter is the operations' own and not that of single pieces.
        minutes = (830 * math.exp(scatter * (-1) ** key) for key in range(30))
        logged = [
            part(100 + key, operation(100 + key, good=40, bench_minutes_counted=one), quantity=40)
            for key, one in enumerate(minutes)
        ]
        grown = look(build(*logged, part(1, operation(1, added_on=TODAY), quantity=200)))
        return grown.chain.growth / (grown.chain.hours_left - grown.chain.growth - grown.chain.shop_time)

    # The same median in both logs; by the log-normal's mean the wild one costs some e^(0.9² ÷ 2) = 1.5 times as much.
    assert share_that_comes_in(0.9) > 1.3 * share_that_comes_in(0.0)


def test_a_log_of_its_own_narrows_the_doubt_about_an_operation():
    others = [part(key, operation(key, good=4, bench_minutes_counted=110.0 + 30 * (key % 3))) for key in range(20, 40)]

    def width(**log: float) -> float:
        left = look(build(*others, part(1, operation(1, setup_minutes=0.0, setups_done=1, **log), quantity=60))).parts[
            -1
        ]
        assert left.hours_left is not None
        return math.log(left.hours_left.p90 / left.hours_left.p10)

    assert width(good=30, bench_minutes_counted=600.0) < 0.75 * width()


def test_a_part_without_a_figure_borrows_a_wide_range():
    forecast = look(build(DONE, part(1, operation(1)), part(2), part(3, operation(3, minutes_per_piece=None))))
    assert forecast.unestimated_parts == (2, 3)
    figured, imputed, _ = (one.hours_left for one in forecast.parts)
    assert figured is not None
    assert imputed is not None
    assert imputed.p90 / imputed.p10 > figured.p90 / figured.p10
    assert Remark("parts without a figure", 2) in forecast.remarks


def test_an_operation_without_a_figure_is_named_and_borrowed():
    without = operation(2, minutes_per_piece=None)
    forecast = look(build(DONE, part(1, operation(1), without)))
    alone = look(build(DONE, part(1, operation(1))))
    assert forecast.unestimated_operations == (2,)
    assert forecast.hours_left is not None
    assert alone.hours_left is not None
    assert forecast.hours_left.p50 > alone.hours_left.p50


def test_what_was_logged_on_a_part_without_a_figure_is_the_least_it_takes():
    listed = [part(key, operation(key)) for key in range(1, 5)]
    fresh = look(build(*listed, part(9))).parts[-1].hours_left
    begun = look(build(*listed, part(9, bench_minutes_elsewhere=6000))).parts[-1].hours_left
    assert fresh is not None
    assert begun is not None
    assert begun.p50 > fresh.p50


def test_with_nothing_to_go_by_nothing_is_said():
    for plan in (build(), build(part(1)), build(part(1, operation(1, minutes_per_piece=None)))):
        forecast = look(plan)
        assert forecast.hours_left is None
        assert forecast.finish_on is None
        assert any("nothing can be said" in remark for remark in remarks_in_words(forecast))


def test_a_figure_of_nothing_is_a_figure():
    forecast = look(build(part(1, operation(1, setup_minutes=0.0, minutes_per_piece=0.0))))
    assert forecast.unestimated_parts == ()
    assert forecast.hours_left is not None
    assert forecast.hours_left.p90 == 0


def test_without_a_log_there_are_hours_and_no_date():
    forecast = look(build(part(1, operation(1)), stints=()))
    assert forecast.hours_left is not None
    assert forecast.finish_on is None
    assert any("no pace" in remark for remark in remarks_in_words(forecast))


def test_machines_that_run_by_themselves_may_govern_the_date():
    bench = operation(1, setup_minutes=0.0, minutes_per_piece=60.0)
    machine = operation(1, setup_minutes=0.0, minutes_per_piece=60.0 * 1000, unattended_share=0.999)
    by_bench, by_machine = look(build(DONE, part(1, bench))), look(build(DONE, part(1, machine)))
    assert by_machine.unattended_hours_left.p50 > 3000
    assert by_bench.hours_left is not None
    assert by_machine.hours_left is not None
    assert by_machine.hours_left.p50 == pytest.approx(by_bench.hours_left.p50, rel=0.05)
    assert by_bench.finish_on is not None
    assert by_machine.finish_on is not None
    assert by_machine.finish_on.p50 > by_bench.finish_on.p50 + timedelta(weeks=52)


def test_a_closure_moves_the_date_and_not_the_hours():
    plan = build(DONE, *(part(key, operation(key)) for key in range(20)))
    closed = replace(plan, closures=(Closure(TODAY, TODAY + timedelta(weeks=20)),))
    before, after = look(plan), look(closed)
    assert before.hours_left == after.hours_left
    assert before.finish_on is not None
    assert after.finish_on is not None
    assert after.finish_on.p50 >= before.finish_on.p50 + timedelta(weeks=19)


def test_figures_that_make_no_sense_are_refused():
    with pytest.raises(ValueError, match="minutes"):
        look(build(part(1, operation(1, setup_minutes=-1.0))))
    with pytest.raises(ValueError, match="share"):
        look(build(part(1, operation(1, unattended_share=1.5))))
    with pytest.raises(ValueError, match="draws"):
        look(build(part(1, operation(1))), draws=10)


def _simulated(rng: np.random.Generator) -> tuple[BuildPlan, float]:
    """A build half done and its true hours left, drawn from what the forecast believes before it sees a log."""
    shop = np.log(1.3) + 0.5 * rng.standard_normal()
    kind_sd, operation_sd, piece_sd = np.abs([0.3, 0.5, 0.5] * rng.standard_normal(3))
    kinds = {kind: kind_sd * rng.standard_normal() for kind in KINDS}
    yields = {kind: rng.beta(19.6, 0.4) for kind in KINDS}
    parts, done, left = [], 0.0, 0.0
    for key in range(24):
        quantity = int(rng.choice([1, 1, 2, 4, 8]))
        kind = KINDS[rng.integers(4)]
        scrap = int(rng.negative_binomial(quantity, yields[kind]))
        planned = operation(key, kind=kind, minutes_per_piece=float(rng.lognormal(2.7, 0.7)))
        spread = np.sqrt(operation_sd**2 + piece_sd**2 / (quantity + scrap))
        ratio = np.exp(shop + kinds[kind] + spread * rng.standard_normal())
        minutes = planned.bench_minutes_planned(quantity + scrap) * ratio
        if key % 2:
            left += minutes
        else:
            done += minutes
            planned = replace(planned, good=quantity, scrap=scrap, bench_minutes_counted=minutes, setups_done=1)
        parts.append(part(key, planned, quantity=quantity))
    share = rng.beta(1, 9)
    stints = (Stint(START, TODAY, done), Stint(START, TODAY, done * share / (1 - share), "shop"))
    return BuildPlan(tuple(parts), stints, started_on=START), left / 60 / (1 - share)


def test_ranges_hold_about_as_often_as_they_say():
    rng = np.random.default_rng(20)
    held, below = [], []
    for number in range(60):
        plan, truth = _simulated(rng)
        hours = forecast(plan, TODAY, seed=number, draws=400).hours_left
        assert hours is not None
        held.append(hours.p10 <= truth <= hours.p90)
        below.append(truth <= hours.p50)
    # Eight in ten of sixty: 95 % of the time 42 to 54 by the binomial distribution; a little room on both sides.
    assert 41 <= sum(held) <= 56
    assert 20 <= sum(below) <= 44


def test_two_thousand_operations_are_foreseen_quickly_and_in_little_memory():
    rng = np.random.default_rng(4)
    parts = [
        part(
            key,
            *(
                operation(4 * key + place, kind=KINDS[place], minutes_per_piece=float(rng.lognormal(3, 0.6)))
                for place in range(4)
            ),
            quantity=int(rng.choice([1, 1, 2, 4])),
        )
        for key in range(500)
    ]
    plan = build(DONE, *parts)
    forecast(plan, TODAY, seed=1, draws=100)
    bare = min(_seconds(lambda: np.random.default_rng(1).standard_normal((2000, 4000))) for _ in range(3))
    taken = min(_seconds(lambda: forecast(plan, TODAY, seed=1, draws=4000)) for _ in range(3))
    tracemalloc.start()
    forecast(plan, TODAY, seed=1, draws=4000)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 300e6
    # Four times the bare drawing of as many normals is asked for and three measured; a busy one gets twice the room.
    assert taken < 8 * bare


def _seconds(work: Callable[[], object]) -> float:
    begun = time.process_time()
    work()
    return time.process_time() - begun
