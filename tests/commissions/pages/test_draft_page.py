"""The draft's page: drawn at once, held against the drawer, and open to what an address carries."""

from __future__ import annotations

import json

import pytest
from django.test import Client as Browser

from commissions.design.actions import draft_revision, send_revision
from commissions.design.models import Revision
from commissions.sourcing.actions import open_lot
from gemcalc.melee.lots import weight_of_count_ct
from gemcalc.web.calculators import CALCULATORS
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def studio(owner):
    """A browser in which the owner is signed in."""
    browser = Browser()
    browser.force_login(owner)
    return browser


@pytest.fixture
def sent(commission, owner):
    """Revision A, with the client."""
    return send_revision(
        revision=draft_revision(commission=commission, parameters=standard(), person=owner), person=owner
    )


def address(commission):
    return f"/studio/commissions/{commission.reference}/design/draft/"


def boxes_of(answer, **changes) -> dict:
    initial = {**answer.context["form"].initial, **changes}
    made = {key: "on" if value is True else value for key, value in initial.items()}
    return {key: value for key, value in made.items() if value not in (None, False, "")}


def lot(owner, size: float, count: int, origin: str = "natural"):
    return open_lot(
        name=f"{origin} {size}",
        size_hmm=round(size * 100),
        count=count,
        weight_mct=round(1000 * weight_of_count_ct(count=count, diameter_mm=size)[0]),
        origin=origin,
        person=owner,
    )


def test_a_first_draft_is_drawn_at_once(studio, commission):
    answer = studio.get(address(commission))
    preview = answer.context["preview"]
    assert preview["outputs"]["layout"]["feasible"]
    assert "<svg" in preview["svg"]
    assert "Can it be made" in answer.content.decode()
    assert not Revision.objects.exists()


def test_what_stands_is_drawn_as_it_is_stored(studio, commission, sent):
    assert studio.get(address(commission)).context["preview"]["outputs"] == sent.outputs


def test_checks_that_went_well_are_said_too(studio, commission):
    said = {row.verdict for row in studio.get(address(commission)).context["preview"]["checks"]}
    assert "good" in said


def test_the_order_is_held_against_the_drawer_of_the_same_origin(studio, commission, sent, owner):
    needed = sent.outputs["layout"]["figures"]["counts"]
    size, count = max(needed.items(), key=lambda row: row[1])
    lot(owner, float(size), count - 1)
    lot(owner, float(size), 500, origin="laboratory-grown")
    order = studio.get(address(commission)).context["preview"]["order"]
    assert {row["size"]: row["needed"] for row in order} == needed
    row = next(row for row in order if row["size"] == size)
    assert (row["held"], row["lacking"]) == (count - 1, 1)
    assert all(row["lacking"] == row["needed"] for row in order if row["size"] != size)


def test_the_halo_is_fitted_from_the_drawer(studio, commission, sent, owner):
    lot(owner, 1.2, 30)
    lot(owner, 1.4, 30)
    answer = studio.post(address(commission), boxes_of(studio.get(address(commission)), drawer="1"))
    assert answer.context["form"]["stock"].value() == "1.20:30 1.40:30"
    layout = answer.context["preview"]["outputs"]["layout"]
    assert set(layout["figures"]["counts"]) <= {"1.20", "1.40"}
    assert all(row["lacking"] == 0 for row in answer.context["preview"]["order"])
    assert not Revision.objects.filter(status="draft").exists()


def test_what_a_calculator_found_comes_along_by_the_names_of_the_boxes(studio, commission, sent):
    """Every box that a calculator fills is a box of the draft, and the draft shows it."""
    carried = {}
    for calculator in CALCULATORS.values():
        form = calculator.form({**calculator.example})
        assert form.is_valid(), calculator.name
        carried |= calculator.answer(form.cleaned_data).carries
    assert {"profile", "shank_width_mm", "size", "metal"} <= set(carried)
    answer = studio.get(address(commission), carried)
    form = answer.context["form"]
    assert set(carried) <= set(form.fields)
    assert {name: str(form.initial[name]) for name in carried} == {
        name: str(value) for name, value in carried.items()
    }
    assert answer.context["preview"] is not None


def test_what_is_not_carried_stays(studio, commission, sent):
    form = studio.get(address(commission), {"metal": "Pt950Ru"}).context["form"]
    assert form.initial["metal"] == "Pt950Ru"
    assert form.initial["size"] == f"{sent.parameters['circumference_mm']:g}"


@pytest.mark.parametrize(
    "carried",
    [{"metal": "mithril"}, {"shank_width_mm": "wide"}, {"size": "Q9"}, {"shank_width_mm": "0.01"}],
)
def test_a_doubtful_address_is_told_beside_the_box(studio, commission, carried):
    answer = studio.get(address(commission), carried)
    assert answer.status_code == 200
    assert set(carried) & set(answer.context["form"].errors)
    assert answer.context["preview"] is None


@pytest.mark.parametrize(
    "carried",
    [{"from": "Z", "centre_mm": "1"}, {"from": "A", "centre_mm": "wide"}, {"from": "A", "centre_mm": "nan"},
     {"case": json.dumps({"centre": {"cut": "outline", "points_mm": [[0, 0]]}})}],
)  # fmt: skip
def test_an_address_that_leads_nowhere_begins_with_what_stands(studio, commission, sent, carried):
    answer = studio.get(address(commission), carried)
    assert answer.status_code == 200
    assert float(answer.context["form"].initial["length_mm"]) == 6.51
