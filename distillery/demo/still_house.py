"""A month in the brewhouse and still house: mashes, ferments, strip runs, a spirit run, gin."""

from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from distillery.demo.after_the_run import backset_for, emptied
from distillery.demo.barrel_house import empty_barrels
from distillery.demo.steps import Diary, gauged
from distillery.demo.still_watch import spirit_watch
from distillery.models import Barrel
from ledger.gauging import package_weight, pounds_per_wine_gallon
from ledger.models import Movement

MASH_DAYS = (3, 10, 17)
BILL = (("CORN", "BIN-1", 250), ("RYE", "BIN-2", 65), ("MALT", "BIN-3", 45))
DRY_GOODS = (("YEAST", 6600), ("ENZYME", 4800), ("JUNIPER", 3600), ("CORIANDER", 1600))
POUNDS = sum(pounds for _, _, pounds in BILL)
DUST = 1  # pounds swept up at each milling
# Gravity of a four-day ferment, evening and morning (common practice, no source).
FERMENT = ("1.058", "1.046", "1.034", "1.022", "1.012", "1.004", "0.999", "0.998")


def supplies(diary: Diary, month: date, index: int) -> None:
    """Grain for the month, and now and then yeast, enzyme and botanicals."""
    tag = f"{month:%y%m}"

    def receive(material: str, quantity: str, vessel: str, supplier: str) -> None:
        diary.record(
            "receive-material", material=material, quantity=quantity, vessel=vessel,
            lot=f"{material}-{tag}", supplier=f"{supplier} (invented)", supplier_lot=f"D{tag}",
        )  # fmt: skip

    for material, bin_, pounds in BILL:
        quantity = f"{pounds * 3} lb"
        diary.at(month, "09:30", partial(receive, material, quantity, bin_, "Dune Grain"))
    if index % 4 == 0:
        for material, grams in DRY_GOODS:
            quantity = f"{grams} g"
            diary.at(
                month, "10:30", partial(receive, material, quantity, "SHELF", "Saltmarsh Supply")
            )


def dry_lot(material: str, month: date, index: int) -> str:
    """The newest lot of yeast, enzyme or a botanical in *month*."""
    for _ in range(index % 4):
        month = (month - timedelta(days=1)).replace(day=1)
    return f"{material}-{month:%y%m}"


def whiskey(diary: Diary, month: date, index: int) -> None:
    """Three mashes, each stripped; then one spirit run from their low wines and the feints."""
    for number, day in enumerate(MASH_DAYS):
        _mash(diary, month, index, number, month + timedelta(days=day - 1))
    _spirit_run(diary, month + timedelta(days=23), index)


def _mash(diary: Diary, month: date, index: int, number: int, day: date) -> None:
    tank, tag = f"FV-{number + 1}", f"{month:%y%m}"
    lot = f"WASH-{tag}-{number + 1}"

    def mash() -> None:
        backset = backset_for(month, number)
        water = 165 - sum(gallons for _, gallons in backset)
        diary.record(
            "mash", into=tank, wash=f"{188 + number} gal", gravity="1.066", lot=lot,
            water=f"{water} gal", strike="165 F", rest="148 F",
            grains=[{"lot": f"GRIST-{tag}-{number + 1}", "quantity": f"{POUNDS - DUST} lb"}],
            enzymes=[
                {"lot": dry_lot("ENZYME", month, index), "quantity": "400 g"},
                *({"lot": kept, "quantity": f"{gallons} gal"} for kept, gallons in backset),
            ],
            tuns=[
                {"tun": "TUN-1", "volume": "95 gal", "temperature": "148 F"},
                {"tun": "TUN-2", "volume": f"{93 + number} gal", "temperature": "147 F"},
            ],
        )  # fmt: skip

    def pitch() -> None:
        yeasts = [{"lot": dry_lot("YEAST", month, index), "quantity": "550 g"}]
        diary.record("pitch", vessel=tank, yeasts=yeasts, temperature="82 F")

    def mill() -> None:
        diary.record(
            "mill", into="HOPPER", grist=f"{POUNDS - DUST} lb", lot=f"GRIST-{tag}-{number + 1}",
            mill="Two-roller mill", gap="1.1 mm", swept_by="Linnet (invented)",
            grains=[
                {"lot": f"{material}-{tag}", "quantity": f"{pounds} lb"}
                for material, _, pounds in BILL
            ],
        )  # fmt: skip

    diary.at(day - timedelta(days=1), "16:00", mill)
    diary.at(day, "07:30", mash)
    diary.at(day, "14:00", pitch)
    for reading, gravity in enumerate(FERMENT):
        when = day + timedelta(days=1 + reading // 2)
        _reading(diary, when, "17:15" if reading % 2 else "07:15", tank, gravity, reading)
    strip_day, run = day + timedelta(days=5), f"STRIP-{tag}-{number + 1}"
    _strip_run(diary, strip_day, tank, run, index)
    emptied(diary, strip_day, tank, run, number)


def _reading(diary: Diary, day: date, clock: str, tank: str, gravity: str, number: int) -> None:
    warmth = f"{84 + min(number, 3) - max(0, number - 5)} F"
    diary.at(
        day, clock,
        lambda: diary.record(
            "ferment-reading", vessel=tank, gravity=gravity, temperature=warmth,
            ph=f"{4.9 - number * 0.08:.2f}",
        ),
    )  # fmt: skip


def _strip_run(diary: Diary, day: date, tank: str, run: str, index: int) -> None:
    strength = Decimal("51.0") + index % 3

    def charge() -> None:
        diary.record(
            "charge", still="POT", sources=[{"vessel": tank}], family="whisky",
            type_code="bourbon", lot=run,
        )  # fmt: skip

    def collect() -> None:
        diary.record(
            "collect", still="POT", fraction="low wines", into="LOW",
            gauge=gauged(61 + index % 4, strength),
        )  # fmt: skip

    diary.at(day, "07:00", charge)
    diary.at(day, "15:00", collect)
    diary.at(day, "16:30", lambda: diary.record("close-run", still="POT"))


def _spirit_run(diary: Diary, day: date, index: int) -> None:
    run = f"SPIRIT-{day:%y%m}"

    def charge() -> None:
        vessels = [code for code in ("LOW", "FEINTS") if diary.look(code)]
        diary.record(
            "charge", still="POT", sources=[{"vessel": code} for code in vessels],
            family="whisky", type_code="bourbon", lot=run,
        )  # fmt: skip

    def cut(fraction: str, into: str, share: str, proof: str) -> None:
        alcohol = _charged(diary, run) * Decimal(share)
        volume = alcohol * 100 / Decimal(proof)
        diary.record(
            "collect", still="POT", fraction=fraction, into=into, gauge=gauged(volume, proof)
        )

    diary.at(day, "07:00", charge)
    diary.at(day, "09:10", lambda: cut("foreshots", "FORE", "0.012", "158.0"))
    diary.at(day, "10:00", lambda: cut("heads", "FEINTS", "0.06", "154.0"))
    diary.at(day, "15:20", lambda: cut("hearts", "RCV-1", "0.74", f"{134 + index % 3}.0"))
    diary.at(day, "17:40", lambda: cut("tails", "FEINTS", "0.165", "64.0"))
    diary.at(day, "18:20", lambda: diary.record("close-run", still="POT"))
    spirit_watch(diary, day, index)
    _into_wood(diary, day + timedelta(days=1), index)


def _charged(diary: Diary, run: str) -> Decimal:
    """Proof gallons that were charged for *run*."""
    legs = Movement.objects.filter(
        entry__premises=diary.premises, to_lot__code=run, purpose="charge"
    )
    return Decimal(sum(legs.values_list("proof_gallons", flat=True))) / 100


def _into_wood(diary: Diary, day: date, index: int) -> None:
    """Even months by way of the storage tank, odd ones straight from the receiver."""

    def reduce(vessel: str) -> None:
        diary.record("reduce", vessel=vessel, to_proof="118")

    def gauge_to_tank() -> None:
        diary.record(
            "production-gauge", vessel="RCV-1", account="storage", into="ST-1",
            gauge=gauged(diary.gallons_in("RCV-1"), _strength(diary, "RCV-1")),
            family="whisky", type_code="bourbon", distilled_at=_strength(diary, "RCV-1"),
            material="grain", state="XX",
        )  # fmt: skip

    def fill() -> None:
        wine = diary.gallons_in("ST-1")
        codes = empty_barrels(diary, int(wine / Decimal("14.2")) or 1)
        diary.record(
            "fill-barrels", vessel="ST-1", empties=True, barrels=_weighed(diary, "ST-1", codes)
        )

    def gauge_to_barrels() -> None:
        wine = diary.gallons_in("RCV-1")
        codes = empty_barrels(diary, int(wine / Decimal("14.2")) or 1)
        diary.record(
            "production-gauge", vessel="RCV-1", account="storage",
            gauge=gauged(wine, _strength(diary, "RCV-1")),
            barrels=[{"barrel": code} for code in codes], family="whisky",
            type_code="bourbon", distilled_at=f"{134 + index % 3}", material="grain", state="XX",
        )  # fmt: skip

    if index % 2 == 0:
        diary.at(day, "09:00", gauge_to_tank)
        diary.at(day, "10:00", lambda: reduce("ST-1"))
        diary.at(day, "13:00", fill)
    else:
        diary.at(day, "09:00", lambda: reduce("RCV-1"))
        diary.at(day, "10:30", gauge_to_barrels)


def _strength(diary: Diary, vessel: str) -> str:
    return f"{diary.proof_gallons_in(vessel) * 100 / diary.gallons_in(vessel):.1f}"


def _weighed(diary: Diary, tank: str, codes: list[str]) -> list[dict[str, str]]:
    """Barrels filled from *tank* in like parts, as weights on the scale."""
    each = diary.gallons_in(tank) / len(codes) - Decimal("0.02")
    net = each * pounds_per_wine_gallon(_strength(diary, tank))
    tares = dict(Barrel.objects.values_list("vessel__code", "tare_lb"))
    gross = {code: package_weight(net + (tares[code] or 0), capacity_gal=15) for code in codes}
    return [{"barrel": code, "gross": f"{pounds} lb"} for code, pounds in gross.items()]
