"""A picture."""

from datetime import date

from django.db import models
from django.utils.text import slugify

from builds.models.build import Build
from builds.models.entry import Entry
from builds.models.history import kept_history
from builds.models.part import Part
from calcs.messages import _


def place_of_photo(photo: "Photo", name: str) -> str:
    """By build and part, so that the folder, and a backup of it, is read without this program."""
    shows = slugify(f"{photo.part.number} {photo.part.name}")[:30] if photo.part else ""
    return f"{photo.build.slug[:30]}/{shows or 'build-as-a-whole'}/{name[-30:]}"


class Photo(models.Model):
    """A picture of a build, a part or an entry."""

    build = models.ForeignKey(Build, on_delete=models.CASCADE, related_name="photos")
    part = models.ForeignKey(Part, on_delete=models.SET_NULL, null=True, blank=True, related_name="photos")
    entry = models.ForeignKey(Entry, on_delete=models.SET_NULL, null=True, blank=True, related_name="photos")
    image = models.ImageField(upload_to=place_of_photo)
    caption = models.CharField(max_length=200, blank=True)
    taken_on = models.DateField(null=True, blank=True)
    # Shown to anybody, on the board and what hangs from it; never without this tick.
    for_visitors = models.BooleanField(default=False)
    added_at = models.DateTimeField(auto_now_add=True)
    history = kept_history(excluded_fields=["added_at"])

    class Meta:
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.caption or _("photo {number}", number=self.pk)

    @property
    def day(self) -> date | None:
        """The day it was taken on: what was said, or else that of its entry. None where neither tells."""
        return self.taken_on or (self.entry.worked_on if self.entry is not None else None)
