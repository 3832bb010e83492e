"""Lines that are about to be logged, held against the log: what is odd about them is asked about before."""

from collections.abc import Sequence
from dataclasses import replace

from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone

from builds.forms.log.asking import AskingForm
from builds.models import Entry
from builds.queries.log.oddities import oddities_of, still_odd
from builds.queries.snapshot import PartsAtHand
from builds.services.log.clock import evening_of
from builds.services.log.entries import LogLine, check_entries, entry_for
from calcs.messages import _


def remarked(
    request: HttpRequest,
    at_hand: PartsAtHand,
    lines: Sequence[LogLine],
    forms: Sequence[AskingForm],
    *,
    instead_of: Entry | None = None,
    clock_overnight: bool = False,
) -> list[LogLine] | None:
    """The lines, each with what is odd about it; None where its form has to ask first, which it then does.

    instead_of: the entry whose place the one line takes; what was as odd about that is not asked again.
    Raises ValidationError where the log would refuse a line that is odd besides.
    """
    entries = [entry_for(at_hand.build, line) for line in lines]
    found = oddities_of(at_hand, entries, instead_of=instead_of, clock_overnight=clock_overnight)
    if any(found):
        # What is refused comes first: nobody should be asked about a line that is sent back anyway.
        check_entries(entries, evening_of(timezone.now()))
    known = oddities_of(at_hand, [instead_of], instead_of=instead_of)[0] if instead_of and any(found) else ()
    asked = [form.ask(one for one in odd if one not in known) for form, odd in zip(forms, found, strict=True)]
    if any(asked):
        on_top = _("Something here is odd, and nothing has been written yet. If it is right, press once more.")
        messages.warning(request, on_top)
        return None
    lasting = still_odd(instead_of, entries[0]) if instead_of is not None else ()
    return [
        replace(line, oddities=[one.kept() for one in (*lasting, *(new for new in odd if new not in lasting))])
        for line, odd in zip(lines, found, strict=True)
    ]
