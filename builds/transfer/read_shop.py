"""From a record file: the build's title block, and the shop's machines and materials."""

from typing import TypeVar

from django.db import models

from builds.models import Build, Machine, Material
from builds.models.build import every_activity
from builds.models.choices import Activity, BuildState, Units
from builds.services.plan.records import free_slug
from builds.transfer.complaints import known, quoted
from builds.transfer.draft import Draft
from builds.transfer.fields import Fields
from builds.transfer.references import Register

ShopRow = TypeVar("ShopRow", Machine, Material)


def read_build(fields: Fields, name: str | None) -> Build:
    """The title block. `name` is what the build is to be called here, where it is not to keep its own name."""
    own_name = fields.of_model("name", Build, needed=True)
    called = own_name if name is None else name
    build = Build(
        name=called,
        slug=free_slug(called),
        subject=fields.of_model("subject", Build),
        scale=fields.of_model("scale", Build),
        units=fields.choice("units", Units, "a unit that drawings are in", "units", Units.MM),
        started_on=fields.day("started_on"),
        wished_finish_on=fields.day("wished_finish_on"),
        state=fields.choice("state", BuildState, "a state of a build", "states", BuildState.ACTIVE),
        on_board=fields.truth("on_board", default=False),
        date_on_board=fields.truth("date_on_board", default=True),
        for_visitors=fields.of_model("for_visitors", Build),
        activities_counted=_activities(fields),
        for_counter=fields.truth("for_counter", default=False),
        hourly_figure=fields.money("hourly_figure", most=999_999),
        currency=fields.of_model("currency", Build),
    )
    if build.started_on and build.wished_finish_on and build.wished_finish_on < build.started_on:
        fields.refuse("wished_finish_on", "The wished finish lies before the start.")
    fields.done()
    return build


def _activities(fields: Fields) -> list[str]:
    if fields.raw("activities_counted") is None:
        return every_activity()
    named = fields.listed("activities_counted")
    for i, activity in enumerate(named):
        if activity not in Activity.values:
            sentence = f"{quoted(activity)} is not shop time. Known activities: {known(Activity.values)}."
            fields.refuse(f"activities_counted[{i}]", sentence)
    return list(named)


def read_machines(file: Fields, draft: Draft) -> None:
    for fields in file.rows("machines"):
        machine = Machine(
            name=fields.of_model("name", Machine, needed=True),
            kind=fields.of_model("kind", Machine),
            speeds=_speeds(fields),
            speed_low=fields.number("speed_low", None, above=True),
            speed_high=fields.number("speed_high", None, above=True),
            power_watts=fields.number("power_watts", None, above=True),
            note=fields.of_model("note", Machine),
        )
        low, high = machine.speed_low, machine.speed_high
        if (low is None) != (high is None) or (low is not None and high is not None and high < low):
            sentence = "Give both the lowest and the highest speed, the lowest first, or neither."
            fields.refuse("speed_high" if low is not None else "speed_low", sentence)
        fields.done()
        draft.machines.add(fields, "name", machine.name, machine)
    _prefer_the_shops_own(draft.machines, Machine, draft.notes)


def _speeds(fields: Fields) -> list[float]:
    named = fields.listed("speeds")
    return [fields.as_number(f"speeds[{i}]", s, least=0, most=1e9, above=True) for i, s in enumerate(named)]


def read_materials(file: Fields, draft: Draft) -> None:
    for fields in file.rows("materials"):
        material = Material(
            name=fields.of_model("name", Material, needed=True),
            density=fields.number("density", None, above=True, most=24_999),
            cutting_speed=fields.number("cutting_speed", None, above=True),
            cutting_speed_carbide=fields.number("cutting_speed_carbide", None, above=True),
            note=fields.of_model("note", Material),
        )
        fields.done()
        draft.materials.add(fields, "name", material.name, material)
    _prefer_the_shops_own(draft.materials, Material, draft.notes)


def _prefer_the_shops_own(register: Register[ShopRow], model: type[ShopRow], notes: list[str]) -> None:
    """Machines and materials are shared by all builds, so a row that the shop has keeps the shop's figures."""
    in_file = dict(register.by_key)
    for kept in model.objects.filter(name__in=list(in_file)):
        register.replace(kept.name, kept)
        differing = [f.verbose_name for f in _figures(model) if _differs(f, kept, in_file[kept.name])]
        if differing:
            notes.append(
                f"The shop has the {register.what} {quoted(kept.name)} already, and its own figures were kept; "
                f"the file has another {known(differing)}."
            )


def _figures(model: type[models.Model]) -> list["models.Field[object, object]"]:
    return [field for field in model._meta.concrete_fields if field.name not in ("id", "name")]


def _differs(field: "models.Field[object, object]", kept: models.Model, other: models.Model) -> bool:
    return bool(getattr(kept, field.name) != getattr(other, field.name))
