"""The plant's own tasting room outside bond: stock with tax paid, tills, pours and a broken one."""

from datetime import date, timedelta
from functools import partial

from distillery.demo.steps import Diary
from ledger.looking import Held


def shop(diary: Diary, month: date, index: int) -> None:
    """From the second month on what the shop took over sells through its till."""
    if index == 0:
        return
    for number, offset in enumerate((7, 21)):
        till = f"TILL-{month:%y%m}-{number + 1}"
        diary.at(month + timedelta(days=offset), "18:00", partial(_sell, diary, till))
    diary.at(month + timedelta(days=12), "17:00", lambda: _one(diary, "pour"))
    if index % 5 == 2:
        diary.at(month + timedelta(days=16), "16:20", lambda: _one(diary, "breakage"))


def _stock(diary: Diary) -> list[Held]:
    return [held for held in diary.look("SHOP") if held.account == "taxpaid"]


def _sell(diary: Diary, till: str) -> None:
    """A third of each lot, at least a bottle."""
    rows = [
        {"lot": held.lot.code, "store": "SHOP", "bottles": str(-(-held.amount // 3))}
        for held in _stock(diary)
    ]
    if rows:
        diary.record("taxpaid-sell", kind="sell", rows=rows, document=till)


def _one(diary: Diary, kind: str) -> None:
    """One bottle of the lot the shop has most of."""
    stock = _stock(diary)
    if stock:
        most = max(stock, key=lambda held: held.amount)
        told = {"manner": "knocked off the bar"} if kind == "breakage" else {}
        diary.record(
            "taxpaid-sell", kind=kind, **told,
            rows=[{"lot": most.lot.code, "store": "SHOP", "bottles": "1"}],
        )  # fmt: skip
