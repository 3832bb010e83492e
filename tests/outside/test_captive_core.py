"""A core in its frame against brute force: blocks cut out of small cubes, cores turned every way, rings round outlines.

None of it uses the formulas that it tests: the cuts are made one after another into a full block.
"""

import math

import numpy as np
import pytest
from scipy import ndimage

from calcs.shop.captive_core import Core, Frame, comes_free, sizes_that_do, stays_in, turns

GRID = 64
FACES = [(axis, side) for axis in (2, 1, 0) for side in (1, -1)]
RANDOM = np.random.default_rng(7)
STRAIGHT = Frame(60, 40, 40, 0)
ROOMY = Frame(60, 30, 46, 5)


def small_cubes():
    """The middles of all small cubes of a block of 60 mm."""
    line = (np.arange(GRID) + 0.5) / GRID * 60 - 30
    return np.stack(np.meshgrid(line, line, line, indexing="ij"), axis=-1)


def inside_core(core, points):
    """Whether points lie in the core: by its definition, not as it is cut."""
    size = np.abs(points)
    if core.shape == "ball":
        return (points**2).sum(axis=-1) <= (core.size / 2) ** 2
    if core.shape == "cube":
        return size.max(axis=-1) <= core.size / 2
    turned = [size[..., axis] + np.hypot(size[..., axis - 1], size[..., axis - 2]) for axis in range(3)]
    return np.max(turned, axis=0) <= core.size / 2


def in_window(frame, points, axis):
    """Whether points lie in the windows of an axis or in the rooms behind them."""
    out = np.hypot(points[..., axis - 1], points[..., axis - 2])
    in_wall = np.abs(points[..., axis]) > frame.block / 2 - frame.wall
    return out < np.where(in_wall, frame.window / 2, frame.widened / 2)


def taken_by(frame, core, points, axis, side, rim_floor=None):
    """What the cut of one face takes: window, room behind the wall, down to the core or to a floor, to the middle."""
    up = points[..., axis] * side
    out = np.hypot(points[..., axis - 1], points[..., axis - 2])
    half = core.size / 2
    floors = {"ball": np.sqrt(np.maximum(0, half**2 - out**2)), "cube": half + 0 * out, "star": half - out}
    floor = np.maximum(floors[core.shape], 0 if rim_floor is None else rim_floor(out))
    return in_window(frame, points, axis) & (up > floor)


def frame_holds(frame, points):
    """Whether points lie in the block and outside of all windows and rooms."""
    taken = np.any([in_window(frame, points, axis) for axis in range(3)], axis=0)
    return ~taken & (np.abs(points).max(axis=-1) <= frame.block / 2)


def down_to_the_corners(frame, short):
    """A floor that leads from the middle of a face to the inner corners, and a little higher or lower."""
    return lambda out: np.minimum(out / math.sqrt(2), frame.meeting) + short


def bodies(frame, core, faces=FACES, rim_floor=None):
    """How many separate bodies the cuts leave."""
    points = small_cubes()
    left = ~np.any([taken_by(frame, core, points, *face, rim_floor) for face in faces], axis=0)
    return ndimage.label(left)[1]


def directions(number):
    found = RANDOM.normal(size=(number, 3))
    return found / np.linalg.norm(found, axis=1, keepdims=True)


def rotations(number):
    """Random turns, as matrices."""
    found, upper = np.linalg.qr(RANDOM.normal(size=(number, 3, 3)))
    found = found * np.sign(np.diagonal(upper, axis1=1, axis2=2))[:, None, :]
    return found * np.linalg.det(found)[:, None, None]


def extent(core, along):
    """How far the core reaches from its middle along directions."""
    if core.shape == "ball":
        return np.full(along.shape[:-1], core.size / 2)
    size = np.abs(along)
    if core.shape == "cube":
        return core.size / 2 / size.max(axis=-1)
    turned = [size[..., axis] + np.hypot(size[..., axis - 1], size[..., axis - 2]) for axis in range(3)]
    return core.size / 2 / np.max(turned, axis=0)


def surface(core, number=1500):
    """Points all over the core's surface, its corners and points among them."""
    corners = np.array([(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)]) / math.sqrt(3)
    along = np.concatenate([directions(number), np.eye(3), -np.eye(3), corners])
    return along * extent(core, along)[:, None]


# Frame, core, whether it comes free, turns, stays in. Each lies well to one side of its bounds.
CASES = [
    (STRAIGHT, Core("ball", 46), True, True, True),
    (STRAIGHT, Core("ball", 38), True, True, False),
    (STRAIGHT, Core("ball", 52), False, False, True),
    (STRAIGHT, Core("cube", 26), True, True, False),
    (STRAIGHT, Core("cube", 32), False, False, True),
    (STRAIGHT, Core("star", 44), True, True, False),
    (STRAIGHT, Core("star", 53), True, False, None),
    (STRAIGHT, Core("star", 60), True, False, True),
    (Frame(60, 30, 30, 0), Core("star", 57), False, False, True),
    (ROOMY, Core("ball", 50), True, True, True),
    (ROOMY, Core("ball", 59), False, False, True),
    (ROOMY, Core("cube", 28), True, True, True),
    (ROOMY, Core("cube", 36), False, False, True),
    (ROOMY, Core("star", 50), True, True, True),
    (Frame(60, 24, 32, 14), Core("ball", 37), True, True, True),
    (Frame(60, 24, 32, 14), Core("ball", 43), False, False, True),
    (Frame(60, 24, 32, 14), Core("star", 36), True, True, True),
    (Frame(60, 24, 32, 14), Core("star", 46), True, False, True),
    (Frame(60, 16, 20, 20), Core("star", 39), False, False, True),
]
every_case = pytest.mark.parametrize(("frame", "core", "free", "turning", "held"), CASES)


@every_case
def test_the_verdict_on_a_core(frame, core, free, turning, held):
    assert (comes_free(frame, core), turns(frame, core), stays_in(frame, core)) == (free, turning, held)


@every_case
def test_a_block_of_small_cubes_falls_in_two_just_where_the_core_comes_free(frame, core, free, turning, held):
    assert bodies(frame, core) == (2 if free else 1)


@pytest.mark.parametrize(("frame", "core"), [(case[0], case[1]) for case in CASES if case[2]])
def test_cut_just_past_the_inner_corners_the_core_is_held_by_the_last_face_until_that_is_cut(frame, core):
    floor = down_to_the_corners(frame, -1.5)
    assert bodies(frame, core, FACES[:5], floor) == 1
    assert bodies(frame, core, FACES, floor) == 2


@every_case
def test_a_core_turned_every_way_strikes_the_frame_just_where_it_does_not_turn(frame, core, free, turning, held):
    skin = surface(core, 60)
    turned = np.einsum("nij,pj->npi", rotations(4000), skin)
    within = np.abs(turned).max(axis=-1) <= frame.block / 2
    assert (frame_holds(frame, turned) & within).any() == (not turning)


@pytest.mark.parametrize("frame", [STRAIGHT, ROOMY, Frame(60, 24, 32, 14), Frame(60, 16, 20, 20), Frame(60, 52, 52, 0)])
def test_the_largest_ball_in_the_frame_touches_it_and_no_more(frame):
    points = RANDOM.uniform(0, 1.02 * frame.room, size=(400_000, 3))
    nearest = np.linalg.norm(points[frame_holds(frame, points)], axis=1).min()
    assert frame.room <= nearest <= frame.room * 1.02


@pytest.mark.parametrize("shape", ["ball", "cube", "star"])
def test_no_ring_narrower_than_the_least_outline_goes_over_the_core_straight(shape):
    core = Core(shape, 10)
    skin = surface(core)
    along = np.concatenate([directions(3000), np.eye(3), [[1 / math.sqrt(3)] * 3]])
    # The core is alike on both sides of its middle, so the least ring round an outline stands about its middle.
    heights = skin @ along.T
    rings = 2 * np.sqrt(np.maximum(0, (skin**2).sum(axis=1)[:, None] - heights**2)).max(axis=0)
    assert rings.min() == pytest.approx(core.least_outline, rel=1e-9 if shape != "ball" else 1e-3)


@pytest.mark.parametrize(("shape", "slack"), [("ball", 1e-9), ("cube", 0.001), ("star", 0.02)])
def test_every_section_through_the_middle_is_as_wide_as_the_least_one(shape, slack):
    core = Core(shape, 10)
    normals = np.concatenate([directions(1000), np.eye(3), [[1 / math.sqrt(3)] * 3]])
    first = np.cross(normals, normals[:, [1, 2, 0]] + [0.31, 0.17, 0.05])
    first /= np.linalg.norm(first, axis=1, keepdims=True)
    second = np.cross(normals, first)
    round_about = np.linspace(0, math.pi, 3601)
    along = np.cos(round_about)[None, :, None] * first[:, None] + np.sin(round_about)[None, :, None] * second[:, None]
    widest = 2 * extent(core, along).max(axis=1)
    assert core.least_section * (1 - 0.001) <= widest.min() <= core.least_section * (1 + slack)


@pytest.mark.parametrize("frame", [STRAIGHT, ROOMY, Frame(60, 24, 32, 14)])
def test_what_is_left_of_the_frame_is_as_thick_as_it_says(frame):
    along = np.linspace(0, 30, 60_001)[:, None]
    edge, diagonal = along * [0, 1, 1], along * [1, 1, 1]
    bar = 30 - along[frame_holds(frame, edge)].min()
    corner = math.sqrt(3) * (30 - along[frame_holds(frame, diagonal)].min())
    wall = 30 - along[frame_holds(frame, along * [0, 0, 1] + [0, frame.window / 2 + 0.01, 0])].min()
    assert (bar, corner) == pytest.approx((frame.bar, frame.corner_thickness), abs=2e-3)
    assert frame.widened == frame.window or wall == pytest.approx(frame.wall, abs=2e-3)


@pytest.mark.parametrize(("frame", "core"), [(case[0], case[1]) for case in CASES if case[2]])
def test_a_cut_that_ends_above_the_inner_corners_leaves_the_core_joined(frame, core):
    assert bodies(frame, core, FACES, down_to_the_corners(frame, 2.0)) == 1


@pytest.mark.parametrize("shape", ["ball", "cube", "star"])
@pytest.mark.parametrize(
    "frame", [STRAIGHT, ROOMY, Frame(60, 24, 32, 14), Frame(60, 30, 33, 3), Frame(60, 16, 20, 20), Frame(60, 55, 55, 0)]
)
def test_the_sizes_that_do_are_all_that_do(frame, shape):
    found = sizes_that_do(frame, shape)
    low, high = found or (math.inf, -math.inf)
    for size in np.linspace(1, 59.9, 400):
        core = Core(shape, size)
        does = comes_free(frame, core) and turns(frame, core) and stays_in(frame, core) is True
        assert does == (low < size < high), size


def test_no_cube_that_straight_windows_set_free_stays_in():
    for window in np.linspace(5, 59, 40):
        frame = Frame(60, window, window, 0)
        assert sizes_that_do(frame, "cube") is None
        assert not any(comes_free(frame, Core("cube", c)) and stays_in(frame, Core("cube", c)) for c in range(1, 60))
