"""Scenes of parts that repeat: laid out, counted, good ones beside those that went wrong."""

from math import cos, pi, radians, sin

from tests.pictures.scenes.ink import (
    BENCH,
    BLUE,
    INK,
    LEAD,
    METALS,
    block,
    box,
    broken_ring,
    circle,
    cross,
    disc,
    line,
    outline,
    ring,
    scene,
    standing,
    turned,
    words,
)


def patterns() -> str:
    """The casting patterns on the printer's plate, their supports still on."""
    drawn = box(120, BENCH - 26, 960, 26, METALS["aluminium"])
    for x, wide, high in ((150, 230, 200), (420, 120, 150), (570, 130, 70), (735, 90, 120), (860, 120, 110)):
        drawn += "".join(line(x + step, BENCH - 26, x + step, BENCH - 66, 2) for step in range(10, wide, 22))
        drawn += block(x, BENCH - 66, wide, high, 70, "resin")
    drawn += disc(235, BENCH - 190, 34, "resin", 30) + disc(320, BENCH - 190, 34, "resin", 30)
    drawn += turned(1035, BENCH - 26, [(120, 70), (30, 46)], "resin", upright=True)
    return scene(
        "811 casting patterns", drawn + words(120, 150, "1.5 % for gunmetal, 3 mm on machined faces", 30, BLUE)
    )


def feet() -> str:
    """Six bed feet, the filing buttons still on the first."""

    def foot(x: float) -> str:
        return block(x - 66, BENCH, 126, 150, 54, "steel") + disc(x - 3, BENCH - 75, 26, "steel", 16)

    drawn = standing(foot, 6, 150, 1010)
    drawn += disc(147, BENCH - 75, 58, "stainless", 16) + circle(147, BENCH - 75, 62, "none", 3, BLUE)
    drawn += turned(330, 330, [(26, 46), (500, 38), (30, 60), (200, 54)], "wood")
    drawn += words(147, 440, "button, hardened", 28, BLUE, "middle") + line(147, 454, 147, BENCH - 140, 1.2, BLUE)
    return scene("103 bed feet and buttons", drawn)


def columns() -> str:
    """Seven columns on the plate under the shoulder gauge; one is thin at its collar."""

    def column(x: float) -> str:
        return turned(x, BENCH - 30, [(34, 24), (30, 62), (350, 44), (30, 62), (34, 24)], "steel", upright=True)

    drawn = box(70, BENCH - 30, 1060, 30, METALS["iron"]) + standing(column, 7, 150, 1050)
    y = BENCH - 94
    drawn += line(110, y, 1090, y, 1, BLUE, "14 6") + line(110, y - 350, 1090, y - 350, 1, BLUE, "14 6")
    drawn += words(600, 120, "alike within 8 tenths of a thou", 32, BLUE, "middle")
    return scene("102 columns, seven of them", drawn)


def studs() -> str:
    """Twenty cover studs in a drilled tray."""
    drawn = block(120, BENCH, 860, 90, 240, "wood")
    for depth, filled in ((0.82, True), (0.5, True), (0.18, False)):
        for place in range(10):
            x, y = 165 + 86 * place + 144 * depth, BENCH - 90 - 101 * depth
            drawn += f'<ellipse cx="{x}" cy="{y}" rx="13" ry="6" fill="#5d5140"/>'
            if filled:
                drawn += turned(x, y, [(70, 20), (60, 24), (56, 20)], "stainless", upright=True)
    return scene("205 cover studs, half a tray", drawn + words(600, 300, "20 good, 36 wanted", 34, BLUE, "middle"))


def first_pot() -> str:
    """What became of the first pot of piston rings: three good of twelve."""
    drawn = ""
    for number in range(12):
        x, y = 160 + 176 * (number % 6), 240 + 250 * (number // 6)
        if number in (0, 4, 7):
            drawn += ring(x, y, 66, 12, gap=5)
        elif number in (2, 3, 5, 8):
            drawn += broken_ring(x, y, 62, 12)
        elif number in (6, 9, 10):
            drawn += ring(x, y, 66, 12, gap=7, oval=0.8)
        else:
            drawn += ring(x, y, 66, 5 if number == 1 else 12, gap=22)
        if number not in (0, 4, 7):
            drawn += cross(x, y, 20)
    drawn += words(600, 660, "three from twelve", 36, BLUE, "middle")
    return scene("212 piston rings, first pot", drawn, on_bench=False)


def pistons() -> str:
    """Both pistons on their rods, three grooves each, the rings beside them."""
    drawn = ""
    for x in (330, 620):
        drawn += turned(x, BENCH, [(420, 40)], "stainless", upright=True)
        grooves = [(34, 214), (14, 186), (22, 214), (14, 186), (22, 214), (14, 186), (34, 214), (16, 70)]
        drawn += turned(x, BENCH - 420, grooves, "iron", upright=True)
    for number in range(3):
        drawn += ring(890 + 60 * number, BENCH - 112 - 10 * number, 104, 18, gap=4, at=120 - 20 * number)
    return scene("211 pistons on their own rods", drawn)


def in_the_tin() -> str:
    """The tin that scrap goes into: a slide valve and the thin discs that slipped."""
    drawn = turned(980, BENCH, [(26, 250), (6, 262)], "tin", upright=True)
    drawn += _valve(430, BENCH - 120) + cross(500, BENCH - 180, 26)
    for number, (x, y) in enumerate(((330, 40), (385, 66), (655, 44), (700, 78), (625, 96), (735, 40))):
        drawn += f'<ellipse cx="{x}" cy="{BENCH - 84 - y}" rx="{44 - 3 * (number % 3)}" ry="15" '
        drawn += f'fill="{METALS["bronze"]}" stroke="{INK}" stroke-width="2"/>'
    front = [(230, BENCH - 110), (800, BENCH - 110), (790, BENCH), (240, BENCH)]
    drawn += outline(front, METALS["tin"], 2.6)
    drawn += "".join(line(243, BENCH - step, 787, BENCH - step, 0.9) for step in (8, 14, 22, 32))
    label = box(400, BENCH - 92, 230, 56, METALS["paper"], 1.6) + words(515, BENCH - 54, "SCRAP", 34, LEAD, "middle")
    return scene("223 slide valve, past the line", drawn + label)


def _valve(x: float, y: float) -> str:
    """A slide valve standing on its end, its cavity towards us and cut past the scribed line."""
    drawn = block(x, y, 150, 120, 60, "bronze")
    drawn += box(x + 30, y - 96, 84, 72, "#b98e52") + line(x + 100, y - 118, x + 100, y - 2, 1.6, BLUE)
    return drawn + words(x + 104, y - 128, "line", 22, BLUE)


def oil_cups() -> str:
    """Oil cups in two rows, lids on the first four."""

    def cup(x: float) -> str:
        return turned(x, BENCH, [(40, 26), (12, 60), (84, 92)], "brass", upright=True)

    def lid(x: float) -> str:
        return turned(x, BENCH - 136, [(26, 106), (14, 40)], "brass", upright=True)

    drawn = standing(cup, 8, 140, 1060) + standing(lid, 3, 140, 140 + 2 * 131.4)
    drawn += turned(300, 330, [(60, 44), (360, 70), (60, 40), (120, 24)], "steel")
    return scene(
        "602 oil cups, the lids to come", drawn + words(560, 240, "form tool from an old file", 28, BLUE, "middle")
    )


def tube_plate() -> str:
    """The pair of tube plates, thirty-seven holes in rings of six, twenty-four of them drilled."""
    x, y, radius = 520, 430, 340
    drawn = disc(x + 16, y + 12, radius, "brass") + disc(x, y, radius, "brass")
    places = [(0.0, 0.0)]
    for circle_number in range(1, 4):
        for number in range(6 * circle_number):
            corner, along = divmod(number, circle_number)
            first, second = (radians(60 * (corner + step)) for step in (0, 1))
            share = along / circle_number
            across = circle_number * 82 * ((1 - share) * cos(first) + share * cos(second))
            places.append((across, circle_number * 82 * ((1 - share) * sin(first) + share * sin(second))))
    for number, (across, down) in enumerate(places):
        if number < 24:
            drawn += circle(x + across, y + down, 25, "#4a4438", 2)
        else:
            drawn += circle(x + across, y + down, 25, "none", 1.4, BLUE)
            drawn += line(x + across - 32, y + down, x + across + 32, y + down, 1, BLUE)
            drawn += line(x + across, y + down - 32, x + across, y + down + 32, 1, BLUE)
    for number in range(8):
        turn = pi / 8 + pi * number / 4
        drawn += circle(x + 305 * cos(turn), y + 305 * sin(turn), 11, "none", 1.4, BLUE)
    drawn += (
        words(910, 330, "37 holes", 40, BLUE)
        + words(910, 380, "24 drilled", 32)
        + words(910, 424, "13 marked", 32, BLUE)
    )
    return scene("502 tube plates, clamped as a pair", drawn, on_bench=False)
