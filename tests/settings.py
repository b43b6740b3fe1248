"""Settings of the test run: the real ones, in a data folder of their own, with a fast password hasher."""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

_folder = Path(tempfile.mkdtemp(prefix="roofops-tests-"))
atexit.register(shutil.rmtree, _folder, ignore_errors=True)
os.environ["ROOFOPS_DATA"] = str(_folder)
os.environ["ROOFOPS_PRODUCTION"] = "0"
os.environ["ROOFOPS_WEATHER_CONTACT"] = ""
# Live server and browser tests reach the database from an event loop's thread.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

from roofops.settings import *  # noqa: E402, F403
from roofops.settings import DATA_DIR, DATABASE_URL, DATABASES  # noqa: E402

if not DATABASE_URL:
    # A file, as in real life: an in-memory database has other locks.
    DATABASES["default"]["TEST"] = {"NAME": str(DATA_DIR / "tests.sqlite3")}
# A connection kept open for ever would keep the test database from being dropped.
DATABASES["default"]["CONN_MAX_AGE"] = 0
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# No test sends a message unless it starts a worker itself.
CELERY_BROKER_URL = "memory://"
CELERY_BROKER_TRANSPORT_OPTIONS: dict[str, object] = {}
LOGGING["root"]["level"] = "WARNING"  # noqa: F405
