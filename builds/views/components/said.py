"""What the program says: messages, refusals, what is empty, where one is, figures and tables."""

from django.contrib.messages import constants
from django.contrib.messages.storage.base import Message
from django.core.paginator import Paginator

from builds.forms.refused import Refusal
from builds.queries.log.account import BenchAccount
from builds.views.components.shown import Group, Sample, Shown

MESSAGES = (
    Message(constants.INFO, "Part 12 is out of the plan.", "/"),
    Message(constants.SUCCESS, "Logged: 2 h 30 min on the crosshead, 3 good."),
    Message(constants.WARNING, "The last evening in the log was five weeks ago."),
    Message(constants.ERROR, "The file holds no record of a build."),
)
REFUSALS = [
    Refusal("Bench time", "“two and a bit” is no time.", "id_shown-refused-time"),
    Refusal("", "More pieces passed than were in work.", "id_shown-refused-pieces"),
    Refusal("Cover nut", "Nothing is known of this one."),
]
ACCOUNT = BenchAccount(parts=5_400, shop_time={"tidying": 90, "other": 30}, uncounted={"buying": 240})
PRACTICE = "common practice"
PAGES = Paginator(range(50), 10)

MESSAGES_AND_REFUSALS = Group(
    "Messages and refusals",
    (
        Shown("developers/messages.html", "each level; the first with what takes it back", {"said": MESSAGES}),
        Shown("components/refused.html", "on top of a page", {"refusals": REFUSALS}),
        Shown(
            "components/refusals.html",
            "of a form as a whole",
            {"form": Sample(non_field_errors=["Either a time or pieces are wanted.", "The day lies ahead."])},
        ),
        Shown(
            "components/questions.html",
            "asked before it is logged",
            {"form": Sample(questions=[Sample(words="26 h on one day.", hint="Is the day right?")])},
        ),
        Shown(
            "arithmetic/cautions.html",
            "a caution",
            {
                "cautions": Sample(
                    cautions=[Sample(words="Hot oil flashes: quench outside, lid at hand.", source=PRACTICE)],
                    always=["Guards on, chuck key out."],
                )
            },
        ),
        Shown(
            "components/empty.html",
            "empty, with a way on",
            {
                "title": "No photos yet",
                "words": "A photo may stand with a part or an evening.",
                "to": "#",
                "doing": "Add one",
            },
        ),
        Shown("components/empty.html", "empty, nothing to do about it", {"title": "Nothing was scrapped"}),
        Shown("components/backupage.html", "no backup yet", {"place": Sample(last=None, too_old=False)}),
        Shown("components/account.html", "why totals differ", {"account": ACCOUNT}),
    ),
)
WAYS = Group(
    "Ways",
    (
        Shown("components/pager.html", "in the middle of a list", {"page": PAGES.page(3)}),
        Shown("components/instead.html", "in the place of one thing", {"instead": [("#", "a part"), ("#", "a list")]}),
        Shown("components/step.html", "from a new shop to its first evening", {"step": 2}),
        Shown("components/tablelinks.html", "as a table", {"name": "log"}),
        Shown("components/languages.html", "languages of a visitors’ page"),
        Shown("components/editlink.html", "a row’s way to its form", {"to": "#", "what": "part 12"}),
        Shown("components/lazyfold.html", "a fold that is fetched", {"id": "lazy", "title": "More of it", "to": "."}),
        Shown("developers/ways.html", "lists of ways, filters, a word, remarks, flags"),
    ),
)
FIGURES = Group(
    "Figures and tables",
    (
        Shown("developers/figures.html", "figures, an answer, numbers that are not known, cards on a phone"),
        Shown(
            "components/table.html",
            "figures to the right",
            {
                "label": "Hours by month",
                "caption": "Hours by month",
                "numbers": None,
                "heads": ("Month", "Hours", "Pieces"),
                "rows": (("May", "12.5", "3"), ("June", "8", "11")),
            },
        ),
        Shown(
            "components/titleblock.html",
            "a title block",
            {
                "block": [
                    {"label": "Build", "value": "Beam engine, 1:12", "wide": True},
                    {"label": "Scale", "value": "1:12"},
                    {"label": "Sheets", "value": "14"},
                    {"label": "Hours done", "value": "about 640 h"},
                ]
            },
        ),
        Shown(
            "components/working.html",
            "a working, open",
            {
                "open": True,
                "working": Sample(
                    title="spindle speed",
                    steps=[
                        Sample(symbol="v", formula="cutting speed", numbers="", shown="30 m/min", source=PRACTICE),
                        Sample(
                            symbol="n", formula="v / (π d)", numbers="30 / (π × 0.012)", shown="796 rev/min", source=""
                        ),
                    ],
                ),
            },
        ),
        Shown(
            "developers/log.html",
            "rows of the log",
            {
                "entries": [
                    Sample(
                        pk=1,
                        part=None,
                        get_activity_display="tidying",
                        bench_is="exact",
                        bench_minutes=45,
                        builder="Ada",
                    ),
                ]
            },
        ),
    ),
)
