"""Scenes of set-ups and of the large parts, and the engine as it grows."""

from math import cos, pi, sin

from tests.pictures.scenes import engine
from tests.pictures.scenes.ink import (
    BENCH,
    BLUE,
    INK,
    LEAD,
    METALS,
    PAPER,
    QUIET,
    block,
    box,
    circle,
    disc,
    hatched,
    line,
    outline,
    ring,
    scene,
    turned,
    words,
)


def blow_hole() -> str:
    """The first casting of the cylinder block, its feeders on and a hole where the bore is to be."""
    drawn = block(260, BENCH, 560, 330, 180, "gunmetal")
    for x in (400, 680):
        drawn += disc(x, BENCH - 165, 110, "gunmetal", 78)
        drawn += turned(x + 40, BENCH - 368, [(60, 70), (120, 110), (14, 96)], "gunmetal", upright=True)
    hole = ((752, 240), (776, 262), (800, 232), (786, 206), (760, 210))
    drawn += outline([(x, BENCH - up) for x, up in hole], "#3a3128")
    drawn += circle(775, BENCH - 234, 58, "none", 4, LEAD) + line(830, BENCH - 262, 930, BENCH - 320, 2, LEAD)
    return scene("201 first pour", drawn + words(940, BENCH - 326, "blow-hole", 32, LEAD))


def boring() -> str:
    """Boring a cylinder between centres, the block cut open on its fixture."""
    top, high = 300, 270
    drawn = hatched([(330, top), (870, top), (870, top + 70), (330, top + 70)], "upper", METALS["gunmetal"])
    drawn += hatched([(330, top + high - 70), (870, top + high - 70), (870, top + high), (330, top + high)], "lower",
                     METALS["gunmetal"])  # fmt: skip
    drawn += block(250, BENCH - 44, 700, 104, 60, "aluminium") + box(200, BENCH - 44, 800, 44, METALS["iron"])
    drawn += turned(90, top + high / 2, [(70, 150), (60, 90), (900, 66)], "steel")
    drawn += outline(
        [(560, top + 102), (600, top + 102), (600, top + 72), (580, top + 66), (560, top + 78)], METALS["iron"]
    )
    drawn += line(60, top + high / 2, 1140, top + high / 2, 1, BLUE, "30 6 4 6")
    drawn += words(600, 210, "1 in less 2 thou, round within three tenths", 32, BLUE, "middle")
    return scene("201 boring on fixture 812", drawn)


def crankshaft() -> str:
    """The finished crankshaft between centres."""
    y = 430
    drawn = turned(60, y, [(60, 150), (40, 40), (30, 8)], "iron") + turned(
        1050, y, [(30, 10), (40, 46), (70, 130)], "iron"
    )
    drawn += turned(180, y, [(870, 56)], "steel")
    for x, up in ((360, -92), (700, 0)):
        drawn += box(x, y - 32, 150, 64, PAPER, 0) + turned(x + 10, y + up, [(130, 52)], "steel")
        for side in (0, 114):
            low, high = y + up - 44, y + 48
            drawn += box(x + side, low, 36, high - low, METALS["steel"])
            drawn += "".join(line(x + side + step, low, x + side + step, high, 0.9) for step in (22, 27, 31))
    drawn += line(40, y, 1170, y, 1, BLUE, "30 6 4 6") + words(600, 200, "worst place 7 tenths", 34, BLUE, "middle")
    for x in (60, 1090):
        drawn += box(x, y + 70, 60, BENCH - y - 104, METALS["iron"])
    drawn += box(30, BENCH - 34, 1140, 34, METALS["iron"]) + words(
        600, 250, "cranks at 90 degrees", 28, QUIET, "middle"
    )
    return scene("301 crankshaft, lapped", drawn)


def flywheel() -> str:
    """The flywheel balancing on knife edges."""
    x, y = 600, 380
    drawn = disc(x, y, 290, "iron") + circle(x, y, 236, METALS["iron"]) + circle(x, y, 225, "none", 1)
    for number in range(6):
        turn = pi / 6 + pi * number / 3
        drawn += circle(x + 148 * cos(turn), y + 148 * sin(turn), 48, PAPER) + circle(
            x + 148 * cos(turn), y + 148 * sin(turn), 43, "none", 0.8
        )
    drawn += disc(x, y, 74, "iron", 27) + circle(x, y, 26, METALS["steel"])
    for side in (-1, 1):
        edge = x + side * 40
        drawn += outline([(edge - 26, y + 29), (edge + 26, y + 29), (edge, y + 29)], METALS["iron"])
    drawn += outline([(540, 410), (660, 410), (720, BENCH), (480, BENCH)], METALS["aluminium"])
    drawn += circle(x, y, 26, METALS["steel"]) + words(250, 130, "stops anywhere", 34, BLUE, "middle")
    return scene("701 flywheel on knife edges", drawn)


def scraping() -> str:
    """A pair of bearing brasses apart, the blue on one where it bears."""
    drawn = ""
    for x, blue in ((360, True), (830, False)):
        drawn += hatched(
            [(x - 170, 560), (x - 170, 400), (x + 170, 400), (x + 170, 560)], f"brass{x}", METALS["bronze"], 14
        )
        drawn += (
            f'<path d="M{x - 105} 400A105 105 0 0 0 {x + 105} 400Z" fill="{PAPER}" stroke="{INK}" stroke-width="2.4"/>'
        )
        for number in range(9) if blue else ():
            turn = pi * (number + 1) / 10
            drawn += circle(x + 98 * cos(turn), 400 + 98 * sin(turn), 8 + number % 3 * 3, BLUE, 0, BLUE)
    drawn += turned(240, 250, [(250, 44), (40, 60), (330, 26)], "wood") + words(
        360, 650, "blue where it bears", 28, BLUE, "middle"
    )
    drawn += words(830, 650, "scraped", 28, INK, "middle")
    return scene("303 scraping in the brasses", drawn)


def heat_fixture() -> str:
    """A ring held open on the heat fixture, the furnace door behind."""
    drawn = box(760, 210, 340, BENCH - 210, METALS["iron"]) + box(800, 270, 260, 300, METALS["steel"], 3)
    drawn += circle(1020, 420, 16, METALS["iron"]) + words(930, 250, "SHUT", 30, LEAD, "middle")
    drawn += turned(400, BENCH, [(60, 280), (150, 96)], "steel", upright=True)
    drawn += ring(400, 330, 176, 30, gap=16) + box(380, 150, 40, 62, METALS["steel"])
    drawn += disc(400, 330, 140, "steel", 26) + words(400, 120, "key 0.150", 28, BLUE, "middle")
    return scene("814 ring heat fixture", drawn)


def gauges() -> str:
    """The new pressure gauge beside the club's."""
    drawn = box(240, 560, 720, 34, METALS["copper"])
    for x, reads, named in ((390, 82, "ours"), (810, 80, "the club's")):
        drawn += turned(x, 562, [(90, 40)], "brass", upright=True) + disc(x, 330, 180, "brass")
        drawn += circle(x, 330, 154, METALS["paper"])
        for mark in range(13):
            turn = 1.25 * pi - 1.5 * pi * mark / 12
            far = 118 if mark % 2 else 108
            ends = [(x + r * cos(turn), 330 - r * sin(turn)) for r in (far, 138)]
            drawn += line(*ends[0], *ends[1], 2.2)
            if mark % 2 == 0:
                drawn += words(x + 88 * cos(turn), 338 - 88 * sin(turn), str(10 * mark), 22, INK, "middle")
        turn = 1.25 * pi - 1.5 * pi * reads / 120
        drawn += line(x - 30 * cos(turn), 330 + 30 * sin(turn), x + 122 * cos(turn), 330 - 122 * sin(turn), 4, LEAD)
        drawn += circle(x, 330, 12, INK) + words(x, 660, f"{named}: {reads}", 30, BLUE, "middle")
    return scene("604 pressure gauge, 2 psi high", drawn)


def frame() -> str:
    """The bed with its columns standing in it."""
    drawn = engine.flywheel() + engine.cylinders(made=False) + engine.bed() + engine.columns()
    return scene("bed and columns", drawn)


def with_its_shaft() -> str:
    """The bed with the shaft in its bearings."""
    drawn = engine.flywheel() + engine.cylinders(made=False) + engine.columns() + engine.bed() + engine.shaft()
    return scene("the shaft in its bearings", drawn)


def turns_over() -> str:
    """The bottom end complete: it turns over by hand."""
    drawn = engine.cylinders(made=False) + engine.columns() + engine.bed() + engine.shaft() + engine.rods()
    return scene("it turns over by hand", drawn + engine.flywheel(made=True))


def block_on() -> str:
    """The cylinders tried on their columns."""
    drawn = engine.columns() + engine.bed() + engine.shaft() + engine.rods() + engine.cylinders()
    return scene("the cylinders tried on", drawn + engine.flywheel(made=True))
