import shutil

import pytest

from tests.served.harness import Database, House, Redis, Sink, need, postgres_answers

SECRET = "a-secret-of-the-served-tests-that-nobody-else-has-0123456789"


@pytest.fixture(scope="session")
def database():
    """A PostgreSQL database of this run."""
    need(postgres_answers(), "PostgreSQL")
    made = Database()
    yield made
    made.drop()


@pytest.fixture
def redis(tmp_path):
    """A Redis of this test."""
    need(shutil.which("redis-server"), "redis-server")
    made = Redis(tmp_path / "redis")
    yield made
    made.stop()


@pytest.fixture
def sink():
    """A mail server that takes 60 ms for a letter."""
    made = Sink(pause=0.06)
    yield made
    made.stop()


@pytest.fixture(scope="session")
def migrated(database, tmp_path_factory):
    """The database with its tables, made once."""
    house = House(
        tmp_path_factory.mktemp("migrating"),
        RINGWRIGHT_DATABASE_URL=database.address,
        RINGWRIGHT_SECRET_KEY=SECRET,
    )
    house.manage("migrate", "--no-input", "--skip-checks")
    return database


@pytest.fixture
def house(migrated, redis, sink, tmp_path):
    """A served house whose leases are short, so that a test need not wait for them."""
    made = House(
        tmp_path,
        RINGWRIGHT_BROKER_URL=redis.address,
        RINGWRIGHT_DATABASE_URL=migrated.address,
        RINGWRIGHT_SMTP_URL=sink.address,
        RINGWRIGHT_SECRET_KEY=SECRET,
        RINGWRIGHT_OUTBOX_LEASE_SECONDS="4",
    )
    yield made
    made.stop()
