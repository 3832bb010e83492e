"""The words of the tables in `tables/` that are shown, marked so that they are collected for translation.

The tables are data, which `makemessages` does not read; a test holds that nothing of theirs is missing here.
"""

from calcs.messages import gettext_noop

MATERIALS = (
    gettext_noop("acetal"),
    gettext_noop("alloy steel"),
    gettext_noop("aluminium"),
    gettext_noop("aluminium 1100"),
    gettext_noop("aluminium 2011"),
    gettext_noop("aluminium 2014"),
    gettext_noop("aluminium 6061"),
    gettext_noop("aluminium 6082"),
    gettext_noop("aluminium 7075"),
    gettext_noop("aluminium alloy"),
    gettext_noop("aluminium bronze"),
    gettext_noop("brass"),
    gettext_noop("brass 60/40"),
    gettext_noop("bronze"),
    gettext_noop("bronze C93200"),
    gettext_noop("carbon steel"),
    gettext_noop("cast brass"),
    gettext_noop("cast iron"),
    gettext_noop("cast steel"),
    gettext_noop("chromium"),
    gettext_noop("copper"),
    gettext_noop("copper alloy"),
    gettext_noop("duralumin"),
    gettext_noop("free-cutting brass"),
    gettext_noop("free-cutting steel"),
    gettext_noop("graphite"),
    gettext_noop("grey cast iron"),
    gettext_noop("gunmetal"),
    gettext_noop("high-temperature alloy"),
    gettext_noop("high-tensile brass"),
    gettext_noop("iron"),
    gettext_noop("lead"),
    gettext_noop("machinable wax"),
    gettext_noop("magnesium"),
    gettext_noop("magnesium alloy"),
    gettext_noop("malleable iron"),
    gettext_noop("medium carbon steel"),
    gettext_noop("mild steel"),
    gettext_noop("nickel"),
    gettext_noop("nickel alloy"),
    gettext_noop("nickel silver"),
    gettext_noop("nylon 6"),
    gettext_noop("phosphor bronze"),
    gettext_noop("plastic"),
    gettext_noop("PTFE"),
    gettext_noop("refractory alloy"),
    gettext_noop("silver"),
    gettext_noop("silver steel"),
    gettext_noop("spheroidal graphite iron"),
    gettext_noop("stainless steel"),
    gettext_noop("stainless steel 303"),
    gettext_noop("steel"),
    gettext_noop("tin"),
    gettext_noop("titanium"),
    gettext_noop("titanium 6Al-4V"),
    gettext_noop("tool steel"),
    gettext_noop("tungsten"),
    gettext_noop("white metal"),
    gettext_noop("zinc"),
)
SERIES = (
    gettext_noop("BA"),
    gettext_noop("BSF"),
    gettext_noop("BSP"),
    gettext_noop("BSW"),
    gettext_noop("Model Engineer"),
    gettext_noop("UNC"),
    gettext_noop("UNF"),
    gettext_noop("brass"),
    gettext_noop("metric coarse"),
    gettext_noop("metric fine"),
)
OPERATIONS = (
    gettext_noop("any"),
    gettext_noop("drilling"),
    gettext_noop("turning"),
)
CAUTIONS = (
    gettext_noop(
        "Take the chuck key out before anything else, every time. It never stays in a chuck, not even for a moment."
    ),
    gettext_noop("No gloves, loose sleeves, rings or long hair near anything that turns: what is caught is wound in."),
    gettext_noop("Keep guards where nips, turning parts and flying chips are, and wear eye protection."),
    gettext_noop(
        "Emery cloth is not held in the hand on turning work. Use a holder in the tool post or a backing "
        "board, and never in a lathe that runs by program."
    ),
    gettext_noop(
        "On a bench grinder keep the work rest within 1/8 in (3 mm) of the wheel, and the hood closed around the wheel."
    ),
    gettext_noop("Ring-test a wheel before it is mounted, and keep the tongue guard within 1/4 in (6 mm) of it."),
    gettext_noop(
        "Magnesium swarf burns. Cut it dry with a sharp tool and no fine rubbing feeds, below 700 ft/min (213"
        " m/min); keep the chips dry in a covered metal bin. Never put water or foam on burning magnesium: "
        "use class D powder or dry sand."
    ),
    gettext_noop(
        "Many brasses, bronzes and soft solders hold lead. Keep the dust down, do not eat at the bench, and "
        "wash your hands."
    ),
    gettext_noop("Fine metal dust should be drawn off or damped, and not breathed."),
    gettext_noop(
        "Solder and brazing fume should not be breathed: solder where air is drawn away from your face, and "
        "watch where the flame points."
    ),
    gettext_noop(
        "Some old silver solders hold 16 to 25 % of cadmium, whose fume is poisonous. Use cadmium-free alloys"
        " only, and do not use rods of unknown make."
    ),
    gettext_noop(
        "A core that comes free in the last cut can jam against the tool or be thrown out: fill the other windows "
        "first, take light cuts at a low speed behind a closed guard, and never hold the core by hand."
    ),
    gettext_noop(
        "Melt wax in a double boiler with a thermometer, never unattended or over an open flame. Smother "
        "burning wax with a lid; never use water."
    ),
    gettext_noop(
        "Molten metal and water must not meet: moulds, ladles and scrap are dried and warmed before. Cover "
        "skin and face."
    ),
    gettext_noop(
        "A spirit flame can be invisible. Do not refill a burner that is lit or hot, fill it at most three "
        "quarters, and put it out with its lid."
    ),
    gettext_noop(
        "Keep what can burn away from hot work, mark pieces that are still hot, and have a means of putting a"
        " fire out within reach."
    ),
    gettext_noop(
        "Boilers and pressure vessels are made and tested under a club's or insurer's boiler inspector, who "
        "decides; no pressure test is done without one. As codes are commonly read: a new boiler is tested "
        "once with water at twice its working pressure, later at one and a half times."
    ),
    gettext_noop(
        "Charge lithium packs with their own charger, not unattended and not below freezing or above 130 °F "
        "(54 °C). Take damaged packs out of use."
    ),
    gettext_noop("Hold the work so that it cannot turn or drop, and keep hands out of the line of the blade."),
    gettext_noop(
        "Printers have hot ends and give off fumes: let air through the room, and do not leave one unattended"
        " that you do not trust."
    ),
    gettext_noop("Clamp the work or hold it in a vice; never by hand under a drill or cutter."),
    gettext_noop(
        "Do not let PTFE get hot: well above 250 °C it gives off a fume that makes people ill. Keep its swarf "
        "away from flames and from tobacco."
    ),
    gettext_noop(
        "Graphite dust conducts and creeps into motors and slideways: draw it off at the cutter, and do not breathe it."
    ),
)
