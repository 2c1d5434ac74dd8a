"""Strapping tables, by shape or by rows."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("distillery", "0004_printed_cells"),
        ("ledger", "0001_the_book"),
    ]

    operations = [
        migrations.CreateModel(
            name="StrappingTable",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("effective", models.DateField(help_text="the first day it applies")),
                (
                    "source",
                    models.CharField(
                        help_text="who found it and how, like a calibration certificate",
                        max_length=200,
                    ),
                ),
                (
                    "shape",
                    models.CharField(
                        choices=[
                            ("table", "by the rows below"),
                            ("upright", "upright cylinder"),
                            ("lying", "lying cylinder, flat ends"),
                            ("cone", "cylinder over a cone"),
                        ],
                        default="table",
                        max_length=8,
                    ),
                ),
                (
                    "diameter_in",
                    models.DecimalField(
                        blank=True,
                        decimal_places=3,
                        max_digits=7,
                        null=True,
                        verbose_name="inside diameter, inches",
                    ),
                ),
                (
                    "length_in",
                    models.DecimalField(
                        blank=True,
                        decimal_places=3,
                        max_digits=7,
                        null=True,
                        verbose_name="inside length, inches",
                    ),
                ),
                (
                    "height_in",
                    models.DecimalField(
                        blank=True,
                        decimal_places=3,
                        max_digits=7,
                        null=True,
                        verbose_name="inside height, inches",
                    ),
                ),
                (
                    "cone_depth_in",
                    models.DecimalField(
                        blank=True,
                        decimal_places=3,
                        max_digits=7,
                        null=True,
                        verbose_name="depth of the cone, inches",
                    ),
                ),
                (
                    "vessel",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="strappings",
                        to="ledger.vessel",
                    ),
                ),
            ],
            options={
                "ordering": ["vessel", "-effective"],
            },
        ),
        migrations.CreateModel(
            name="StrappingRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "depth_in",
                    models.DecimalField(
                        decimal_places=3, max_digits=7, verbose_name="depth, inches"
                    ),
                ),
                (
                    "volume_gal",
                    models.DecimalField(
                        decimal_places=2, max_digits=10, verbose_name="volume, gallons"
                    ),
                ),
                (
                    "table",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rows",
                        to="distillery.strappingtable",
                    ),
                ),
            ],
            options={
                "ordering": ["table", "depth_in"],
            },
        ),
        migrations.AddConstraint(
            model_name="strappingtable",
            constraint=models.UniqueConstraint(
                fields=("vessel", "effective"), name="strapping_unique"
            ),
        ),
        migrations.AddConstraint(
            model_name="strappingrow",
            constraint=models.UniqueConstraint(
                fields=("table", "depth_in"), name="strapping_row_unique"
            ),
        ),
    ]
