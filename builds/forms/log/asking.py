"""What is odd is asked about once: the form comes back as it was, and sent again as it stands it says yes."""

from collections.abc import Iterable

from django import forms

from builds.models.oddity import Oddity


class AskingForm(forms.Form):
    """A form that may come back with questions. A yes holds for what was shown, and for nothing else that is odd."""

    confirmed = forms.CharField(widget=forms.HiddenInput, required=False, max_length=2000)
    questions: tuple[Oddity, ...] = ()

    def ask(self, oddities: Iterable[Oddity]) -> bool:
        """Whether something has to be asked first, which then stands in `questions`."""
        found = tuple(oddities)
        said = set(self.cleaned_data["confirmed"].split(SEPARATOR))
        if all(one.mark in said for one in found):
            return False
        self.questions = found
        self.data = self.data.copy()
        self.data[self.add_prefix("confirmed")] = SEPARATOR.join(one.mark for one in found)
        return True


SEPARATOR = ";"
