"""Words of the trade."""

from builds.glossary.word import Word
from calcs.messages import gettext_noop

TRADE = (
    Word(
        "allowance",
        gettext_noop("Allowance"),
        gettext_noop("Metal left on for a later cut, or the difference meant between two sizes that fit together."),
        see=("fit",),
    ),
    Word(
        "kerf",
        gettext_noop("Kerf"),
        gettext_noop(
            "The width of the cut that a saw turns into swarf. Each blank takes its own length and one kerf off "
            "the bar."
        ),
    ),
    Word(
        "batch",
        gettext_noop("Batch"),
        gettext_noop("Blanks of one part that are started together and go through the operations side by side."),
        see=("blank", "yield"),
    ),
    Word(
        "blank",
        gettext_noop("Blank"),
        gettext_noop(
            "A piece of stock cut to begin one part from. Some blanks end as scrap, so more are started than "
            "are needed."
        ),
        see=("yield", "scrap"),
    ),
    Word(
        "bolt-circle",
        gettext_noop("Bolt circle"),
        gettext_noop("The circle through the middles of a ring of holes. Also called pitch circle."),
    ),
    Word(
        "capability",
        gettext_noop("Capability (Cp, Cpk)"),
        gettext_noop(
            "How many times the spread of a size fits between its limits. Cp looks at the spread alone, Cpk "
            "also at how far the middle is off. Below 1 some pieces will be outside."
        ),
        source="ISO 22514-2, from memory",
        see=("limits", "drift"),
    ),
    Word(
        "chip-load",
        gettext_noop("Feed a tooth"),
        gettext_noop(
            "How far the work moves on for each tooth that comes round. Too little rubs, too much breaks the tooth."
        ),
    ),
    Word(
        "cutting-speed",
        gettext_noop("Cutting speed"),
        gettext_noop(
            "How fast the edge goes over the metal, in metres or feet a minute. With the diameter it gives the "
            "revolutions."
        ),
        see=("feed",),
    ),
    Word(
        "datum",
        gettext_noop("Datum"),
        gettext_noop(
            "The face or line that everything else is measured from. Clean it first and do not change it half-way."
        ),
        source="ISO 5459",
    ),
    Word(
        "deviation",
        gettext_noop("Deviation"),
        gettext_noop("By how much the piece as made differs from the size on the drawing."),
        source="ISO 286-1",
    ),
    Word(
        "dividing",
        gettext_noop("Dividing"),
        gettext_noop("Turning the work through equal parts of a circle, by a plate with holes or a wheel with teeth."),
    ),
    Word(
        "drift",
        gettext_noop("Drift"),
        gettext_noop("A size that creeps one way from piece to piece, mostly because a tool wears."),
        see=("capability",),
    ),
    Word(
        "feed",
        gettext_noop("Feed"),
        gettext_noop("How far the tool moves on in a turn or in a minute."),
        see=("cutting-speed", "chip-load"),
    ),
    Word(
        "first-time-yield",
        gettext_noop("First-time yield"),
        gettext_noop(
            "The share of blanks that came out good at once. Pieces that passed only after being put right are "
            "left out."
        ),
        see=("yield", "reworked"),
    ),
    Word(
        "fit",
        gettext_noop("Fit"),
        gettext_noop(
            "How tightly two parts go together: with clearance, with either, or pressed. Written as two limits, "
            "such as H7/g6."
        ),
        source="ISO 286-1",
        see=("limits",),
    ),
    Word(
        "full-size",
        gettext_noop("Full size"),
        gettext_noop("The size of the real thing. The scale turns it into the size of the model."),
        see=("scale",),
    ),
    Word(
        "general-tolerance",
        gettext_noop("General tolerance"),
        gettext_noop("What sizes without limits of their own are held to, such as ISO 2768-m."),
        source="ISO 2768-1",
        see=("limits",),
    ),
    Word(
        "jig",
        gettext_noop("Jig or fixture"),
        gettext_noop(
            "A tool made for this build alone: it holds the work or guides the cutter. It takes hours, yet is "
            "no part of the model."
        ),
        see=("detail",),
    ),
    Word(
        "learning",
        gettext_noop("Learning"),
        gettext_noop(
            "That the tenth piece takes less time than the first. Told as the share of the time left after each "
            "doubling of the pieces."
        ),
        source="Wright 1936",
        see=("own-rate",),
    ),
    Word(
        "limits",
        gettext_noop("Limits"),
        gettext_noop("The smallest and the largest size that a piece may have."),
        source="ISO 286-1",
        see=("fit", "not-decided"),
    ),
    Word(
        "not-decided",
        gettext_noop("Not decided"),
        gettext_noop("The piece measures so near to a limit that this instrument cannot tell on which side it is."),
        source="ISO 14253-1, from memory",
        see=("limits", "uncertainty"),
    ),
    Word(
        "operation",
        gettext_noop("Operation"),
        gettext_noop("One step of making a part, done in one setting at one machine or at the bench."),
        see=("route", "set-up"),
    ),
    Word(
        "per-cent-of-thread",
        gettext_noop("Per cent of thread"),
        gettext_noop(
            "How much of the full height of a thread the tapping drill leaves. 60 to 70 is usual in steel; more "
            "breaks taps and holds no better."
        ),
        see=("tapping-drill",),
    ),
    Word(
        "reworked",
        gettext_noop("Reworked"),
        gettext_noop("A good piece that passed only after something was put right."),
        see=("first-time-yield",),
    ),
    Word(
        "route",
        gettext_noop("Route"),
        gettext_noop("The operations of a part in their order."),
        see=("operation",),
    ),
    Word(
        "scale",
        gettext_noop("Scale"),
        gettext_noop(
            "The size of the model divided by the size of the real thing: at 1:6 a metre becomes a sixth of a metre."
        ),
        source="ISO 5455",
        see=("full-size",),
    ),
    Word(
        "scrap",
        gettext_noop("Scrap"),
        gettext_noop("A piece that cannot be used any more. It is counted where it was lost, with the reason."),
        see=("yield",),
    ),
    Word(
        "set-up",
        gettext_noop("Set-up"),
        gettext_noop(
            "The time to get ready before the first piece: chuck, vice, tool, zero. It is counted once for a batch."
        ),
        see=("batch", "operation"),
    ),
    Word(
        "sheet",
        gettext_noop("Sheet"),
        gettext_noop("One drawing of the set, with its number, its title and its revision."),
        source="ISO 7200",
        see=("title-block", "remark"),
    ),
    Word(
        "spare",
        gettext_noop("Spare"),
        gettext_noop("A piece made beyond what the build needs, so that one may be lost later."),
        see=("batch",),
    ),
    Word(
        "spring-pass",
        gettext_noop("Spring pass"),
        gettext_noop(
            "A pass at the same setting as the last one, which takes off what the tool or the work had bent away from."
        ),
    ),
    Word(
        "stock",
        gettext_noop("Stock"),
        gettext_noop("Metal as it is bought: bar, plate, tube, casting."),
        see=("blank",),
    ),
    Word(
        "swarf",
        gettext_noop("Swarf"),
        gettext_noop("What comes off: chips, shavings and dust. Brush it away, never with the hand."),
    ),
    Word(
        "tapping-drill",
        gettext_noop("Tapping drill"),
        gettext_noop("The drill for a hole that is to be tapped."),
        see=("per-cent-of-thread",),
    ),
    Word(
        "title-block",
        gettext_noop("Title block"),
        gettext_noop("The frame on a drawing with its title, number, scale, day and name."),
        source="ISO 7200",
        see=("sheet",),
    ),
    Word(
        "uncertainty",
        gettext_noop("Uncertainty"),
        gettext_noop("By how much what the instrument says may be off, either way."),
        source="JCGM 100, from memory",
        see=("not-decided",),
    ),
    Word(
        "yield",
        gettext_noop("Yield"),
        gettext_noop(
            "Good pieces divided by good and scrapped pieces. Counted so far it is what happened; expected of "
            "the next blank it is what to plan with."
        ),
        see=("first-time-yield", "blank"),
    ),
)
