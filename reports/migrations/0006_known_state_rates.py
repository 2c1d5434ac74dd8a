"""The State rates that could be read in an official text, each with its source."""

from datetime import date
from decimal import Decimal

from django.db import migrations

CHECK = "Check with the State before use."
SINCE = date(2024, 1, 1)  # the first day they are used here; when each began was not looked up
FIRST_SALE = "whoever makes the first sale in the State"
RATES = [
    {
        "state": "CA", "through_proof": Decimal(100), "basis": "wine_gallon",
        "rate": Decimal("3.30"), "payer": "",
        "source": "Revenue and Taxation Code 32201 (tax 2.00; CDTFA law guide, 2024) and 32220 "
        "(surtax 1.30; read May 2025); that proof strength is 100 proof is our reading. " + CHECK,
    },
    {
        "state": "CA", "over_proof": Decimal(100), "basis": "wine_gallon",
        "rate": Decimal("6.60"), "payer": "",
        "source": "Revenue and Taxation Code 32201 (tax 4.00; CDTFA law guide, 2024) and 32220 "
        "(surtax 2.60; read May 2025); that proof strength is 100 proof is our reading. " + CHECK,
    },
    {
        "state": "TX", "basis": "wine_gallon", "rate": Decimal("2.40"),
        "minimum": Decimal("0.05"), "minimum_through_ml": Decimal("59.15"),
        "filing_day": 15, "payer": FIRST_SALE,
        "source": "Alcoholic Beverage Code 201.03 (copy of the code; least tax for packages of "
        "2 oz or less); due day 16 TAC 41.30. " + CHECK,
    },
    {
        "state": "CO", "basis": "liter", "rate": Decimal("0.6026"), "filing_day": 20, "payer": "",
        "source": "Colorado Department of Revenue, Liquor Excise Taxes; due day Legislative "
        "Council. " + CHECK,
    },
]  # fmt: skip


def keep(apps, schema_editor):
    """Add the shared rates."""
    rates = apps.get_model("reports", "StateRate")
    for row in RATES:
        rates.objects.create(effective=SINCE, **row)


def drop(apps, schema_editor):
    """Take the shared rates away."""
    apps.get_model("reports", "StateRate").objects.filter(premises=None).delete()


class Migration(migrations.Migration):
    dependencies = [("reports", "0005_state_rates")]

    operations = [migrations.RunPython(keep, drop)]
