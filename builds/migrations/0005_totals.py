"""What the entries come to is kept beside them; here it is counted for the first time."""

import django.db.models.deletion
from django.db import migrations, models

COLUMNS = ("part_id", "operation_id", "worked_on", "batch_id", "bench_minutes", "unattended_minutes", "good", "reworked", "scrap")


def count(apps, schema_editor):
    Entry, Total = apps.get_model("builds", "Entry"), apps.get_model("builds", "Total")
    entries = Entry.objects.filter(removed_at=None, part__isnull=False).order_by("worked_on", "pk")
    totals, batches = {}, {}
    for part, operation, day, batch, minutes, unattended, good, reworked, scrap in entries.values_list(*COLUMNS):
        empty = dict.fromkeys(("good", "reworked", "scrap", "counted_minutes", "open_minutes", "unattended_minutes"), 0)
        fresh = Total(part_id=part, operation_id=operation, entries=0, times_unknown=False, piece_minutes=[], **empty)
        total = totals.setdefault((part, operation), fresh)
        batches.setdefault((part, operation), set()).add(batch)
        total.entries += 1
        total.last_on = day
        total.open_minutes += minutes or 0
        total.unattended_minutes += unattended
        total.times_unknown |= minutes is None
        if good or scrap:
            total.good, total.reworked, total.scrap = total.good + good, total.reworked + reworked, total.scrap + scrap
            total.piece_minutes.append((float(total.open_minutes), good + scrap))
            total.counted_minutes, total.open_minutes = total.counted_minutes + total.open_minutes, 0
    for key, total in totals.items():
        total.batches = sorted(batches[key], key=lambda batch: batch or 0)
    Total.objects.bulk_create(totals.values(), 2000)


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0004_shop_revision'),
    ]

    operations = [
        migrations.CreateModel(
            name='Total',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('good', models.PositiveIntegerField()),
                ('reworked', models.PositiveIntegerField()),
                ('scrap', models.PositiveIntegerField()),
                ('counted_minutes', models.PositiveIntegerField()),
                ('open_minutes', models.PositiveIntegerField()),
                ('unattended_minutes', models.PositiveIntegerField()),
                ('times_unknown', models.BooleanField()),
                ('entries', models.PositiveIntegerField()),
                ('last_on', models.DateField()),
                ('batches', models.JSONField(blank=True)),
                ('piece_minutes', models.JSONField(blank=True)),
                ('operation', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.CASCADE, related_name='totals', to='builds.operation')),
                ('part', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='totals', to='builds.part')),
            ],
            options={
                'constraints': [models.UniqueConstraint(fields=('operation',), name='total_once_an_operation'), models.UniqueConstraint(condition=models.Q(('operation', None)), fields=('part',), name='total_once_a_part')],
            },
        ),
        migrations.RunPython(count, migrations.RunPython.noop),
    ]
