"""A record of any operation that the book takes now, found by trying and rolled back."""

from random import Random

from django.utils import timezone

from distillery.removals import not_gone
from tests.distillery.sequences.acts import make
from tests.distillery.sequences.now import Now
from tests.distillery.sequences.playing import Sequence, rolled_back
from tests.distillery.sequences.test_reach import BEFORE, TRIES
from tests.world import World

# What makes room for an act once more, where the plant has nothing for it.
AGAIN = {
    **BEFORE, "blend": "dump dump", "charge": "close-run", "close-run": "charge",
    "still-charge-processing": "close-run still-collect-processing",
    "still-collect-processing": "close-run still-charge-processing",
    "open-bottling": "close-bottling", "close-bottling": "open-bottling",
    "mash": "move-wash move-wash",
    "return-redistil": "draw-redistil", "cancel-invoice": "remove",
}  # fmt: skip


def this_minute(world: World) -> str:
    """The plant's time as a form writes it."""
    return f"{timezone.now().astimezone(world.premises.zone):%Y-%m-%d %H:%M}"


def plausible(world: World, slug: str, turn: int) -> dict:
    """The fields of a record that the book takes now: tried through the door and rolled back.
    Where the plant has nothing left for the act, what makes room for it is recorded first."""
    told: list[str] = []
    for tries in range(3):
        if fields := _taken(world, slug, f"{turn}{tries}", told):
            return fields
        if slug == "goods-gone":
            _goods_wait(world, f"W-{turn}{tries}")
        for first in AGAIN.get(slug, "").split():
            _made_ready(world, first, f"{slug}{turn}{tries}")
    raise AssertionError(f"no record of {slug} is taken: {told}")


def _taken(world: World, slug: str, name: str, told: list[str]) -> dict | None:
    for seed in range(TRIES):
        with rolled_back():
            sequence = Sequence(world)
            now = Now(world, Random(f"{name} {seed}"), this_minute(world), int(f"1{name}{seed}"))
            fields = make(slug, now)
            data = {"operation": slug, "at": now.at, "key": f"t{name}{seed}", **(fields or {})}
            if fields is None or not _is_offered(world, slug, fields):
                continue
            if sequence.confirmed(slug, data):
                return fields
            told += [sentence for _, sentence in sequence.told]
    return None


def _is_offered(world: World, slug: str, fields: dict) -> bool:
    """A page offers only what makes sense: goods that have not gone yet."""
    waiting = [one.document for one in not_gone(world.premises)]
    return slug != "goods-gone" or fields["document"] in waiting


def _goods_wait(world: World, document: str) -> None:
    world.record(
        "remove", this_minute(world), document=document, not_gone=True, stands_at="by the dock",
        consignee="Harbor Wholesale (invented)", initials="ab", rows=[{"lot": "K-A", "cases": 1}],
    )  # fmt: skip


def _made_ready(world: World, slug: str, name: str) -> None:
    for seed in range(TRIES):
        now = Now(world, Random(f"{name} {seed}"), this_minute(world), int(f"9{seed}"))
        if Sequence(world).try_one(slug, now, key=f"b{name}{seed}"):
            return
