"""A design on the table, and who looks at it."""

import pytest
from django.test import Client as Browser

from commissions.design import computing
from commissions.design.actions import draft_revision, send_revision
from tests.post import sign_in_client


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


def standard(diameter_mm=6.51, **changes):
    """The parameters of a round halo ring."""
    made = computing.standard(
        centre={"cut": "round", "diameter_mm": diameter_mm},
        depth_mm=4.02,
        circumference_mm=54.0,
        metal="18ct white Pd",
    )
    return {**made, **changes}


@pytest.fixture
def draft(commission, owner):
    """Revision A, not sent."""
    return draft_revision(commission=commission, parameters=standard(), person=owner)


@pytest.fixture
def sent(draft, owner):
    """Revision A, with the client."""
    return send_revision(revision=draft, person=owner)


@pytest.fixture
def studio(owner):
    """A browser in which the owner is signed in."""
    browser = Browser()
    browser.force_login(owner)
    browser.get("/studio/people/")  # the first visit writes down the session
    return browser


@pytest.fixture
def device(joachim):
    """A device on which Joachim is signed in."""
    return sign_in_client(Browser(), joachim)


@pytest.fixture
def hers(delphine):
    """A device on which somebody else is signed in."""
    return sign_in_client(Browser(), delphine)
