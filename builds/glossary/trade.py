"""Words of the trade."""

from builds.glossary.word import Word
from calcs.messages import gettext_noop as said

TRADE = (
    Word(
        "allowance",
        said("Allowance"),
        said("Metal left on for a later cut, or the difference meant between two sizes that fit together."),
        see=("fit",),
    ),
    Word(
        "kerf",
        said("Kerf"),
        said(
            "The width of the cut that a saw turns into swarf. Each blank takes its own length and one kerf off "
            "the bar."
        ),
    ),
    Word(
        "batch",
        said("Batch"),
        said("Blanks of one part that are started together and go through the operations side by side."),
        see=("blank", "yield"),
    ),
    Word(
        "blank",
        said("Blank"),
        said(
            "A piece of stock cut to begin one part from. Some blanks end as scrap, so more are started than "
            "are needed."
        ),
        see=("yield", "scrap"),
    ),
    Word(
        "bolt-circle",
        said("Bolt circle"),
        said("The circle through the middles of a ring of holes. Also called pitch circle."),
    ),
    Word(
        "capability",
        said("Capability (Cp, Cpk)"),
        said(
            "How many times the spread of a size fits between its limits. Cp looks at the spread alone, Cpk "
            "also at how far the middle is off. Below 1 some pieces will be outside."
        ),
        source="ISO 22514-2, from memory",
        see=("limits", "drift"),
    ),
    Word(
        "chip-load",
        said("Feed a tooth"),
        said("How far the work moves on for each tooth that comes round. Too little rubs, too much breaks the tooth."),
    ),
    Word(
        "cutting-speed",
        said("Cutting speed"),
        said(
            "How fast the edge goes over the metal, in metres or feet a minute. With the diameter it gives the "
            "revolutions."
        ),
        see=("feed",),
    ),
    Word(
        "datum",
        said("Datum"),
        said("The face or line that everything else is measured from. Clean it first and do not change it half-way."),
        source="ISO 5459",
    ),
    Word(
        "deviation",
        said("Deviation"),
        said("By how much the piece as made differs from the size on the drawing."),
        source="ISO 286-1",
    ),
    Word(
        "dividing",
        said("Dividing"),
        said("Turning the work through equal parts of a circle, by a plate with holes or a wheel with teeth."),
    ),
    Word(
        "drift",
        said("Drift"),
        said("A size that creeps one way from piece to piece, mostly because a tool wears."),
        see=("capability",),
    ),
    Word(
        "feed",
        said("Feed"),
        said("How far the tool moves on in a turn or in a minute."),
        see=("cutting-speed", "chip-load"),
    ),
    Word(
        "first-time-yield",
        said("First-time yield"),
        said(
            "The share of blanks that came out good at once. Pieces that passed only after being put right are "
            "left out."
        ),
        see=("yield", "reworked"),
    ),
    Word(
        "fit",
        said("Fit"),
        said(
            "How tightly two parts go together: with clearance, with either, or pressed. Written as two limits, "
            "such as H7/g6."
        ),
        source="ISO 286-1",
        see=("limits",),
    ),
    Word(
        "full-size",
        said("Full size"),
        said("The size of the real thing. The scale turns it into the size of the model."),
        see=("scale",),
    ),
    Word(
        "general-tolerance",
        said("General tolerance"),
        said("What sizes without limits of their own are held to, such as ISO 2768-m."),
        source="ISO 2768-1",
        see=("limits",),
    ),
    Word(
        "jig",
        said("Jig or fixture"),
        said(
            "A tool made for this build alone: it holds the work or guides the cutter. It takes hours, yet is "
            "no part of the model."
        ),
        see=("detail",),
    ),
    Word(
        "learning",
        said("Learning"),
        said(
            "That the tenth piece takes less time than the first. Told as the share of the time left after each "
            "doubling of the pieces."
        ),
        source="Wright 1936",
        see=("own-rate",),
    ),
    Word(
        "limits",
        said("Limits"),
        said("The smallest and the largest size that a piece may have."),
        source="ISO 286-1",
        see=("fit", "not-decided"),
    ),
    Word(
        "not-decided",
        said("Not decided"),
        said("The piece measures so near to a limit that this instrument cannot tell on which side it is."),
        source="ISO 14253-1, from memory",
        see=("limits", "uncertainty"),
    ),
    Word(
        "operation",
        said("Operation"),
        said("One step of making a part, done in one setting at one machine or at the bench."),
        see=("route", "set-up"),
    ),
    Word(
        "per-cent-of-thread",
        said("Per cent of thread"),
        said(
            "How much of the full height of a thread the tapping drill leaves. 60 to 70 is usual in steel; more "
            "breaks taps and holds no better."
        ),
        see=("tapping-drill",),
    ),
    Word(
        "reworked",
        said("Reworked"),
        said("A good piece that passed only after something was put right."),
        see=("first-time-yield",),
    ),
    Word(
        "route",
        said("Route"),
        said("The operations of a part in their order."),
        see=("operation",),
    ),
    Word(
        "scale",
        said("Scale"),
        said("The size of the model divided by the size of the real thing: at 1:6 a metre becomes a sixth of a metre."),
        source="ISO 5455",
        see=("full-size",),
    ),
    Word(
        "scrap",
        said("Scrap"),
        said("A piece that cannot be used any more. It is counted where it was lost, with the reason."),
        see=("yield",),
    ),
    Word(
        "set-up",
        said("Set-up"),
        said("The time to get ready before the first piece: chuck, vice, tool, zero. It is counted once for a batch."),
        see=("batch", "operation"),
    ),
    Word(
        "sheet",
        said("Sheet"),
        said("One drawing of the set, with its number, its title and its revision."),
        source="ISO 7200",
        see=("title-block", "remark"),
    ),
    Word(
        "spare",
        said("Spare"),
        said("A piece made beyond what the build needs, so that one may be lost later."),
        see=("batch",),
    ),
    Word(
        "spring-pass",
        said("Spring pass"),
        said(
            "A pass at the same setting as the last one, which takes off what the tool or the work had bent away from."
        ),
    ),
    Word(
        "stock",
        said("Stock"),
        said("Metal as it is bought: bar, plate, tube, casting."),
        see=("blank",),
    ),
    Word(
        "swarf",
        said("Swarf"),
        said("What comes off: chips, shavings and dust. Brush it away, never with the hand."),
    ),
    Word(
        "tapping-drill",
        said("Tapping drill"),
        said("The drill for a hole that is to be tapped."),
        see=("per-cent-of-thread",),
    ),
    Word(
        "title-block",
        said("Title block"),
        said("The frame on a drawing with its title, number, scale, day and name."),
        source="ISO 7200",
        see=("sheet",),
    ),
    Word(
        "uncertainty",
        said("Uncertainty"),
        said("By how much what the instrument says may be off, either way."),
        source="JCGM 100, from memory",
        see=("not-decided",),
    ),
    Word(
        "yield",
        said("Yield"),
        said(
            "Good pieces divided by good and scrapped pieces. Counted so far it is what happened; expected of "
            "the next blank it is what to plan with."
        ),
        see=("first-time-yield", "blank"),
    ),
)
