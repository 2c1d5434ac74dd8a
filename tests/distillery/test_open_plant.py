"""Opening the first plant from the command line."""

import io

import pytest
from django.contrib.auth import get_user_model
from django.core.management import CommandError, call_command

from distillery.models import Membership, Plant
from ledger.models import Premises

pytestmark = pytest.mark.django_db
GOOD = "seventeen dunes of marram"


def open_plant(**more):
    fields = {"registry": "DSP-XX-00000", "name": "Marram Point (invented)", "owner": "ada"}
    out = io.StringIO()
    call_command("open_plant", stdout=out, **{**fields, **more})
    return out.getvalue()


def test_it_makes_the_plant_and_its_owner(monkeypatch):
    monkeypatch.setenv("DISTILLERY_OWNER_PASSWORD", GOOD)
    assert "ada is its owner" in open_plant(time_zone="America/Chicago")
    member = Membership.objects.get()
    assert (member.premises.time_zone, member.role) == ("America/Chicago", "owner")
    assert Plant.objects.get().premises == member.premises
    assert member.user.check_password(GOOD)
    assert (member.user.is_staff, member.user.is_superuser) == (True, False)


def test_it_asks_twice_for_the_password(monkeypatch):
    monkeypatch.delenv("DISTILLERY_OWNER_PASSWORD", raising=False)
    answers = iter([GOOD, "another"])
    monkeypatch.setattr(
        "distillery.management.commands.open_plant.getpass", lambda prompt: next(answers)
    )
    with pytest.raises(CommandError, match="differ"):
        open_plant()
    assert not Premises.objects.exists()


@pytest.mark.parametrize(
    ("fields", "password", "sentence"),
    [
        ({"registry": "DSP-1"}, GOOD, "Write it like DSP-XX-12345"),
        ({"time_zone": "Mars/Base"}, GOOD, "time zone like America/New_York"),
        ({}, "12345", "too short"),
        ({"owner": "a b"}, GOOD, "valid username"),
    ],
)
def test_what_cannot_be_is_told_and_leaves_nothing(monkeypatch, fields, password, sentence):
    monkeypatch.setenv("DISTILLERY_OWNER_PASSWORD", password)
    with pytest.raises(CommandError, match=sentence):
        open_plant(**fields)
    assert not Premises.objects.exists()
    assert not get_user_model().objects.exists()


def test_a_known_person_opens_a_second_plant_with_the_old_password(monkeypatch):
    monkeypatch.setenv("DISTILLERY_OWNER_PASSWORD", GOOD)
    open_plant()
    monkeypatch.setenv("DISTILLERY_OWNER_PASSWORD", "something else again")
    open_plant(registry="DSP-XX-00001", name="Second point (invented)")
    assert Membership.objects.count() == 2
    assert get_user_model().objects.get().check_password(GOOD)
