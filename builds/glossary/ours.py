"""Words that this program gives one meaning of its own."""

from functools import partial

from builds.glossary import word
from calcs.messages import gettext_noop

Word = partial(word.Word, source="this program")

OURS = (
    Word(
        "amend",
        gettext_noop("Amend"),
        gettext_noop("To put an entry of the log right. What it said before is kept in the history."),
    ),
    Word(
        "basis",
        gettext_noop("Counted by"),
        gettext_noop(
            "What the time of an operation is multiplied by: a piece, a hole, a cubic centimetre, a tooth or a "
            "centimetre of cut."
        ),
        see=("set-up",),
    ),
    Word(
        "chance",
        gettext_noop("Chance"),
        gettext_noop(
            "In how many of so many simulated futures it comes out that way. A range with 4 chances in 5 is meant "
            "to be wrong once in five."
        ),
        see=("even-chance", "range"),
    ),
    Word(
        "closure",
        gettext_noop("Closure"),
        gettext_noop("Days on which the shop is shut, or works fewer hours than usual. The forecast leaves them out."),
        see=("pace",),
    ),
    Word(
        "detail",
        gettext_noop("Detail"),
        gettext_noop(
            "A part that is drawn and made, and counts as one of the parts of the model. Jigs, bought parts and "
            "work on an assembly are counted apart."
        ),
        see=("jig", "work-on-an-assembly"),
    ),
    Word(
        "entry",
        gettext_noop("Entry"),
        gettext_noop("One line of the log book: what was worked on, how long, and what came of it."),
    ),
    Word(
        "even-chance",
        gettext_noop("Even chance"),
        gettext_noop(
            "1 chance in 2: what comes may as well be more as less. It lies within the range, mostly a little below "
            "its middle, and is no promise."
        ),
        see=("range", "fairly-safe"),
    ),
    Word(
        "fairly-safe",
        gettext_noop("Fairly safe"),
        gettext_noop(
            "The figure that is not passed, with 4 chances in 5: a later day or more hours than the even chance."
        ),
        see=("even-chance", "range"),
    ),
    Word(
        "on-its-way",
        gettext_noop("On its way"),
        gettext_noop("Ordered and not here yet. Work that needs it waits."),
        see=("waiting",),
    ),
    Word(
        "milestone",
        gettext_noop("Milestone"),
        gettext_noop(
            "A day to look forward to before the whole is finished, such as the first turn on air, and the "
            "parts it needs."
        ),
    ),
    Word(
        "own-rate",
        gettext_noop("Your rate"),
        gettext_noop(
            "How long this shop takes, by its own log: logged time divided by planned time, by kind of operation."
        ),
        see=("learning", "operation"),
    ),
    Word(
        "pace",
        gettext_noop("Pace"),
        gettext_noop("Hours a week at the bench. Recent weeks count more; weeks without an entry count as none."),
        see=("closure",),
    ),
    Word(
        "in-work",
        gettext_noop("In work"),
        gettext_noop("Begun and not finished: a piece that has been through some of its operations."),
    ),
    Word(
        "range",
        gettext_noop("Range"),
        gettext_noop(
            "From the figure that holds with 1 chance in 10 to the one that holds with 9 chances in 10. What comes "
            "lies in it with 4 chances in 5."
        ),
        see=("even-chance", "chance"),
    ),
    Word(
        "remark",
        gettext_noop("Remark on a sheet"),
        gettext_noop("What the drawing says and what was made instead, pinned to the place on the drawing."),
        see=("sheet",),
    ),
    Word(
        "rough-time",
        gettext_noop("Rough time"),
        gettext_noop("A guess in hours for a whole part, before its operations are known. It gives way to them."),
        see=("operation",),
    ),
    Word(
        "shop-time",
        gettext_noop("Shop time"),
        gettext_noop(
            "Hours that go into no part: drawings, jigs, tidying, buying. You say which of them count towards "
            "the build."
        ),
    ),
    Word(
        "unattended",
        gettext_noop("Unattended"),
        gettext_noop(
            "Time in which the machine works by itself. It is planned and logged apart from the hours at the bench."
        ),
    ),
    Word(
        "waiting",
        gettext_noop("Waiting"),
        gettext_noop(
            "A part that cannot go on, for its material, for the post, to dry, for a person or for the weather."
        ),
    ),
    Word(
        "work-on-an-assembly",
        gettext_noop("Work on an assembly"),
        gettext_noop("Fitting, testing or painting things together: work without pieces, which is done or not done."),
        see=("detail",),
    ),
)
