"""A stone for the seat, and who looks at it."""

import pytest
from django.test import Client as Browser

from commissions.design import computing
from commissions.design.actions import answer_revision, draft_revision, send_revision
from commissions.sourcing.actions import add_candidate, check_in, choose_stone
from tests.post import sign_in_client


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def agreed(commission, owner):
    """Joachim's ring with its direction agreed: a round of 6.51 mm in a halo."""
    wish = computing.standard(
        centre={"cut": "round", "diameter_mm": 6.51},
        depth_mm=4.02,
        circumference_mm=54.0,
        metal="18ct white Pd",
    )
    revision = send_revision(
        revision=draft_revision(commission=commission, parameters=wish, person=owner), person=owner
    )
    answer_revision(revision=revision, kind="agree", words="", by_words="Joachim")
    commission.refresh_from_db()
    return commission


def a_stone(commission, by, **changes):
    """A round of 6.51 mm, as its report says."""
    facts = {
        "name": "Round 1.05",
        "outline": {"cut": "round", "diameter_mm": 6.51},
        "length_hmm": 652,
        "width_hmm": 650,
        "depth_hmm": 402,
        "weight_mct": 1050,
        "origin": "natural",
        "report_number": "LR 5507-1182",
        "owner": "us",
    }
    return add_candidate(commission=commission, person=by, **{**facts, **changes})


@pytest.fixture
def stone(agreed, owner):
    """The chosen stone."""
    return choose_stone(stone=a_stone(agreed, owner), by_words="Joachim")


def measured(
    stone, owner, *, length=652, width=650, depth=402, inscription="lr55071182", weight=1050, **more
):
    """One check-in."""
    return check_in(
        stone=stone,
        weight_mct=weight,
        length_hmm=length,
        width_hmm=width,
        depth_hmm=depth,
        inscription_typed=inscription,
        person=owner,
        **more,
    )


@pytest.fixture
def studio(owner):
    """A browser in which the owner is signed in, and has been here before: a first visit writes its session down."""
    browser = Browser()
    browser.force_login(owner)
    browser.get("/studio/stones/lots/")
    return browser


@pytest.fixture
def device(joachim):
    """A device on which Joachim is signed in."""
    return sign_in_client(Browser(), joachim)


@pytest.fixture
def hers(delphine):
    """A device on which somebody else is signed in."""
    return sign_in_client(Browser(), delphine)
