"""The lines of an evening as they were sent: one more, one less, or one of several works taken apart."""

from django.http import QueryDict

from builds.forms.log.bench import EveningLines
from builds.forms.log.counts import note_with_time
from builds.forms.log.work import WorkChoices
from calcs.typed.durations import read_duration
from calcs.typed.reading import Reading


def count_lines(data: QueryDict) -> int:
    said = data.get("form-TOTAL_FORMS", "")
    return max(1, int(said)) if said.isdecimal() and len(said) < 3 else 1


def add_line(data: QueryDict) -> None:
    data["form-TOTAL_FORMS"] = str(min(count_lines(data) + 1, EveningLines.max_num))


def take_away(data: QueryDict, index: str) -> None:
    """Take one of the added lines away; those behind it move up."""
    count = count_lines(data)
    if not index.isdecimal() or len(index) > 2 or not 0 < int(index) < count:
        return
    for place in range(int(index), count):
        _move(data, place + 1, place)
    data["form-TOTAL_FORMS"] = str(count - 1)
    data["form-INITIAL_FORMS"] = "0"


def _move(data: QueryDict, place: int, to: int) -> None:
    """What stands in one line takes the place of another, and leaves its own empty."""
    for name in [name for name in data if name.startswith(f"form-{to}-")]:
        del data[name]
    for name in [name for name in data if name.startswith(f"form-{place}-")]:
        data.setlist(f"form-{to}-{name.removeprefix(f'form-{place}-')}", data.getlist(name))
        del data[name]


def take_apart(data: QueryDict, choices: WorkChoices) -> dict[int, Reading]:
    """Give each work of a time such as "2h turning + 1h milling" a line of its own, as far as there is room.

    Returns the readings of what was taken apart, by the line that begins with it.
    """
    apart = {}
    for place in reversed(range(min(count_lines(data), EveningLines.max_num))):
        reading = read_duration(data.get(f"form-{place}-time", ""))
        more = max(0, len(reading.lines) - 1)
        if more and count_lines(data) + more <= EveningLines.max_num:
            apart = {place: reading, **{other + more: read for other, read in apart.items()}}
            _make_room(data, place, more)
            for index, work in enumerate(reading.lines):
                _fill(data, place, place + index, work, choices)
    return apart


def _make_room(data: QueryDict, place: int, more: int) -> None:
    count = count_lines(data)
    for behind in reversed(range(place + 1, count)):
        _move(data, behind, behind + more)
    data["form-TOTAL_FORMS"] = str(count + more)


def _fill(data: QueryDict, first: int, place: int, work: Reading, choices: WorkChoices) -> None:
    """One work's time and note; a work behind the first looks for its operation on the first one's part."""
    line = f"form-{place}-"
    data[f"{line}note"] = note_with_time(data.get(f"{line}note", ""), work)
    data[f"{line}time"] = work.text
    if place != first:
        chosen = data.get(f"form-{first}-other") or data.get(f"form-{first}-work") or ""
        data[f"{line}other"] = choices.of_same_part(chosen, work.note)
        data[f"{line}find"] = "" if data[f"{line}other"] else work.note[:80]
