"""Slips are kept with their entry."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("ledger", "0001_the_book"),
        ("distillery", "0001_plant"),
    ]

    operations = [
        migrations.CreateModel(
            name="KeptSlip",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("order", models.PositiveSmallIntegerField()),
                ("title", models.CharField(max_length=120)),
                ("content", models.TextField()),
                (
                    "entry",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="kept_slips",
                        to="ledger.entry",
                    ),
                ),
            ],
            options={
                "ordering": ["entry", "order"],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("entry", "order"), name="kept_slip_order_unique"
                    )
                ],
            },
        ),
    ]
