"""The WSGI application that waitress (or any other server) serves."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tallboy.web.settings")
application = get_wsgi_application()
