"""The assemblies in which something stands."""

from builds.models import Assembly, Part


def assemblies_above(record: Part | Assembly) -> list[Assembly]:
    """The assemblies that a part or an assembly stands in, the outermost first. One query at most."""
    key = record.assembly_id if isinstance(record, Part) else record.parent_id
    if key is None:
        return []
    all_of_them = {one.pk: one for one in Assembly.objects.filter(build=record.build_id)}
    above: list[Assembly] = []
    # One that stands in itself by a round about way is named once.
    while key in all_of_them and all_of_them[key] not in above:
        above.insert(0, all_of_them[key])
        key = above[0].parent_id
    return above
