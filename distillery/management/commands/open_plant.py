"""manage.py open_plant: the first plant and its owner."""

import os
from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.contrib.auth import get_user_model
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from distillery.models import Membership, Plant
from ledger.models import Premises

PASSWORD = "DISTILLERY_OWNER_PASSWORD"  # noqa: S105  the name of the variable


class Command(BaseCommand):
    """Premises, settings and an owner who can set up the rest in the browser."""

    help = f"Open a plant with its owner. The password is asked for, or read from {PASSWORD}."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The plant's registry number and name, its owner, its time zone."""
        parser.add_argument("--registry", required=True, help="like DSP-XX-12345")
        parser.add_argument("--name", required=True, help="name of the plant")
        parser.add_argument("--owner", required=True, help="log-in name of the owner")
        parser.add_argument("--time-zone", default="America/New_York")

    def handle(self, *args: Any, **options: Any) -> None:
        """All of it or nothing."""
        premises = Premises(
            registry=options["registry"], name=options["name"], time_zone=options["time_zone"]
        )
        try:
            premises.full_clean()
            with transaction.atomic():
                premises.save()
                Plant.objects.create(premises=premises)
                owner = self._owner(options["owner"])
                Membership.objects.create(user=owner, premises=premises, role="owner")
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        self.stdout.write(
            f"{premises} is open; {owner.get_username()} is its owner. Set up vessels, materials "
            "and products in the browser under plant/admin/, then record the opening balance."
        )

    def _owner(self, name: str) -> Any:
        """The person of that name as someone who may set up; made if new."""
        people = get_user_model()
        person = people.objects.filter(username=name).first()
        if person is None:
            person = people(username=name)
            person.full_clean(exclude=["password"])
            password = self._password()
            validate_password(password, person)
            person.set_password(password)
        person.is_staff = True
        person.save()
        return person

    def _password(self) -> str:
        given = os.environ.get(PASSWORD)
        if given:
            return given
        password = getpass("Password of the owner: ")
        if password != getpass("Once more: "):
            raise CommandError("The two passwords differ.")
        return password
