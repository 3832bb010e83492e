"""Photos of an evening: several at once, and a caption for each that is there."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.models import Photo
from calcs.messages import _

# What one form takes; more go with the next.
MOST_AT_ONCE = 12


class SeveralFilesInput(forms.ClearableFileInput):
    allow_multiple_selected = True
    template_name = "django/forms/widgets/file.html"


class SeveralFilesField(forms.FileField):
    """Cleans to the list of files that were chosen."""

    widget = SeveralFilesInput

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        chosen = data if isinstance(data, list | tuple) else [data] if data else []
        if len(chosen) > MOST_AT_ONCE:
            raise ValidationError(_("Up to {most} pictures at once; send the others after these.", most=MOST_AT_ONCE))
        return [super(SeveralFilesField, self).clean(one, initial) for one in chosen]


class EntryPhotosForm(forms.Form):
    # Named by kind, so that a phone that keeps others offers what can be opened.
    images = SeveralFilesField(
        label=gettext_lazy("Pictures, several at once"),
        required=False,
        widget=SeveralFilesInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )

    def __init__(self, *args: Any, photos: list[Photo], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.photos = photos
        for photo in photos:
            self.fields[f"caption-{photo.pk}"] = forms.CharField(
                label=gettext_lazy("Caption"), required=False, max_length=200, initial=photo.caption
            )

    @property
    def shown(self) -> list[tuple[Photo, forms.BoundField]]:
        return [(photo, self[f"caption-{photo.pk}"]) for photo in self.photos]

    def recaptioned(self) -> list[tuple[Photo, str]]:
        """The photos whose caption was changed, with the new one."""
        given = [(photo, self.cleaned_data[f"caption-{photo.pk}"]) for photo in self.photos]
        return [(photo, caption) for photo, caption in given if caption != photo.caption]
