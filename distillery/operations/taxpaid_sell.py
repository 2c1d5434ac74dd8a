"""Own taxpaid stock leaves: sold, poured, broken or destroyed (27 CFR 19.622).

It stands outside bond: tax was determined on it when it came here, so nothing is owed anew and
nothing comes back by breakage.
"""

from typing import Any

from django.core.exceptions import ValidationError

from distillery.bottled import carried, in_store
from distillery.bottled_rows import BottlesPart, bottles_of, told_count
from distillery.drawing import share
from distillery.forms import ChoiceField, LotField, QuantityField, RecordForm, RowsField, TextField
from distillery.operations.base import Fields, Operation
from distillery.plans import pg, place
from ledger.errors import BadFact
from ledger.looking import Held, Look
from ledger.plan import Leg, Place, Plan
from ledger.quantities import to_hundredths

KINDS = [
    ("sell", "sold"), ("pour", "poured for tasting"), ("breakage", "broken or spilt"),
    ("destroy", "destroyed"),
]  # fmt: skip
ENDS = {"sell": "sold", "pour": "sold", "breakage": "taxpaid_loss", "destroy": "taxpaid_loss"}


class TaxpaidPart(BottlesPart):
    """Cases or bottles of one lot, or gallons of one that is not bottled."""

    field_order = ("lot", "store", "cases", "bottles", "volume")
    lot = LotField(label="Lot")
    volume = QuantityField(
        "volume", unit="mL", required=False, above=1, label="Volume, of what is not bottled"
    )

    def clean(self) -> dict[str, Any]:
        """Bottles or a volume."""
        data = super(BottlesPart, self).clean() or {}
        data["cases"], data["bottles"] = int(data.get("cases") or 0), int(data.get("bottles") or 0)
        count = bool(data["cases"] or data["bottles"])
        if not self.errors and count == (data.get("volume") is not None):
            raise ValidationError("Give cases or bottles, like 30, or a volume.")
        return data


class TaxpaidSellForm(RecordForm):
    """What became of it, which bottles, and who has it now."""

    kind = ChoiceField(choices=KINDS, label="What became of it")
    rows = RowsField(TaxpaidPart, label="Bottles")
    document = TextField(max_length=60, label="Till report or invoice, number")
    consignee = TextField(max_length=120, label="Sold to, if not over the counter")
    consignee_address = TextField(label="Their address")
    manner = TextField(label="How it was destroyed, and who saw it")


class TaxpaidSell(Operation):
    """Daily sums are enough; one record may tell a day's sales or pours."""

    slug = "taxpaid-sell"
    title = "Sell or pour taxpaid stock"
    group = "Remove"
    form = TaxpaidSellForm
    hazards = ("glass",)
    kinds = ("store",)
    accounts = ("taxpaid",)
    vessel_field = "rows-store"

    def plan(self, fields: Fields, look: Look) -> Plan:
        """Each lot out of the taxpaid stock; nothing of it is taxed again."""
        end = ENDS[fields["kind"]]
        legs, lines = [], []
        for held, three in _taken(fields["rows"], look):
            legs.append(
                Leg(place(held), Place(end, held.lot.code), fields["kind"], *three)
            )  # fmt: skip
            count = told_count(held.lot, three[0]) if three[0] else "A volume"
            lines.append(f"{count} of {held.lot.name}, lot {held.lot.code}: {pg(three[2])}.")
        if fields["kind"] == "pour":
            lines.append("Tax was determined before they were poured (27 CFR 19.434(d)(1)).")
        return Plan(tuple(legs), document=fields["document"], lines=tuple(lines))


def _taken(
    rows: list[dict[str, Any]], look: Look
) -> list[tuple[Held, tuple[int, int, int]]]:  # fmt: skip
    """(holding, what leaves it) by lot and store; rows of the same go together."""
    sums: dict[tuple[str, str], tuple[Held, int, int]] = {}
    for row in rows:
        held = in_store(look, row["lot"], row["store"], account="taxpaid")
        if bool(held.lot.bottle_ml) == (row["volume"] is not None):
            wanted = "by bottles" if held.lot.bottle_ml else "by volume"
            raise BadFact(f"Lot {held.lot.code} is counted {wanted}.", field="rows")
        key = held.lot.code, held.vessel.code
        _, bottles, wine = sums.get(key, (held, 0, 0))
        more = 0 if row["volume"] is None else to_hundredths(row["volume"])
        sums[key] = held, bottles + bottles_of(row, held.lot.per_case), wine + more
    return [
        (held, (bottles, *carried(held, bottles)) if bottles else (0, wine, share(held, wine)))
        for held, bottles, wine in sums.values()
    ]
