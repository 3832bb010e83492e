"""The owner's look behind the pages. Records are shown, not edited: the pages change them, and keep their history."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest

from builds import models


class ShownOnly(admin.ModelAdmin):
    list_per_page = 50

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False


admin.site.site_header = admin.site.site_title = "Swarfbook, behind the pages"
admin.site.register(
    [models.Build, models.Part, models.Operation, models.Need, models.Entry, models.Event, models.Builder], ShownOnly
)
admin.site.register(models.Milestone, ShownOnly)
