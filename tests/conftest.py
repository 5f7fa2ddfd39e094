import pytest
from django.conf import settings
from django.core.cache import cache
from django.test import override_settings

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
