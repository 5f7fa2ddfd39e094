import os
from importlib import import_module

import pytest
from django.apps import apps
from django.conf import settings
from django.core.cache import cache
from django.db import connection
from django.test import TransactionTestCase, override_settings
from hypothesis import HealthCheck
from hypothesis import settings as drawing

from studio.bootstrap import chromium
from tests.cast import *  # noqa: F403

# A machine that is shared may be slow to draw an example; in continuous integration the draws are the same each time.
drawing.register_profile(
    "house",
    parent=drawing.get_profile(drawing.get_current_profile_name()),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
drawing.load_profile("house")
FIRST_ROWS = ("commissions.money.migrations.0004_first_tax_codes",)
LAUNCH = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser_type_launch_args():
    """The Chromium of this machine; in continuous integration it must be there."""
    path = chromium()
    if path is None:
        if os.environ.get("CI", "").lower() in ("true", "1"):
            pytest.fail("Chromium is missing, and in CI it must be there")
        pytest.skip("Chromium is missing on this machine")
    return {"executable_path": path, "args": LAUNCH}


@pytest.fixture(scope="session")
def playwright(playwright):
    """One driver for a whole run: a second one beside it would refuse to start."""
    # It runs a loop in this thread, and the ORM is called beside it.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    yield playwright
    os.environ.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)


@pytest.fixture(scope="session", autouse=True)
def stores(tmp_path_factory):
    """Pictures and papers of the tests go to a folder that nobody keeps."""
    place = tmp_path_factory.mktemp("stores")
    originals = {
        "BACKEND": "django.core.files.storage.FileSystemStorage",
        "OPTIONS": {"location": place / "originals", "base_url": None},
    }
    with override_settings(
        MEDIA_ROOT=place / "media", STORAGES={**settings.STORAGES, "originals": originals}
    ):
        yield place


@pytest.fixture(autouse=True)
def forget_attempts():
    """What one test tried too often does not slow the next one down."""
    cache.clear()


@pytest.fixture(scope="session", autouse=True)
def guards_step_aside():
    """
    Between two tests on a real database every table is emptied, also those that refuse it otherwise.

    Then the rows that a new house begins with are put back: whatever test comes next on this worker finds them.
    """
    empty = TransactionTestCase._fixture_teardown

    def teardown(self):
        emptied(self)
        for first in FIRST_ROWS:
            import_module(first).forwards(apps, None)

    def emptied(self):
        if connection.vendor != "sqlite":
            empty(self)  # there a table is truncated, which the guards let pass
            return
        with connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
            guards = cursor.fetchall()
            for name, _sql in guards:
                cursor.execute(f'DROP TRIGGER "{name}"')
        empty(self)
        with connection.cursor() as cursor:
            for _name, sql in guards:
                cursor.execute(sql)

    TransactionTestCase._fixture_teardown = teardown
    yield
    TransactionTestCase._fixture_teardown = empty
