"""Forms of the shop: machines, materials, builders, photos."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.models import User
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField, LengthField, StepsField
from builds.forms.folds import FoldedMixin
from builds.forms.two_people import SeenMixin
from builds.models import Build, Builder, Instrument, Machine, Material, Offer, Stock
from builds.models.choices import PersonRole
from builds.queries.log.events import EVENT_GROUPS
from builds.services.shop.builders import role_of
from calcs.messages import _
from calcs.typed.figures import read_uncertainty
from calcs.units.registry import LengthUnit

if TYPE_CHECKING:
    from calcs.shop.buying import Cutting

ROLES = gettext_lazy(
    "An owner adds people, a builder logs work and changes the plans, an onlooker reads and changes nothing."
)


class MachineForm(FoldedMixin, SeenMixin, forms.ModelForm):
    folds = {
        gettext_lazy("More about it"): ("speed_low", "speed_high", "power_watts", "note"),
        gettext_lazy("Out of order"): ("out_of_order_since_on", "out_of_order_note"),
    }
    speeds = StepsField(
        label=gettext_lazy("Spindle speeds in steps, rev/min"),
        required=False,
        help_text=gettext_lazy(
            "60, 110, 200, 360 …, as the belts or gears give them. Or the lowest and highest below."
        ),
    )

    out_of_order_since_on = DateField(
        label=gettext_lazy("Out of order since"),
        required=False,
        help_text=gettext_lazy("Empty while it runs. What needs it is not offered for an evening."),
    )

    class Meta:
        model = Machine
        fields = ["name", "kind", "speeds", "speed_low", "speed_high", "power_watts", "note"]
        fields += ["out_of_order_since_on", "out_of_order_note"]


class MaterialForm(SeenMixin, forms.ModelForm):
    class Meta:
        model = Material
        fields = ["name", "density", "cutting_speed", "cutting_speed_carbide", "note"]
        help_texts = {"density": gettext_lazy("The shop's own figure, where it has one.")}


SECTION_HELP = gettext_lazy(
    "As it is written on the rack: 1-1/4 dia, 1/2 sq, 8 mm A/F hex, 1 x 1/4 flat, 3/16 tube x 22 swg, 1/2 plate."
)
LENGTH_HELP = gettext_lazy("2 ft, 36 in, 1000 mm. Of a plate both sides of its face: 12 x 8.")


class OfSectionForm(SeenMixin, forms.ModelForm):
    """Stock, or a length on sale. A new one is offered in the units of the one before it."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is None:
            kept = self._meta.model._default_manager.order_by("-pk").values_list("units", flat=True).first()
            # None yet: in those of the newest build.
            self.initial["units"] = kept or Build.objects.order_by("-pk").values_list("units", flat=True).first()


class StockForm(OfSectionForm):
    class Meta:
        model = Stock
        fields = ["material", "section", "length", "units", "pieces", "note"]
        help_texts = {
            "section": SECTION_HELP,
            "length": LENGTH_HELP,
            "pieces": gettext_lazy("0 keeps the row: such stock is kept, and none is left."),
        }


class OfferForm(OfSectionForm):
    class Meta:
        model = Offer
        fields = ["material", "section", "length", "units", "price", "supplier"]
        help_texts = {
            "section": SECTION_HELP,
            "length": LENGTH_HELP,
            "price": gettext_lazy("Of one such length. Empty is not known, 0 is free."),
        }


class InstrumentForm(SeenMixin, forms.ModelForm):
    class Meta:
        model = Instrument
        fields = ["name", "uncertainty", "note"]
        help_texts = {
            "uncertainty": gettext_lazy(
                "0.002 mm, ±2 µm, .0001 in. A figure so near to a limit is neither in nor out. Empty is not known."
            )
        }

    def clean_uncertainty(self) -> str:
        text: str = self.cleaned_data["uncertainty"].strip()
        reading = read_uncertainty(text)
        if text and reading.value is None:
            raise forms.ValidationError(reading.message)
        return text


# What is asked while nobody asked otherwise, by the build's unit; common practice for a small shop.
USUAL_CUTTING: dict[LengthUnit, dict[str, str]] = {
    "mm": {"kerf": "3 mm", "end": "15 mm", "bar": "1000 mm", "allowance": "15"},
    "in": {"kerf": "1/8 in", "end": "5/8 in", "bar": "36 in", "allowance": "15"},
}


class CuttingForm(forms.Form):
    """How bars are cut. A GET form: its address can be kept and sent, and nothing is stored."""

    kerf = LengthField(label=gettext_lazy("Saw cut"))
    end = LengthField(label=gettext_lazy("End that is held"))
    bar = LengthField(label=gettext_lazy("Length on sale, where none is recorded"))
    allowance = forms.FloatField(
        label=gettext_lazy("Plate: more than its blanks, %"),
        min_value=0,
        max_value=300,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "size": 4}),
        error_messages={
            "invalid": gettext_lazy("Give per cent as a number, such as 15."),
            "min_value": gettext_lazy("Less plate than the blanks have is not enough. Give 0 or more."),
            "max_value": gettext_lazy("Give at most 300 per cent."),
        },
    )

    def __init__(self, data: Mapping[str, str], *, unit: LengthUnit) -> None:
        asked = {name: data[name] for name in self.base_fields if name in data}
        super().__init__({**USUAL_CUTTING[unit], **asked})
        self.asks_otherwise = bool(asked)
        for name in ("kerf", "end", "bar"):
            self.fields[name].unit = unit  # type: ignore[attr-defined]

    def clean_bar(self) -> float:
        length: float = self.cleaned_data["bar"]
        if length <= 0:
            raise forms.ValidationError(_("A length is more than nothing."))
        return length

    @property
    def asked(self) -> "Cutting | None":
        """How it is cut; None where something typed was refused."""
        from calcs.shop.buying import Cutting

        if not self.is_valid():
            return None
        given = self.cleaned_data
        return Cutting(given["kerf"], given["end"], given["bar"], given["allowance"] / 100)


class PhotoForm(forms.Form):
    # Named by kind, so that a phone that keeps others offers what can be opened.
    image = forms.FileField(
        label=gettext_lazy("Picture"), widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"})
    )
    caption = forms.CharField(label=gettext_lazy("Caption"), required=False, max_length=200)
    taken_on = DateField(label=gettext_lazy("Taken on"), required=False)
    part = forms.ModelChoiceField(
        label=gettext_lazy("Part"), required=False, queryset=None, empty_label=gettext_lazy("the build as a whole")
    )

    def __init__(self, *args: object, build: Build, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.fields["part"].queryset = build.parts.all()


class SignInForm(AuthenticationForm):
    """Django's, but a name that nobody can have is wrong at once: attempts are written down, and it fits no column."""

    def clean(self) -> dict[str, Any]:
        if len(self.cleaned_data.get("username", "")) > User._meta.get_field("username").max_length:
            raise self.get_invalid_login_error()
        return super().clean()


class PersonForm(forms.Form):
    """Somebody who may sign in."""

    username = forms.CharField(
        label=gettext_lazy("Sign-in name"), max_length=150, help_text=gettext_lazy("Letters, digits and @ . + - _")
    )
    full_name = forms.CharField(label=gettext_lazy("Name in the log book"), required=False, max_length=80)
    password = forms.CharField(
        label=gettext_lazy("Password"),
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=gettext_lazy("At least ten characters, not only digits."),
    )


class NewPersonForm(PersonForm):
    role = forms.ChoiceField(label=gettext_lazy("Role"), choices=PersonRole, help_text=ROLES)
    field_order = ["username", "full_name", "role"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["role"].initial = PersonRole.BUILDER
        self.fields["role"].required = False

    def clean_role(self) -> str:
        """A builder, where nothing else is said."""
        return self.cleaned_data["role"] or PersonRole.BUILDER


class EditPersonForm(SeenMixin, forms.Form):
    """What somebody may do."""

    role = forms.ChoiceField(label=gettext_lazy("Role"), choices=PersonRole, help_text=ROLES)
    may_sign_in = forms.BooleanField(label=gettext_lazy("May sign in"), required=False)
    password = forms.CharField(
        label=gettext_lazy("New password"),
        required=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text=gettext_lazy("Left empty, the password stays. A new one signs them out everywhere."),
    )

    def __init__(self, *args: Any, entry: Builder, **kwargs: Any) -> None:
        initial = {"role": role_of(entry), "may_sign_in": entry.user is not None and entry.user.is_active}
        super().__init__(*args, entry=entry, **{**kwargs, "initial": initial})


class EventFilterForm(forms.Form):
    """The filters above what everybody did."""

    by = forms.TypedChoiceField(label=gettext_lazy("Who"), required=False, coerce=int, empty_value=None)
    group = forms.ChoiceField(label=gettext_lazy("What"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Builder.objects.filter(events__isnull=False).distinct().values_list("pk", "name")
        self.fields["by"].choices = [
            ("", gettext_lazy("anybody")), *people, (0, gettext_lazy("nobody who was signed in"))
        ]  # fmt: skip
        groups = [(name, words) for name, (words, types) in EVENT_GROUPS.items()]
        self.fields["group"].choices = [("", gettext_lazy("everything")), *groups]

    def asked(self) -> dict[str, Any]:
        """The filter; a field that was refused asks for nothing."""
        self.full_clean()
        return self.cleaned_data


class WelcomeForm(PersonForm):
    code = forms.CharField(label=gettext_lazy("The code that the server printed when it started"), max_length=40)
    field_order = ["code"]
