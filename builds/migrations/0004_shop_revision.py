"""What serves every build gets a revision of its own."""

from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0003_typed_events'),
    ]

    operations = [
        migrations.CreateModel(
            name='Shop',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('revision', models.PositiveIntegerField(default=0, editable=False)),
            ],
        ),
    ]
