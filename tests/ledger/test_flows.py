"""The one table of flows: what it allows, and what it must never allow."""

from itertools import product

import pytest

from ledger.accounts import ACCOUNTS, BOUNDARY, INSIDE, SPIRITS
from ledger.flows import FLOWS, LOSS_PURPOSES, WITHOUT_PROOF_GALLONS
from ledger.models import Movement

BONDED = ("storage", "processing", "production", "redistil")


def allowed(origin, to):
    return {purpose for one, two, purpose in FLOWS if (one, two) == (origin, to)}


def test_every_account_of_the_table_exists():
    assert {account for one, two, _ in FLOWS for account in (one, two)} <= ACCOUNTS.keys()


def test_every_account_is_used_but_those_of_later_operations():
    used = {account for one, two, _ in FLOWS for account in (one, two)}
    assert set(ACCOUNTS) - used == set()


def test_every_flow_touches_the_plant_or_is_a_transit_difference():
    """Losses on the way here in bond (27 CFR 19.405, 19.407) have no account inside."""
    outside = {flow for flow in FLOWS if flow[0] in BOUNDARY and flow[1] in BOUNDARY}
    senders = ("other_plant", "customs", "winery")
    assert outside == {
        *((sender, "loss", "transit") for sender in senders),
        *(("gain", sender, "transit") for sender in senders),
    }


@pytest.mark.parametrize("origin", ["processing", "finished"])
def test_nothing_goes_from_processing_to_storage(origin):
    """27 CFR 19.351(c)."""
    assert allowed(origin, "storage") == set()


def test_nothing_goes_back_into_production_but_by_redistillation():
    """TTB F 5110.40 lines 15 and 17a: spirits come back into production for redistillation."""
    for origin in ("storage", "processing", "finished"):
        assert allowed(origin, "production") == set()
    assert allowed("redistil", "production") == {"charge"}


@pytest.mark.parametrize(("account", "purpose"), list(product(BONDED, LOSS_PURPOSES)))
def test_every_loss_purpose_is_allowed_in_bulk_and_has_its_gain(account, purpose):
    assert purpose in allowed(account, "loss")
    assert purpose in allowed("gain", account)


@pytest.mark.parametrize("purpose", LOSS_PURPOSES)
def test_every_loss_purpose_is_allowed_for_finished_goods(purpose):
    assert purpose in allowed("finished", "loss")


def test_an_unexplained_bottled_shortage_has_its_own_boundary():
    """27 CFR 19.465: a shortage of bottled spirits that is not explained is taxed."""
    assert allowed("finished", "shortage") == {"count"}
    assert allowed("production", "shortage") == set()


@pytest.mark.parametrize("account", INSIDE)
def test_a_running_plant_can_start_with_an_opening_balance(account):
    assert allowed("opening", account) == {"opening"}


@pytest.mark.parametrize("account", SPIRITS)
def test_spirits_are_destroyed_only_under_that_name(account):
    """27 CFR 19.459: voluntary destruction is an act of its own."""
    assert allowed(account, "destroyed") == {"destroy"}


def test_bulk_spirits_leave_for_another_plant_in_bond():
    """27 CFR 19.403: transfers in bond between plants."""
    for account in ("production", "storage", "processing", "finished"):
        assert allowed(account, "other_plant") == {"ship"}
    assert allowed("other_plant", "storage") == {"receive"}


def test_boundaries_that_hold_no_alcohol_carry_no_proof_gallons():
    assert set(BOUNDARY) >= WITHOUT_PROOF_GALLONS
    assert {"water", "contraction", "glass"} <= WITHOUT_PROOF_GALLONS


def test_codes_fit_their_columns():
    longest = {f.name: f.max_length for f in Movement._meta.concrete_fields}
    assert max(map(len, ACCOUNTS)) <= longest["from_account"]
    assert max(len(purpose) for _, _, purpose in FLOWS) <= longest["purpose"]
