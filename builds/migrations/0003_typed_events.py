"""Events get a type and details in the place of an English sentence; and words of the records can be translated."""

import re

import django.db.models.deletion
from django.db import migrations, models
from django.db.migrations.exceptions import IrreversibleError

AT_ONCE = 1000

ACTIVITIES = ("fixtures and tools", "drawings and sums", "finishing", "tidying", "buying", "other")
RECORD = r"(?P<record>assembly|batch|closure|milestone|operation|part|remark|sheet|size) (?P<name>.+)"
MINUTES = r"(?:[1-9]|[1-5]\d) min"
TIME = rf"(?P<minutes>0 min|{MINUTES}|[1-9]\d* h(?: {MINUTES})?)"
ENTRY = r"(?P<day>\d{4}-\d\d-\d\d): (?P<work>.+)"
MANY = r"(?:0|[2-9]|[1-9]\d+)"
WITH_COMMAS = r"(?:0|[1-9]\d{0,2}(?:,\d{3})*)"


def counted(group, one, many, figures=WITH_COMMAS):
    """A number and what it counts, in the singular for one alone."""
    return rf"(?P<{group}>1(?= {one}\b)|(?!1 ){figures}(?= {many}\b)) (?:{one}|{many})"


# Every sentence that the program has written, the particular before the general.
SENTENCES = [(type, re.compile(pattern, re.ASCII | re.DOTALL)) for type, pattern in (
    ("begin build", r"began the build (?P<name>.+)"),
    ("edit build", r"edited the title block of the build"),
    ("import parts", rf"added {counted('parts', 'part', 'parts')} named in (?P<file>.+)"),
    ("import log", rf"took in {counted('entries', 'entry', 'entries')} from (?P<file>.+)"),
    ("import record", rf"took in the record of (?P<name>.+): (?P<parts>{MANY}) parts, (?P<entries>{MANY}) entries"),
    ("add photo", r"added a photo of (?P<name>.+)"),
    ("remove photo", r"removed the photo (?P<name>.+)"),
    ("amend entry", rf"amended the entry {ENTRY}"),
    ("remove entry", rf"removed the entry {ENTRY}"),
    ("add operation", r"added operation (?P<operation>.+) to (?P<part>.+)"),
    ("move operation", r"moved operation (?P<operation>.+) of (?P<part>.+)"),
    ("work out", r"worked out the time of (?P<operation>.+) of (?P<part>.+)"),
    ("add", rf"added {RECORD}"),
    ("edit", rf"edited {RECORD}"),
    ("remove", rf"removed {RECORD}"),
    ("apply rates", rf"took own rates for {counted('operations', 'operation', 'operations', MANY)} not begun"),
    ("log", rf"logged {TIME} on (?P<lines>[2-9]|[1-9]\d{1,2}) lines"),
    ("log", rf"logged {TIME} on (?P<work>.+)"),
    ("undo", r"undid: (?P<note>.+)"),
)]


def typed(said, undoes):
    """The type and the details of a sentence. What cannot be told stays as it is, a note of type "other"."""
    if undoes is not None:
        # Its words are those of the event that it undid.
        return "undo", {}
    for type, pattern in SENTENCES:
        found = pattern.fullmatch(said)
        if found is not None:
            return type, {name: figure_of(name, text) for name, text in figures_of(found).items()}
    return "other", {"note": said}


def figures_of(found):
    texts = found.groupdict()
    if texts.get("work") in ACTIVITIES:
        texts["activity"] = texts.pop("work")
    return texts


def figure_of(name, text):
    if name == "minutes":
        return sum(int(number) * {"h": 60, "min": 1}[unit] for number, unit in re.findall(r"(\d+) (h|min)", text))
    return int(text.replace(",", "")) if name in ("parts", "entries", "operations", "lines") else text


def give_types(apps, schema_editor):
    events = apps.get_model("builds", "Event").objects.using(schema_editor.connection.alias).order_by("pk")
    last = 0
    while some := list(events.filter(pk__gt=last).only("said", "undoes_id")[:AT_ONCE]):
        for event in some:
            event.type, event.details = typed(event.said, event.undoes_id)
        events.bulk_update(some, ["type", "details"], batch_size=250)
        last = some[-1].pk


def refuse_to_go_back(apps, schema_editor):
    if apps.get_model("builds", "Event").objects.using(schema_editor.connection.alias).exists():
        raise IrreversibleError("The sentences of the events are gone: go back by a backup.")


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0002_working_sizes_and_prices'),
    ]

    operations = [
        migrations.AddField(
            model_name='event',
            name='details',
            field=models.JSONField(blank=True, default=dict),
        ),
        migrations.AddField(
            model_name='event',
            name='type',
            field=models.CharField(choices=[('begin build', 'Begin Build'), ('edit build', 'Edit Build'), ('add', 'Add'), ('edit', 'Edit'), ('remove', 'Remove'), ('add operation', 'Add Operation'), ('move operation', 'Move Operation'), ('work out', 'Work Out'), ('apply rates', 'Apply Rates'), ('add photo', 'Add Photo'), ('remove photo', 'Remove Photo'), ('log', 'Log'), ('amend entry', 'Amend Entry'), ('remove entry', 'Remove Entry'), ('import record', 'Import Record'), ('import parts', 'Import Parts'), ('import log', 'Import Log'), ('undo', 'Undo'), ('other', 'Other')], default='other', max_length=20),
            preserve_default=False,
        ),
        migrations.RunPython(give_types, migrations.RunPython.noop),
        migrations.RemoveField(
            model_name='event',
            name='said',
        ),
        migrations.RunPython(migrations.RunPython.noop, refuse_to_go_back),
        migrations.AddConstraint(
            model_name='event',
            constraint=models.CheckConstraint(condition=models.Q(('type__in', ['begin build', 'edit build', 'add', 'edit', 'remove', 'add operation', 'move operation', 'work out', 'apply rates', 'add photo', 'remove photo', 'log', 'amend entry', 'remove entry', 'import record', 'import parts', 'import log', 'undo', 'other'])), name='event_type_known', violation_error_message='Choose one of: Begin Build, Edit Build, Add, Edit, Remove, Add Operation, Move Operation, Work Out, Apply Rates, Add Photo, Remove Photo, Log, Amend Entry, Remove Entry, Import Record, Import Parts, Import Log, Undo, Other.'),
        ),
        migrations.AlterModelOptions(
            name='assembly',
            options={'ordering': ['position', 'pk'], 'verbose_name': 'assembly', 'verbose_name_plural': 'assemblies'},
        ),
        migrations.AlterModelOptions(
            name='batch',
            options={'ordering': ['part', 'number'], 'verbose_name': 'batch', 'verbose_name_plural': 'batches'},
        ),
        migrations.AlterModelOptions(
            name='closure',
            options={'ordering': ['from_on'], 'verbose_name': 'closure'},
        ),
        migrations.AlterModelOptions(
            name='milestone',
            options={'ordering': ['position', 'pk'], 'verbose_name': 'milestone'},
        ),
        migrations.AlterModelOptions(
            name='operation',
            options={'ordering': ['part', 'number'], 'verbose_name': 'operation'},
        ),
        migrations.AlterModelOptions(
            name='part',
            options={'ordering': ['position', 'pk'], 'verbose_name': 'part'},
        ),
        migrations.AlterModelOptions(
            name='remark',
            options={'ordering': ['pk'], 'verbose_name': 'remark'},
        ),
        migrations.AlterModelOptions(
            name='sheet',
            options={'ordering': ['number'], 'verbose_name': 'sheet'},
        ),
        migrations.AlterModelOptions(
            name='size',
            options={'ordering': ['pk'], 'verbose_name': 'size'},
        ),
        migrations.AlterField(
            model_name='assembly',
            name='name',
            field=models.CharField(max_length=120, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='assembly',
            name='parent',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='children', to='builds.assembly', verbose_name='parent'),
        ),
        migrations.AlterField(
            model_name='batch',
            name='blanks',
            field=models.PositiveIntegerField(verbose_name='blanks'),
        ),
        migrations.AlterField(
            model_name='batch',
            name='note',
            field=models.CharField(blank=True, max_length=300, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='batch',
            name='number',
            field=models.PositiveIntegerField(verbose_name='number'),
        ),
        migrations.AlterField(
            model_name='batch',
            name='part',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='batches', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='build',
            name='name',
            field=models.CharField(max_length=120, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='build',
            name='scale',
            field=models.CharField(blank=True, max_length=40, verbose_name='scale'),
        ),
        migrations.AlterField(
            model_name='build',
            name='state',
            field=models.CharField(choices=[('active', 'under way'), ('resting', 'resting'), ('finished', 'finished')], default='active', max_length=10, verbose_name='state'),
        ),
        migrations.AlterField(
            model_name='build',
            name='subject',
            field=models.CharField(blank=True, max_length=200, verbose_name='subject'),
        ),
        migrations.AlterField(
            model_name='closure',
            name='reason',
            field=models.CharField(blank=True, max_length=160, verbose_name='reason'),
        ),
        migrations.AlterField(
            model_name='entry',
            name='batch',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='builds.batch', verbose_name='batch'),
        ),
        migrations.AlterField(
            model_name='entry',
            name='builder',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='builds.builder', verbose_name='builder'),
        ),
        migrations.AlterField(
            model_name='entry',
            name='operation',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='builds.operation', verbose_name='operation'),
        ),
        migrations.AlterField(
            model_name='entry',
            name='part',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='entries', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='entry',
            name='reworked',
            field=models.PositiveIntegerField(default=0, verbose_name='of them reworked'),
        ),
        migrations.AlterField(
            model_name='historicalassembly',
            name='name',
            field=models.CharField(max_length=120, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='historicalassembly',
            name='parent',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.assembly', verbose_name='parent'),
        ),
        migrations.AlterField(
            model_name='historicalbatch',
            name='blanks',
            field=models.PositiveIntegerField(verbose_name='blanks'),
        ),
        migrations.AlterField(
            model_name='historicalbatch',
            name='note',
            field=models.CharField(blank=True, max_length=300, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='historicalbatch',
            name='number',
            field=models.PositiveIntegerField(verbose_name='number'),
        ),
        migrations.AlterField(
            model_name='historicalbatch',
            name='part',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='historicalbuild',
            name='name',
            field=models.CharField(max_length=120, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='historicalbuild',
            name='scale',
            field=models.CharField(blank=True, max_length=40, verbose_name='scale'),
        ),
        migrations.AlterField(
            model_name='historicalbuild',
            name='state',
            field=models.CharField(choices=[('active', 'under way'), ('resting', 'resting'), ('finished', 'finished')], default='active', max_length=10, verbose_name='state'),
        ),
        migrations.AlterField(
            model_name='historicalbuild',
            name='subject',
            field=models.CharField(blank=True, max_length=200, verbose_name='subject'),
        ),
        migrations.AlterField(
            model_name='historicalclosure',
            name='reason',
            field=models.CharField(blank=True, max_length=160, verbose_name='reason'),
        ),
        migrations.AlterField(
            model_name='historicalentry',
            name='batch',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.batch', verbose_name='batch'),
        ),
        migrations.AlterField(
            model_name='historicalentry',
            name='builder',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.builder', verbose_name='builder'),
        ),
        migrations.AlterField(
            model_name='historicalentry',
            name='operation',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.operation', verbose_name='operation'),
        ),
        migrations.AlterField(
            model_name='historicalentry',
            name='part',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='historicalentry',
            name='reworked',
            field=models.PositiveIntegerField(default=0, verbose_name='of them reworked'),
        ),
        migrations.AlterField(
            model_name='historicalmilestone',
            name='name',
            field=models.CharField(max_length=120, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='historicaloperation',
            name='kind',
            field=models.CharField(choices=[('sawing', 'sawing'), ('turning', 'turning'), ('facing', 'facing'), ('boring', 'boring'), ('parting', 'parting'), ('milling', 'milling'), ('drilling', 'drilling'), ('reaming', 'reaming'), ('tapping', 'tapping'), ('threading', 'threading'), ('grinding', 'grinding'), ('lapping', 'lapping'), ('honing', 'honing'), ('shaping', 'shaping'), ('filing', 'filing'), ('heat treatment', 'heat treatment'), ('soldering', 'soldering'), ('casting', 'casting'), ('printing', 'printing'), ('deburring', 'deburring'), ('inspecting', 'inspecting'), ('fitting', 'fitting'), ('finishing', 'finishing'), ('making', 'making')], max_length=20, verbose_name='kind'),
        ),
        migrations.AlterField(
            model_name='historicaloperation',
            name='machine',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.machine', verbose_name='machine'),
        ),
        migrations.AlterField(
            model_name='historicaloperation',
            name='note',
            field=models.TextField(blank=True, max_length=4000, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='historicaloperation',
            name='part',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='historicaloperation',
            name='title',
            field=models.CharField(blank=True, max_length=200, verbose_name='title'),
        ),
        migrations.AlterField(
            model_name='historicaloperation',
            name='unattended_share',
            field=models.FloatField(default=0, verbose_name='unattended share'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='assembly',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.assembly', verbose_name='assembly'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='material',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.material', verbose_name='material'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='name',
            field=models.CharField(max_length=160, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='note',
            field=models.TextField(blank=True, max_length=4000, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='sheet',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.sheet', verbose_name='sheet'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='spares',
            field=models.PositiveIntegerField(default=0, verbose_name='spares'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='waiting_for',
            field=models.CharField(blank=True, choices=[('material', 'material'), ('post', 'the post'), ('drying', 'drying'), ('person', 'a person'), ('weather', 'weather')], max_length=10, verbose_name='waiting for'),
        ),
        migrations.AlterField(
            model_name='historicalpart',
            name='waiting_note',
            field=models.CharField(blank=True, max_length=200, verbose_name='waiting note'),
        ),
        migrations.AlterField(
            model_name='historicalremark',
            name='sheet',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.sheet', verbose_name='sheet'),
        ),
        migrations.AlterField(
            model_name='historicalsheet',
            name='number',
            field=models.CharField(max_length=40, verbose_name='number'),
        ),
        migrations.AlterField(
            model_name='historicalsheet',
            name='revision',
            field=models.CharField(blank=True, max_length=20, verbose_name='revision'),
        ),
        migrations.AlterField(
            model_name='historicalsheet',
            name='title',
            field=models.CharField(blank=True, max_length=160, verbose_name='title'),
        ),
        migrations.AlterField(
            model_name='historicalsize',
            name='part',
            field=models.ForeignKey(blank=True, db_constraint=False, null=True, on_delete=django.db.models.deletion.DO_NOTHING, related_name='+', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='machine',
            name='kind',
            field=models.CharField(blank=True, max_length=40, verbose_name='kind'),
        ),
        migrations.AlterField(
            model_name='machine',
            name='name',
            field=models.CharField(error_messages={'unique': 'The shop has a machine of that name already.'}, max_length=80, unique=True, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='machine',
            name='note',
            field=models.CharField(blank=True, max_length=300, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='material',
            name='name',
            field=models.CharField(error_messages={'unique': 'The shop has a material of that name already.'}, max_length=80, unique=True, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='material',
            name='note',
            field=models.CharField(blank=True, max_length=300, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='milestone',
            name='name',
            field=models.CharField(max_length=120, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='operation',
            name='kind',
            field=models.CharField(choices=[('sawing', 'sawing'), ('turning', 'turning'), ('facing', 'facing'), ('boring', 'boring'), ('parting', 'parting'), ('milling', 'milling'), ('drilling', 'drilling'), ('reaming', 'reaming'), ('tapping', 'tapping'), ('threading', 'threading'), ('grinding', 'grinding'), ('lapping', 'lapping'), ('honing', 'honing'), ('shaping', 'shaping'), ('filing', 'filing'), ('heat treatment', 'heat treatment'), ('soldering', 'soldering'), ('casting', 'casting'), ('printing', 'printing'), ('deburring', 'deburring'), ('inspecting', 'inspecting'), ('fitting', 'fitting'), ('finishing', 'finishing'), ('making', 'making')], max_length=20, verbose_name='kind'),
        ),
        migrations.AlterField(
            model_name='operation',
            name='machine',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='operations', to='builds.machine', verbose_name='machine'),
        ),
        migrations.AlterField(
            model_name='operation',
            name='note',
            field=models.TextField(blank=True, max_length=4000, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='operation',
            name='part',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='operations', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterField(
            model_name='operation',
            name='title',
            field=models.CharField(blank=True, max_length=200, verbose_name='title'),
        ),
        migrations.AlterField(
            model_name='operation',
            name='unattended_share',
            field=models.FloatField(default=0, verbose_name='unattended share'),
        ),
        migrations.AlterField(
            model_name='part',
            name='assembly',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='parts', to='builds.assembly', verbose_name='assembly'),
        ),
        migrations.AlterField(
            model_name='part',
            name='material',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='parts', to='builds.material', verbose_name='material'),
        ),
        migrations.AlterField(
            model_name='part',
            name='name',
            field=models.CharField(max_length=160, verbose_name='name'),
        ),
        migrations.AlterField(
            model_name='part',
            name='note',
            field=models.TextField(blank=True, max_length=4000, verbose_name='note'),
        ),
        migrations.AlterField(
            model_name='part',
            name='sheet',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.SET_NULL, related_name='parts', to='builds.sheet', verbose_name='sheet'),
        ),
        migrations.AlterField(
            model_name='part',
            name='spares',
            field=models.PositiveIntegerField(default=0, verbose_name='spares'),
        ),
        migrations.AlterField(
            model_name='part',
            name='waiting_for',
            field=models.CharField(blank=True, choices=[('material', 'material'), ('post', 'the post'), ('drying', 'drying'), ('person', 'a person'), ('weather', 'weather')], max_length=10, verbose_name='waiting for'),
        ),
        migrations.AlterField(
            model_name='part',
            name='waiting_note',
            field=models.CharField(blank=True, max_length=200, verbose_name='waiting note'),
        ),
        migrations.AlterField(
            model_name='remark',
            name='sheet',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='remarks', to='builds.sheet', verbose_name='sheet'),
        ),
        migrations.AlterField(
            model_name='sheet',
            name='number',
            field=models.CharField(max_length=40, verbose_name='number'),
        ),
        migrations.AlterField(
            model_name='sheet',
            name='revision',
            field=models.CharField(blank=True, max_length=20, verbose_name='revision'),
        ),
        migrations.AlterField(
            model_name='sheet',
            name='title',
            field=models.CharField(blank=True, max_length=160, verbose_name='title'),
        ),
        migrations.AlterField(
            model_name='size',
            name='part',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='sizes', to='builds.part', verbose_name='part'),
        ),
        migrations.AlterConstraint(
            model_name='build',
            name='build_hourly_figure_not_negative',
            constraint=models.CheckConstraint(condition=models.Q(('hourly_figure__isnull', True), ('hourly_figure__gte', 0), _connector='OR'), name='build_hourly_figure_not_negative', violation_error_message='An hour cannot have a negative cost.'),
        ),
        migrations.AlterConstraint(
            model_name='operation',
            name='operation_share_is_a_share',
            constraint=models.CheckConstraint(condition=models.Q(('unattended_share__gte', 0), ('unattended_share__lte', 1)), name='operation_share_is_a_share', violation_error_message='The unattended share lies between 0 and 1.'),
        ),
        migrations.AlterConstraint(
            model_name='part',
            name='part_blank_cost_not_negative',
            constraint=models.CheckConstraint(condition=models.Q(('blank_cost__isnull', True), ('blank_cost__gte', 0), _connector='OR'), name='part_blank_cost_not_negative', violation_error_message='A blank cannot have a negative cost.'),
        ),
    ]
