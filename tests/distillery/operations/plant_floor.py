"""Acts that many tests of the production side begin with, as plain functions."""

from typing import Any

from distillery.recording import Done
from ledger.models import Holding
from tests.world import World


def deliver(world: World, material: str, quantity: str, vessel: str = "BIN-1") -> str:
    """A lot of a material at hand; its code."""
    done = world.record(
        "receive-material", "2026-01-05 09:00", material=material, quantity=quantity,
        vessel=vessel, supplier="Dune Grain (invented)",
    )  # fmt: skip
    return done.entry.lots_opened.get().code


def mash(
    world: World,
    *,
    into: str = "FV-1",
    wash: str = "200 gal",
    at: str = "2026-01-06 10:00",
    **more: Any,
) -> str:
    """A corn mash in a fermenter; the code of the wash."""
    corn = deliver(world, "CORN", "400 lb")
    grains = [{"lot": corn, "quantity": "400 lb"}]
    done = world.record("mash", at, grains=grains, into=into, wash=wash, **more)
    return done.entry.lots_opened.get().code


def charge(world: World, *vessels: str, at: str = "2026-01-12 08:00", **more: Any) -> str:
    """A whisky run in the pot still from all that *vessels* hold; its code."""
    fields = {"still": "POT", "family": "whisky", "type_code": "bourbon", **more}
    sources = [{"vessel": vessel} for vessel in vessels]
    done = world.record("charge", at, sources=sources, **fields)
    return done.entry.lots_opened.get().code


def collect(
    world: World,
    fraction: str,
    volume: str,
    proof: str,
    *,
    into: str = "RCV-1",
    at: str = "2026-01-12 14:00",
    **more: Any,
) -> Done:
    """A fraction of the run in the pot still, gauged by volume at 60 F."""
    fields = {"still": "POT", "into": into, "gauge": gauge(volume, proof), **more}
    return world.record("collect", at, fraction=fraction, **fields)


def held(account: str, vessel: str) -> tuple[int, int]:
    """(wine gallons, proof gallons) in hundredths of an account in a vessel now."""
    rows = Holding.objects.filter(account=account, vessel__code=vessel)
    return sum(r.wine_gallons for r in rows), sum(r.proof_gallons for r in rows)


def gauge(volume: str, proof: str) -> dict[str, str]:
    """A gauge by volume at 60 F."""
    return {"volume": volume, "temperature": "60 F", "proof": proof}
