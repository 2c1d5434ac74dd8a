#!/usr/bin/env python3
"""The command line of the project; `manage.py help` lists what it can do."""

import os
import sys


def main() -> None:
    """Hand the arguments to Django, or say in one sentence that Django is not there."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "distillery.settings")
    try:
        from django.core.management import execute_from_command_line
    except ModuleNotFoundError as error:
        if error.name != "django":
            raise
        sys.exit(
            "Django is not installed for this Python. Run ./.dev/setup once, then "
            "start the project with .venv/bin/python manage.py."
        )
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
