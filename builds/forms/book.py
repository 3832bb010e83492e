"""Which paper a build book is made on."""

from django import forms
from django.utils.translation import gettext_lazy

SIZES = (("a4", gettext_lazy("A4")), ("letter", gettext_lazy("Letter")))


class BookForm(forms.Form):
    size = forms.ChoiceField(label=gettext_lazy("Paper"), choices=SIZES, initial="a4")
