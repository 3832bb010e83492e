"""From a record file: assemblies, sheets, parts with their routes, batches, closures and milestones."""

from builds.models import Assembly, Batch, Closure, Milestone, Operation, Part, Remark, Sheet, Size
from builds.models.choices import Basis, Kind, Origin, Source, WaitingFor
from builds.transfer.complaints import quoted
from builds.transfer.draft import Draft, MilestoneDraft
from builds.transfer.fields import MOST_MINUTES, Fields


def read_assemblies(file: Fields, draft: Draft) -> None:
    rows = file.rows("assemblies")
    for position, fields in enumerate(rows):
        name = fields.of_model("name", Assembly, needed=True)
        draft.assemblies.add(fields, "name", name, Assembly(build=draft.build, name=name, position=position))
    for fields, assembly in zip(rows, draft.assemblies.by_key.values(), strict=True):
        # An assembly may stand in one that comes later in the file, so parents wait until all are known.
        assembly.parent = draft.assemblies.find(fields, "parent")
        above = assembly.parent
        while above is not None:
            if above is assembly:
                fields.refuse("parent", "An assembly cannot stand inside itself, not by a detour either.")
            above = above.parent
        fields.done()


def read_sheets(file: Fields, draft: Draft) -> None:
    for fields in file.rows("sheets"):
        sheet = Sheet(
            build=draft.build,
            number=fields.of_model("number", Sheet, needed=True, or_number=True),
            title=fields.of_model("title", Sheet),
            revision=fields.of_model("revision", Sheet),
        )
        draft.sheets.add(fields, "number", sheet.number, sheet, sheet.title)
        for remark in fields.rows("remarks"):
            draft.remarks.append(
                Remark(
                    sheet=sheet,
                    drawing_says=remark.of_model("drawing_says", Remark, needed=True),
                    we_made=remark.of_model("we_made", Remark, needed=True),
                    noted_on=remark.day("noted_on"),
                )
            )
            remark.done()
        fields.done()


def read_parts(file: Fields, draft: Draft) -> None:
    for position, fields in enumerate(file.rows("parts")):
        part = Part(
            build=draft.build,
            position=position,
            number=fields.of_model("number", Part, needed=True, or_number=True),
            name=fields.of_model("name", Part, needed=True),
            assembly=draft.assemblies.find(fields, "assembly"),
            sheet=draft.sheets.find(fields, "sheet"),
            quantity=fields.count("quantity", 1, least=1),
            spares=fields.count("spares"),
            material=draft.materials.find(fields, "material"),
            source=fields.choice("source", Source, "a way to come by a part", "ways", Source.MADE),
            blank=fields.of_model("blank", Part),
            finished_mass_grams=fields.number("finished_mass_grams", None, above=True),
            blank_cost=fields.money("blank_cost", most=9_999_999),
            for_visitors=fields.of_model("for_visitors", Part),
            note=fields.of_model("note", Part),
            finished_on=fields.day("finished_on"),
            waiting_for=fields.choice("waiting_for", WaitingFor, "something a part waits for", "reasons", ""),
            waiting_since_on=fields.day("waiting_since"),
            waiting_note=fields.of_model("waiting_note", Part),
        )
        if bool(part.waiting_for) != (part.waiting_since_on is not None):
            sentence = "Say what the part waits for and since when, or leave both out."
            fields.refuse("waiting_since" if part.waiting_for else "waiting_for", sentence)
        draft.parts.add(fields, "number", part.number, part, part.name)
        draft.routes[part.number] = _read_route(fields, part, draft)
        draft.sizes.extend(_read_sizes(fields, part))
        fields.done()


def _read_sizes(fields: Fields, part: Part) -> list[Size]:
    sizes: dict[str, Size] = {}
    for row in fields.rows("sizes"):
        size = Size(
            part=part,
            name=row.of_model("name", Size, needed=True),
            full_size=row.of_model("full_size", Size),
            made=row.of_model("made", Size),
            reason=row.of_model("reason", Size),
        )
        if size.name in sizes:
            row.refuse("name", f"This part has a size {quoted(size.name)} already.")
        sizes[size.name] = size
        row.done()
    return list(sizes.values())


def _read_route(fields: Fields, part: Part, draft: Draft) -> list[Operation]:
    route: dict[int, Operation] = {}
    last = 0
    for row in fields.rows("operations"):
        operation = _read_operation(row, part, draft, after=last)
        last = operation.number
        if last in route:
            row.refuse("number", f"This route has an operation {last} already.")
        route[last] = operation
        row.done()
    return list(route.values())


def _read_operation(row: Fields, part: Part, draft: Draft, after: int) -> Operation:
    if row.raw("kind") is None:
        row.refuse("kind", "This is missing, and it is needed.")
    return Operation(
        part=part,
        number=row.count("number", after + 10),
        kind=row.choice("kind", Kind, "a kind of operation", "kinds", ""),
        title=row.of_model("title", Operation),
        machine=draft.machines.find(row, "machine"),
        setup_minutes=row.figure("setup_minutes", 0.0, most=MOST_MINUTES),
        basis=row.choice("basis", Basis, "something an operation is counted by", "bases", Basis.PIECE),
        amount=row.figure("amount", 1.0, above=True),
        minutes_per_unit=row.number("minutes_per_unit", None, most=MOST_MINUTES),
        origin=row.choice("origin", Origin, "where a figure can come from", "origins", Origin.BY_HAND),
        unattended_share=row.figure("unattended_share", 0.0, most=1),
        note=row.of_model("note", Operation),
        worked=row.plain_object("worked"),
        added_on=row.day("added_on"),
    )


def read_batches(file: Fields, draft: Draft) -> None:
    for fields in file.rows("batches"):
        part = draft.parts.find(fields, "part")
        if part is None:
            fields.refuse("part", "Say of which part this batch is.")
        of_part = draft.batches.setdefault(part.number, {})
        number = fields.count("number", max(of_part, default=0) + 1)
        if number in of_part:
            fields.refuse("number", f"Part {quoted(part.number)} has a batch {number} already.")
        if fields.raw("blanks") is None:
            fields.refuse("blanks", "Say how many blanks the batch was started with.")
        of_part[number] = Batch(
            part=part,
            number=number,
            blanks=fields.count("blanks", 1, least=1),
            started_on=fields.needed_day("started_on"),
            note=fields.of_model("note", Batch),
        )
        fields.done()


def read_closures(file: Fields, draft: Draft) -> None:
    for fields in file.rows("closures"):
        closure = Closure(
            build=draft.build,
            from_on=fields.needed_day("from"),
            to_on=fields.needed_day("to"),
            reason=fields.of_model("reason", Closure),
            hours_per_week=fields.figure("hours_per_week", 0.0, most=168),
        )
        if closure.to_on < closure.from_on:
            fields.refuse("to", "The last day lies before the first.")
        draft.closures.append(closure)
        fields.done()


def read_milestones(file: Fields, draft: Draft) -> None:
    names: set[str] = set()
    for position, fields in enumerate(file.rows("milestones")):
        milestone = Milestone(
            build=draft.build,
            position=position,
            name=fields.of_model("name", Milestone, needed=True),
            reached_on=fields.day("reached_on"),
        )
        if milestone.name in names:
            fields.refuse("name", f"{quoted(milestone.name)} stands twice; each milestone has its own name.")
        names.add(milestone.name)
        parts = draft.parts.find_all(fields, "parts")
        draft.milestones.append(MilestoneDraft(milestone, parts, draft.assemblies.find_all(fields, "assemblies")))
        fields.done()
