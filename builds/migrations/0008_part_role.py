"""A part gets a role in the place of its source; an operation where nothing is scrapped; the day a build was finished."""

from django.db import migrations, models

ROLES = [
    ('detail', 'detail'), ('bought', 'bought in'), ('jig', 'jig or tool'), ('work on an assembly', 'work on an assembly'),
]
WHAT_IT_IS = {'blank': True, 'choices': ROLES, 'max_length': 20, 'verbose_name': 'what it is'}
SOURCES = [('made', 'made here'), ('bought', 'bought in')]
SOURCE = {'choices': SOURCES, 'default': 'made', 'max_length': 6, 'verbose_name': 'made or bought'}


def bought_stays_bought(apps, schema_editor):
    for model in ('Part', 'HistoricalPart'):
        apps.get_model('builds', model).objects.filter(source='bought').update(role='bought')


def source_again(apps, schema_editor):
    for model in ('Part', 'HistoricalPart'):
        apps.get_model('builds', model).objects.filter(role='bought').update(source='bought')


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0007_remarked_entries'),
    ]

    operations = [
        migrations.AddField('part', 'role', models.CharField(default='', **WHAT_IT_IS), preserve_default=False),
        migrations.AddField(
            'historicalpart', 'role', models.CharField(default='', **WHAT_IT_IS), preserve_default=False
        ),
        migrations.RunPython(bought_stays_bought, source_again),
        migrations.RemoveConstraint('part', 'part_source_known'),
        migrations.RemoveField('historicalpart', 'source'),
        migrations.RemoveField('part', 'source'),
        migrations.AddConstraint(
            'part',
            models.CheckConstraint(
                condition=models.Q(('role__in', ['detail', 'bought', 'jig', 'work on an assembly', ''])),
                name='part_role_known',
                violation_error_message='Choose one of: detail, bought in, jig or tool, work on an assembly.',
            ),
        ),
        migrations.AddConstraint(
            'part',
            models.CheckConstraint(
                condition=models.Q(
                    models.Q(('role', 'work on an assembly'), _negated=True),
                    models.Q(('quantity', 1), ('spares', 0)),
                    _connector='OR',
                ),
                name='part_work_has_no_pieces',
                violation_error_message='Work on an assembly has no pieces: it is needed once, without spares.',
            ),
        ),
        migrations.AddField(
            'operation',
            'slip_costs_time',
            models.BooleanField(default=False, verbose_name='a slip costs time here, never the piece'),
        ),
        migrations.AddField(
            'historicaloperation',
            'slip_costs_time',
            models.BooleanField(default=False, verbose_name='a slip costs time here, never the piece'),
        ),
        migrations.AddField(
            'build', 'finished_on', models.DateField(blank=True, null=True, verbose_name='finished on')
        ),
        migrations.AddField(
            'historicalbuild', 'finished_on', models.DateField(blank=True, null=True, verbose_name='finished on')
        ),
        migrations.AddConstraint(
            'build',
            models.CheckConstraint(
                condition=models.Q(('finished_on__isnull', True), ('state', 'finished'), _connector='OR'),
                name='build_finished_on_when_finished',
                violation_error_message='Only a finished build has a day on which it was: set the state, or leave the day empty.',
            ),
        ),
        migrations.AddConstraint(
            'build',
            models.CheckConstraint(
                condition=models.Q(
                    ('started_on__isnull', True),
                    ('finished_on__isnull', True),
                    ('finished_on__gte', models.F('started_on')),
                    _connector='OR',
                ),
                name='build_finished_after_start',
                violation_error_message='The build was finished before its start.',
            ),
        ),
    ]
