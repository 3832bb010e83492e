"""What must be bought of a section: the rack first, bars cut up, plates by area."""

import time

import pytest

from calcs.shop.buying import Cutting, cut_bars, cut_plates

NOTHING_HELD = Cutting(kerf_mm=2, end_mm=0, bar_mm=1000)


def test_what_stands_in_the_rack_at_its_length_is_not_cut_again():
    job = cut_bars(((40.0, 3), (55.0, 1)), ((40.0, 2), (200.0, 1)), [(1000.0, None)], Cutting())
    assert job.ready == ((40.0, 2),)
    assert [(bar.stock_mm, bar.pieces_mm, bar.bought) for bar in job.plan.bars] == [(200.0, (55.0, 40.0), False)]
    assert job.plan.bought_mm == 0


def test_only_ready_pieces_leave_nothing_to_cut():
    job = cut_bars(((40.0, 2),), ((40.0, 2),), [(1000.0, None)], Cutting())
    assert (job.ready, job.plan, job.too_long) == (((40.0, 2),), None, ())


def test_without_a_length_on_sale_the_usual_one_is_taken_and_said_to_be_assumed():
    job = cut_bars(((400.0, 3),), (), [], NOTHING_HELD)
    assert job.assumed
    assert [bar.stock_mm for bar in job.plan.bars] == [1000.0, 1000.0]
    assert not cut_bars(((400.0, 3),), (), [(500.0, 4.0)], NOTHING_HELD).assumed


def test_a_piece_longer_than_every_bar_is_named_and_the_others_are_cut():
    job = cut_bars(((1200.0, 2), (100.0, 1)), (), [(1000.0, None)], NOTHING_HELD)
    assert job.too_long == ((1200.0, 2),)
    assert [bar.pieces_mm for bar in job.plan.bars] == [(100.0,)]


def test_a_long_piece_comes_out_of_the_rack_where_nothing_on_sale_is_long_enough():
    job = cut_bars(((1200.0, 3),), ((2500.0, 1),), [(1000.0, None)], NOTHING_HELD)
    assert [bar.pieces_mm for bar in job.plan.bars] == [(1200.0, 1200.0)]
    assert job.too_long == ((1200.0, 1),)


def test_a_bar_that_is_just_long_enough_gives_its_piece_only_where_nothing_is_held():
    assert cut_bars(((1000.0, 1),), (), [(1000.0, None)], NOTHING_HELD).too_long == ()
    assert cut_bars(((990.0, 1),), (), [(1000.0, None)], Cutting(end_mm=15)).too_long == ((990.0, 1),)


def test_plates_are_counted_by_area_with_the_allowance_over_it_and_less_what_is_there():
    job = cut_plates([((200.0, 100.0), 3)], [((300.0, 100.0), 1), ((90.0, 90.0), 4)], [], 0.2)
    assert job.blanks_mm2 == 60_000
    assert job.wanted_mm2 == pytest.approx(72_000)
    assert job.rack_mm2 == 30_000  # the small ones hold no such blank
    assert job.missing_mm2 == pytest.approx(42_000)
    assert job.sheets is None


def test_whole_plates_are_bought_the_cheapest_where_all_have_a_price_else_the_least_area():
    blanks = [((200.0, 100.0), 3)]
    sale = [((500.0, 500.0), 9.0), ((300.0, 200.0), 5.0)]
    assert cut_plates(blanks, [], sale, 0.2).sheets == (0, 1)
    assert cut_plates(blanks, [], [sale[0], (sale[1][0], None)], 0.2).sheets == (1, 2)


def test_a_blank_that_no_plate_holds_is_named():
    job = cut_plates([((600.0, 100.0), 2), ((50.0, 50.0), 1)], [], [((500.0, 500.0), None)], 0.2)
    assert job.too_large == (((600.0, 100.0), 2),)
    assert job.blanks_mm2 == 2_500


def test_sixty_details_in_twelve_sections_take_less_than_two_seconds():
    details = [(float(17 * one % 211 + 12), 1 + one % 9) for one in range(60)]
    begun = time.perf_counter()
    for section in range(12):
        pieces = tuple(dict(details[section::12]).items())
        job = cut_bars(pieces, ((240.0, 2),), [(1000.0, 7.5), (500.0, 4.2)], Cutting())
        assert sum(len(bar.pieces_mm) for bar in job.plan.bars) == sum(number for _length, number in pieces)
        assert job.plan.gap == 0
    assert time.perf_counter() - begun < 2
