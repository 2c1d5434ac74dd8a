"""The door a web server such as gunicorn calls."""

import os

from django.core.management import call_command
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "distillery.settings")

application = get_wsgi_application()
# A book whose guards are lifted is not served: a migration that failed half-way leaves it so.
call_command("check", databases=["default"], fail_level="WARNING")
