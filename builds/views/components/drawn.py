"""What is drawn: pieces, lines, ranges, charts, rows of the plan and of a route."""

from types import SimpleNamespace

from builds.charts.repeats.scrap_reasons import scrap_reasons
from builds.queries.plan.piece_row import PieceRow, groups_of
from builds.views.components.shown import Group, Sample, Shown

EVERY_STATE = {"good": 7, "reworked": 2, "work": 2, "make": 3, "spare": 1, "scrap": 2}
LEFT, NONE_LEFT = Sample(p50=12.4, p10=8.0, p90=20.0), Sample(p50=0.0, p10=0.0, p90=0.0)


def _row(**numbers: int) -> PieceRow:
    words = ", ".join(f"{number} {state}" for state, number in numbers.items())
    return PieceRow(groups_of(numbers), f"Cover nut: {words}")


def _operation(number: int, title: str, kind: str, **more: object) -> Sample:
    plain = {
        "pk": number,
        "number": number,
        "title": title,
        "get_kind_display": kind,
        "minutes_per_unit": 12.0,
        "minutes_per_piece": 12.0,
        "basis": "piece",
        "setup_minutes": 20.0,
        "note": "",
    }
    return SimpleNamespace(**{**plain, **more})


def _part(number: str, name: str, made: str, percent: str, **more: object) -> Sample:
    part = Sample(pk=0, number=number, name=name, is_detail=True, waiting_for="")
    return Sample(
        line=SimpleNamespace(**{"part": part, "quantity_made": 0, "unestimated": False, **more}),
        words=made,
        percent_done=percent,
        hours_left=NONE_LEFT if percent == "100" else LEFT,
    )


def _tree() -> Sample:
    parts = [
        _part("12", "Cover nut", "9 of 24", "37"),
        _part("13", "Crosshead", "1 of 1", "100", quantity_made=1),
        _part("14", "Governor ball", "0 of 2", "0", unestimated=True),
    ]
    counts = Sample(others=[Sample(words="2 bought parts")], details=Sample(of=27, figures="10 of 27"))
    inner = Sample(
        assembly=None,
        finished=True,
        name="Governor",
        counts=counts,
        percent_done="100",
        parts=[],
        branches=[],
        hours_left=NONE_LEFT,
    )
    return Sample(
        assembly=None,
        finished=False,
        name="Cylinder",
        counts=counts,
        percent_done="37",
        parts=parts,
        branches=[inner],
        hours_left=LEFT,
    )


def _route() -> list[dict[str, object]]:
    nothing, some = Sample(entries=0, good=0, scrap=0), Sample(entries=2, bench_minutes=95, good=9, reworked=2, scrap=1)
    return [
        {"op": _operation(10, "Turn and face", "turning"), "tally": some, "passed": 24, "to_go": 0},
        {
            "op": _operation(20, "Drill and tap", "tapping", origin="rough", slip_costs_time=True),
            "tally": some,
            "passed": 9,
            "to_go": 15,
        },
        {
            "op": _operation(30, "", "fitting", minutes_per_unit=None, note="Mark each to its stud."),
            "tally": nothing,
            "passed": 0,
            "to_go": 24,
        },
    ]


def groups() -> tuple[Group, ...]:
    row = "components/piecerow.html"
    reasons = (("bore too large", 7, 0.5), ("tap broke", 4, 0.29), ("fell off the bench", 3, 0.21))
    lost = scrap_reasons(tuple(Sample(name=name, pieces=n, share=share, within=share) for name, n, share in reasons))
    spread = {
        "low": "30",
        "mid": "48",
        "high": "75",
        "from": "today",
        "to": "May 2028",
        "done": "12",
        "text": "Even chance: March 2027; 4 chances in 5 between January and September.",
    }
    return (
        Group(
            "Pieces",
            (
                Shown("components/piecekey.html", "the key", {"tens": True}),
                Shown(row, "every state", {"row": _row(**EVERY_STATE), "say": True}),
                Shown(row, "read aloud only", {"row": _row(good=12, make=24)}),
                Shown(
                    row,
                    "more than 60: by tens",
                    {"row": _row(good=43, reworked=11, work=5, make=37, spare=12, scrap=14), "say": True},
                ),
            ),
        ),
        Group(
            "Lines",
            (
                Shown("components/linekey.html", "the key"),
                *(Shown("components/bar.html", f"{done} in a hundred", {"done": done}) for done in ("0", "40", "100")),
                Shown("components/spread.html", "a range of doubt", {"spread": spread}),
            ),
        ),
        Group("Charts", (Shown("components/chart.html", "with its table", {"chart": lost}),)),
        Group(
            "Plan and route",
            (
                Shown(
                    "developers/tree.html",
                    "an assembly, parts in each state, one that is finished",
                    {"branch": _tree()},
                ),
                Shown(
                    "developers/route.html",
                    "done, begun, without a figure",
                    {"rows": _route(), "part": Sample(is_work=False)},
                ),
            ),
        ),
    )
