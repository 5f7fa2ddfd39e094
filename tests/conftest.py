import pytest
from django.conf import settings
from django.core.cache import cache
from django.db import connection
from django.test import TransactionTestCase, override_settings

from tests.cast import *  # noqa: F403


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
    """Between two tests on a real database every table is emptied, also those that refuse it otherwise."""
    empty = TransactionTestCase._fixture_teardown

    def teardown(self):
        if connection.vendor != "sqlite":
            return empty(self)  # there a table is truncated, which the guards let pass
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
