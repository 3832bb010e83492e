"""Valves, firing orders, stars and hot air against known engines, and against geometry solved another way."""

import math
from itertools import pairwise

import pytest
from scipy.optimize import brentq, fsolve, minimize_scalar

from calcs.engines.firing import firing_orders
from calcs.engines.hot_air import hot_air_engine
from calcs.engines.slide_valve import lap_for_cut_off, share_of_stroke, slide_valve
from calcs.engines.slider_crank import exact_motion
from calcs.engines.star import cam_rings, star_order
from calcs.engines.star_rods import star_rods
from calcs.engines.valve_events import valve_events
from calcs.units.registry import registry

Q = registry().Quantity


@pytest.mark.parametrize(
    ("events", "inlet", "exhaust", "overlap"),
    [
        # Rolls-Royce Merlin, from memory: 31 before, 52 after, 72 before, 12 after.
        ((31, 52, 72, 12), 263, 264, 43),
        # By hand: valves that open and close at the dead centres stand open for half a turn and never together.
        ((0, 0, 0, 0), 180, 180, 0),
        ((-5, 40, 45, -5), 215, 220, -10),
    ],
)
def test_valve_events(events, inlet, exhaust, overlap):
    found = valve_events(*events)
    assert (found.inlet.duration, found.exhaust.duration, found.overlap) == (inlet, exhaust, overlap)
    # Second way: count the degrees of two turns at which each valve, and both, stand open.
    both = [at for at in range(720) if all(lift.opens <= at < lift.closes for lift in (found.inlet, found.exhaust))]
    assert len(both) == max(0, overlap)
    assert found.inlet.on_cam == inlet / 2
    assert found.between_lobes == (found.inlet.peak - found.exhaust.peak) / 2


def test_a_valve_that_closes_before_it_opens_is_refused():
    with pytest.raises(ValueError, match="close before it opens"):
        valve_events(-100, -80, 40, 10)


@pytest.mark.parametrize(
    ("lap", "lead", "exhaust"), [(2.0, 0.5, 0.0), (2.4, 0.2, 0.3), (0.0, 0.0, 0.0), (1.0, 0.0, 0.5)]
)
def test_events_of_a_slide_valve_are_where_its_edges_pass_the_ports(lap, lead, exhaust):
    # Second way: the valve's place, t·sin(θ + δ), searched for where it equals the laps.
    found = slide_valve(Q(10, "mm"), Q(lap, "mm"), Q(lead, "mm"), Q(exhaust, "mm"))

    def stands(angle):
        return 5 * math.sin(math.radians(angle + found.advance))

    assert stands(0) == pytest.approx(lap + lead)
    assert brentq(lambda at: stands(at) - lap, -80, 20) == pytest.approx(found.admission, abs=1e-6)
    assert brentq(lambda at: stands(at) - lap, 80, 200) == pytest.approx(found.cut_off, abs=1e-6)
    assert brentq(lambda at: stands(at) + exhaust, 90, 230) == pytest.approx(found.release, abs=1e-6)
    assert brentq(lambda at: stands(at) + exhaust, 240, 380) == pytest.approx(found.compression, abs=1e-6)
    assert found.opening.magnitude == pytest.approx(5 - lap)


@pytest.mark.parametrize("share", [0.5, 0.625, 0.75, 0.8])
def test_lap_of_a_valve_without_lead_is_that_of_the_old_rule(share):
    # Common practice: lap = half the travel × √(1 − cut-off as a share of the stroke), without lead.
    lap = 12 * math.sqrt(1 - share)
    found = slide_valve(Q(24, "mm"), Q(lap, "mm"), Q(0, "mm"), rods=6.0)
    assert found.share == pytest.approx(share)
    # A rod that tilts cuts off later on the way to the crank than on the way back.
    assert found.inward < share < found.outward
    assert found.outward == pytest.approx(exact_motion(1, 6, found.cut_off, 1).place / 2)


@pytest.mark.parametrize(("share", "lead"), [(0.5, 0.0), (0.6, 0.3), (0.75, 0.2), (0.85, 0.4)])
def test_the_lap_for_a_cut_off_cuts_off_there(share, lead):
    found = lap_for_cut_off(Q(12, "mm"), share, Q(lead, "mm"))
    valve = slide_valve(Q(12, "mm"), found.lap, Q(lead, "mm"))
    assert valve.share == pytest.approx(share)
    assert valve.advance == pytest.approx(found.advance)
    # Common practice, near enough for a small lead: half the travel × √(1 − cut-off), less half the lead.
    assert found.lap.magnitude == pytest.approx(6 * math.sqrt(1 - share) - lead / 2, abs=0.02)
    with pytest.raises(ValueError, match="With so much lead"):
        lap_for_cut_off(Q(12, "mm"), 0.99, Q(3, "mm"))


def test_a_slide_valve_that_never_opens_is_refused():
    with pytest.raises(ValueError, match="less than half the travel"):
        slide_valve(Q(10, "mm"), Q(4, "mm"), Q(1, "mm"))


def test_the_share_of_the_stroke_is_the_pistons():
    assert share_of_stroke(180) == 1
    assert share_of_stroke(60) == 0.25
    assert share_of_stroke(60, 1000) == pytest.approx(0.25, abs=1e-3)


# Common practice: orders in which such engines have been built.
@pytest.mark.parametrize(
    ("throws", "vee", "order", "gap"),
    [
        ([0, 0], None, "1-2", 360),
        ([0, 120, 240], None, "1-3-2", 240),
        ([0, 180, 180, 0], None, "1-3-4-2", 180),
        ([0, 180, 180, 0], None, "1-2-4-3", 180),
        ([0, 144, 216, 288, 72], None, "1-2-4-5-3", 144),
        ([0, 120, 240, 240, 120, 0], None, "1-5-3-6-2-4", 120),
        ([0, 180, 90, 270, 270, 90, 180, 0], None, "1-6-2-5-8-3-7-4", 90),
        ([0, 270, 90, 180], 90, "1-5-4-8-6-3-7-2", 90),
        ([0, 120, 240, 240, 120, 0], 60, "1-7-5-11-3-9-6-12-2-8-4-10", 60),
    ],
)
def test_known_firing_orders_are_among_those_of_the_crank(throws, vee, order, gap):
    found = firing_orders(throws, 4, vee)
    texts = [one.as_text() for one in found.orders]
    assert order in texts
    for one in found.orders:
        assert one.is_even
        assert one.gaps[0] == found.even_gap == gap
        # Second way: turn the crank from each to the next and see that a piston is at its top there.
        at = 0.0
        for number, following in pairwise((*one.cylinders, 1)):
            at += gap
            assert (at - found.tops[following - 1]) % 360 == pytest.approx(0, abs=1e-6), (number, following)


def test_the_six_that_skips_its_neighbours_stands_first():
    assert firing_orders([0, 120, 240, 240, 120, 0]).orders[0].as_text() == "1-5-3-6-2-4"


def test_a_crank_that_cannot_fire_evenly_says_by_how_much():
    # By hand: a V of 45° on one throw fires after 405° and 315°; two throws half a turn apart after 180° and 540°.
    assert sorted(firing_orders([0], 4, 45).orders[0].gaps) == [315, 405]
    assert sorted(firing_orders([0, 180], 4).orders[0].gaps) == [180, 540]
    assert not firing_orders([0, 120, 240], 4, 60).orders[0].is_even
    assert firing_orders([0, 120, 240], 2).orders[0].is_even


@pytest.mark.parametrize(
    ("cylinders", "order"),
    [(3, "1-3-2"), (5, "1-3-5-2-4"), (7, "1-3-5-7-2-4-6"), (9, "1-3-5-7-9-2-4-6-8")],
)
def test_firing_order_of_a_star(cylinders, order):
    # Common practice.
    found = star_order(cylinders)
    assert found.as_text() == order
    assert found.works
    assert found.gap * cylinders == pytest.approx(720)


@pytest.mark.parametrize("cylinders", range(3, 20))
def test_every_second_of_an_even_star_comes_past_half_of_it_only(cylinders):
    found = star_order(cylinders)
    # Second way: what steps of two reach round a circle.
    assert set(found.visited) == {2 * step % cylinders + 1 for step in range(cylinders)}
    assert found.works == (cylinders % 2 == 1)
    assert star_order(cylinders, 2).as_text() == "-".join(map(str, range(1, cylinders + 1)))


def rings_that_work(cylinders):
    """Every ring of up to as many lobes as cylinders that has a lobe ready wherever one fires, by trying them all."""
    gap, found = 720 / cylinders, set()
    for lobes in range(1, cylinders + 1):
        for way in (-1, 1):
            ready = []
            for fired in range(cylinders):
                crank = place = gap * fired
                turned = way * crank / (2 * lobes)
                ready.append(
                    any(abs((360 / lobes * k + turned - place + 180) % 360 - 180) < 1e-6 for k in range(lobes))
                )
            if all(ready):
                found.add((lobes, 2 * lobes, way == 1))
    return found


@pytest.mark.parametrize("cylinders", [3, 5, 7, 9, 11])
def test_no_other_cam_ring_works(cylinders):
    rings = cam_rings(cylinders, 240)
    assert {(ring.lobes, ring.ratio, ring.with_the_crank) for ring in rings} == rings_that_work(cylinders)
    assert all(ring.lobe == 240 / ring.ratio for ring in rings)


def test_the_cam_ring_of_a_nine():
    # Common practice: four lobes at an eighth of the crank's speed, against it.
    against, along = cam_rings(9)
    assert (against.lobes, against.ratio, against.with_the_crank) == (4, 8, False)
    assert (along.lobes, along.ratio, along.with_the_crank) == (5, 10, True)
    with pytest.raises(ValueError, match="odd number"):
        cam_rings(6)


def solved_star(star, number, angle):
    """The piston pin's distance from the crank's centre, from nothing but the lengths between the pins."""
    bearing = math.radians(star.bearing(number))
    pin = star.crank * math.cos(math.radians(angle)), star.crank * math.sin(math.radians(angle))

    def apart(unknown):
        master, x, y, height = unknown
        along = ((master - pin[0]) / star.master, -pin[1] / star.master)
        cosine, sine = math.cos(bearing), math.sin(bearing)
        # The link's pin keeps its length and its angle to the master rod.
        outwards = along[0] * cosine - along[1] * sine, along[0] * sine + along[1] * cosine
        return (
            (master - pin[0]) ** 2 + pin[1] ** 2 - star.master**2,
            x - pin[0] - star.pins * outwards[0],
            y - pin[1] - star.pins * outwards[1],
            (height * cosine - x) ** 2 + (height * sine - y) ** 2 - star.link**2,
        )

    far = star.crank + star.master
    guess = [far, pin[0] + star.pins * math.cos(bearing), pin[1] + star.pins * math.sin(bearing), far]
    return fsolve(apart, guess, xtol=1e-12)[3]


@pytest.mark.parametrize("angle", [0, 50, 123, 200, 310])
@pytest.mark.parametrize("number", [2, 3, 5])
def test_pistons_of_a_star_stand_where_the_lengths_of_their_rods_put_them(number, angle):
    star = star_rods(Q(44, "mm"), Q(82, "mm"), Q(15, "mm"), 5, angle)
    assert star.geometry.height(number, angle) == pytest.approx(solved_star(star.geometry, number, angle), abs=1e-6)


def test_tops_and_strokes_of_a_star_are_the_extremes_of_the_solved_motion():
    star = star_rods(Q(44, "mm"), Q(82, "mm"), Q(15, "mm"), 7, 30)
    piston, geometry = star.pistons[2], star.geometry
    turn = geometry.bearing(3)
    top = minimize_scalar(lambda at: -geometry.height(3, at), bounds=(turn - 50, turn + 50), method="bounded")
    bottom = minimize_scalar(lambda at: geometry.height(3, at), bounds=(turn + 130, turn + 230), method="bounded")
    assert piston.late == pytest.approx(top.x - turn, abs=1e-3)
    assert piston.stroke == pytest.approx(-top.fun - bottom.fun, abs=1e-6)
    assert piston.below == pytest.approx(-top.fun - geometry.height(3, 30), abs=1e-6)
    # The master's own piston is a plain one.
    assert star.pistons[0].error == pytest.approx(0, abs=1e-9)
    assert star.pistons[0].stroke == pytest.approx(44)
    # What stands to the left of the master mirrors what stands to its right.
    assert [one.stroke for one in star.pistons[1:]] == pytest.approx([one.stroke for one in star.pistons[:0:-1]])


def test_rods_that_cannot_go_round_are_refused():
    with pytest.raises(ValueError, match="too short"):
        star_rods(Q(40, "mm"), Q(80, "mm"), Q(15, "mm"), 5, 0, Q(20, "mm"))
    with pytest.raises(ValueError, match="nearer to the crank pin"):
        star_rods(Q(40, "mm"), Q(80, "mm"), Q(80, "mm"), 5, 0)


def test_air_of_a_hot_air_engine_goes_between_its_ends():
    engine = hot_air_engine((Q(40, "mm"), Q(30, "mm")), (Q(25, "mm"), Q(24, "mm")), 75, dead=Q(4, "cm**3"))
    wholes = [engine.spaces(at).whole for at in range(360)]
    # Second way: the most over the least of a turn.
    assert engine.compression == pytest.approx(max(wholes) / min(wholes))
    for at in range(0, 360, 20):
        space = engine.spaces(at)
        assert space.hot + space.cold == pytest.approx(engine.displacer)
        assert space.hot == pytest.approx(engine.displacer * share_of_stroke(at + 90))


def test_a_lead_of_about_a_right_angle_makes_the_most_work_and_a_lag_takes_it():
    """Second way: at three times the cold end's warmth, the work of a turn, ∮p dV, is greatest near 90°."""

    def work(lead, way=1):
        engine = hot_air_engine((Q(40, "mm"), Q(30, "mm")), (Q(25, "mm"), Q(24, "mm")), 0, lead)
        spaces = [engine.spaces(way * at) for at in range(361)]
        pressures = [1 / (one.hot / 3 + one.cold + one.power) for one in spaces]
        return sum(
            (p + q) / 2 * (after.power - before.power)
            for (before, after), (p, q) in zip(pairwise(spaces), pairwise(pressures), strict=True)
        )

    best = max(range(0, 181, 5), key=work)
    assert 80 <= best <= 110
    assert work(90) > 0 > work(90, way=-1)
    assert abs(work(0)) < work(90) / 1000
