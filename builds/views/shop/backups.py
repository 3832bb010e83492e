"""The backups, for the owner."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from builds.models.choices import EventType
from builds.permissions import for_owners, the_builder
from builds.services.changes import note
from builds.transfer.backup.kept import back_up_everywhere, places
from builds.transfer.backup.layout import BackupError
from calcs.messages import _


@for_owners
def backups_page(request: HttpRequest) -> HttpResponse:
    """What there is, and the button for one more."""
    if request.method == "POST":
        try:
            made = back_up_everywhere()
        except BackupError as error:
            messages.error(request, str(error))
        else:
            note(by=the_builder(request), type=EventType.BACK_UP, name=made.name)
            messages.success(request, _("The backup {name} is made and was read again.", name=made.name))
        return redirect(request.path)
    return render(request, "shop/backups.html", {"places": places(timezone.now()), "here": "backups"})
