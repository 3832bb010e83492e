"""An entry keeps what was odd about it when it was logged."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0005_totals'),
    ]

    operations = [
        migrations.AddField('entry', 'oddities', models.JSONField(blank=True, default=list)),
        migrations.AddField('historicalentry', 'oddities', models.JSONField(blank=True, default=list)),
    ]
