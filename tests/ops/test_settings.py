"""The environment chooses the settings."""

import json
import stat
from typing import Any

import pytest

PRODUCTION = {"ROOFOPS_PRODUCTION": "1", "ROOFOPS_HOSTS": "roofops.example"}
SHOW = """
import json
from django.conf import settings as s
print(json.dumps([s.DATABASES["default"]["ENGINE"], s.CELERY_BROKER_URL, s.SECURE_SSL_REDIRECT, s.DEBUG]))
"""


def shown(installation: Any) -> list[Any]:
    """Return engine, broker, HTTPS and debug of an installation."""
    return list(json.loads(installation.django(SHOW)))


def test_djangos_deployment_check_finds_nothing_under_production_settings(installation: Any) -> None:
    installation.extra |= PRODUCTION
    answer = installation.manage("check", "--deploy", "--fail-level", "WARNING")
    assert answer.returncode == 0, answer.stderr
    assert "System check identified no issues (0 silenced)." in answer.stdout


def test_the_deployment_check_does_see_a_missing_https(installation: Any) -> None:
    installation.extra |= {**PRODUCTION, "ROOFOPS_SECURE": "0"}
    answer = installation.manage("check", "--deploy", "--fail-level", "WARNING")
    assert answer.returncode == 1
    assert "security.W008" in answer.stderr


def test_nothing_set_means_embedded(installation: Any) -> None:
    assert shown(installation) == ["django.db.backends.sqlite3", "filesystem://", False, False]


def test_two_addresses_switch_to_postgresql_and_redis(installation: Any) -> None:
    installation.extra |= {"DATABASE_URL": "postgres://a:b@db.invalid/c", "REDIS_URL": "redis://queue.invalid:6379/0"}
    assert shown(installation)[:2] == ["django.db.backends.postgresql", "redis://queue.invalid:6379/0"]


def test_debug_in_production_is_refused(installation: Any) -> None:
    installation.extra |= {**PRODUCTION, "ROOFOPS_DEBUG": "1"}
    answer = installation.manage("check")
    assert answer.returncode != 0
    assert "exclude each other" in answer.stderr


def test_the_secret_key_is_made_once_for_its_owner_only(installation: Any) -> None:
    show = "from django.conf import settings; print(settings.SECRET_KEY)"
    first, second = installation.django(show), installation.django(show)
    path = installation.data / "secret-key"
    assert first == second
    assert first.strip() == path.read_text()
    assert len(first.strip()) >= 50
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [found.name for found in installation.data.glob("secret-key*")] == ["secret-key"]


def test_production_serves_hashed_static_files(installation: Any) -> None:
    installation.extra |= PRODUCTION
    assert installation.manage("collectstatic", "--no-input", "-v0").returncode == 0
    code = "from django.templatetags.static import static; print(static('css/base.css'))"
    address = installation.django(code).strip()
    assert address.startswith("/static/css/base.")
    assert address != "/static/css/base.css"
    assert (installation.data / "static" / "css" / address.rsplit("/", 1)[1]).exists()


@pytest.mark.parametrize("name", ["check", "migrate"])
def test_sqlite_is_tuned_for_many_writers(installation: Any, name: str) -> None:
    assert installation.manage(name).returncode == 0
    code = """
from django.db import connection
with connection.cursor() as cursor:
    print(*[cursor.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous", "busy_timeout")])
"""
    assert installation.django(code).strip() == "wal 1 20000"
