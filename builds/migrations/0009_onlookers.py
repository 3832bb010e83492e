"""Somebody who signs in may be an onlooker, who changes nothing. Whoever is there already stays a builder."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("builds", "0008_part_role"),
    ]

    operations = [
        migrations.AddField(
            "builder", "looks_on", models.BooleanField(default=False, verbose_name="reads everything, changes nothing")
        ),
    ]
