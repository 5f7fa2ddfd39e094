"""Candidates, the choice, and the way back to the supplier."""

import datetime

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.record.errors import Refused
from commissions.record.models import Question
from commissions.sourcing import queries
from commissions.sourcing.actions import (
    choose_stone,
    extend_approval,
    hand_over,
    offer_stones,
    send_back,
)
from commissions.sourcing.models import Custody, Stone, StoneState
from tests.commissions.sourcing.conftest import a_stone, measured

pytestmark = pytest.mark.django_db

CANDIDATE = {
    "name": "Oval 1.20",
    "species": "diamond",
    "origin": "natural",
    "cut": "oval",
    "length": "8,10",
    "width": "6.10",
    "depth": "3.70",
    "weight": "1.20",
    "report_number": "LR 1",
    "owner": "supplier",
    "supplier": "Antwerp",
    "price": "3100",
    "return_by": "22 12 2026",
}


def page(commission, rest=""):
    return f"/studio/commissions/{commission.reference}/stones/{rest}"


def yours(commission):
    return f"/yours/{commission.reference}/stones/"


def test_a_report_belongs_to_one_stone(agreed, owner):
    a_stone(agreed, owner)
    with pytest.raises(Refused):
        a_stone(agreed, owner, name="The same again")
    assert Stone.objects.count() == 1


def test_a_depth_that_cannot_be_is_refused(agreed, owner):
    with pytest.raises(Refused):
        a_stone(agreed, owner, depth_hmm=652)


def test_only_one_stone_is_chosen(stone, agreed, owner):
    other = choose_stone(stone=a_stone(agreed, owner, report_number="B", name="Other"), by_words="Joachim")
    assert queries.chosen(commission=agreed) == other
    with pytest.raises(IntegrityError), transaction.atomic():
        Stone.objects.filter(pk=stone.pk).update(chosen_at=other.chosen_at)


def test_the_chosen_stone_stands_first(agreed, owner):
    a_stone(agreed, owner, name="First", report_number="1")
    second = choose_stone(stone=a_stone(agreed, owner, name="Second", report_number="2"), by_words="J")
    assert queries.stones_of(commission=agreed).first() == second


def test_a_stone_in_quarantine_cannot_be_chosen(agreed, owner):
    stone = a_stone(agreed, owner)
    measured(stone, owner, inscription="something else")
    with pytest.raises(Refused):
        choose_stone(stone=stone, by_words="Joachim")


def test_choosing_makes_the_quotation_ours(stone, agreed):
    assert set(Question.objects.filter(answered_at=None).values_list("key", flat=True)) == {"quote.send"}


def test_the_choice_is_due_when_the_first_stone_goes_back(agreed, owner):
    with pytest.raises(Refused):
        offer_stones(commission=agreed, person=owner)
    for day in (22, 18):
        a_stone(agreed, owner, report_number=str(day), return_by=datetime.date(2026, 12, day))
    offer_stones(commission=agreed, person=owner)
    assert Question.objects.get(key="stones.choose", answered_at=None).due_on == datetime.date(2026, 12, 18)


def test_the_client_chooses_and_nobody_else(agreed, owner, device, hers):
    stone = a_stone(agreed, owner)
    offer_stones(commission=agreed, person=owner)
    assert hers.get(yours(agreed)).status_code == 404
    assert hers.post(yours(agreed), {"stone": stone.pk}).status_code == 404
    assert Browser().get(yours(agreed)).status_code == 302
    assert device.get(yours(agreed)).status_code == 200
    device.post(yours(agreed), {"stone": stone.pk})
    assert queries.chosen(commission=agreed) == stone


def test_the_client_does_not_see_what_a_stone_costs_us(agreed, owner, device):
    a_stone(agreed, owner, price_minor=123456, currency="GBP", supplier="Antwerp Stones")
    text = device.get(yours(agreed)).content.decode()
    assert "1,234.56" not in text
    assert "Antwerp" not in text


def test_another_commissions_stone_cannot_be_chosen(agreed, owner, device):
    stranger = a_stone(None, owner)
    a_stone(agreed, owner, report_number="own")
    offer_stones(commission=agreed, person=owner)
    assert device.post(yours(agreed), {"stone": stranger.pk}).status_code == 404


def test_a_candidate_is_added_from_its_form(studio, agreed):
    assert studio.post(page(agreed), CANDIDATE).status_code == 302
    stone = Stone.objects.get()
    assert (stone.length_hmm, stone.width_hmm, stone.price_minor) == (810, 610, 310000)
    assert stone.state == StoneState.ON_APPROVAL


@pytest.mark.parametrize(
    ("field", "wrong"),
    [("depth", "9"), ("width", "9"), ("price", "dear"), ("return_by", "soon"), ("length", "x")],
)
def test_wrong_input_stays_beside_its_error(studio, agreed, field, wrong):
    answer = studio.post(page(agreed), {**CANDIDATE, field: wrong})
    assert field in answer.context["form"].errors
    assert f'value="{wrong}"' in answer.content.decode()
    assert not Stone.objects.exists()


def test_what_is_on_approval_is_summed_per_currency(agreed, owner):
    day = datetime.date(2026, 12, 22)
    for place, (minor, currency) in enumerate([(100, "GBP"), (250, "GBP"), (900, "EUR")]):
        a_stone(
            agreed,
            owner,
            report_number=str(place),
            owner="supplier",
            price_minor=minor,
            currency=currency,
            return_by=day,
        )
    sums = {row["currency"]: (row["minor"], row["stones"]) for row in queries.exposure()}
    assert sums == {"EUR": (900, 1), "GBP": (350, 2)}


def test_an_approval_is_extended_in_writing_only(agreed, owner):
    stone = a_stone(agreed, owner, return_by=datetime.date(2026, 12, 1))
    later = datetime.date(2026, 12, 9)
    with pytest.raises(Refused):
        extend_approval(stone=stone, until=later, reason="", person=owner)
    with pytest.raises(Refused):
        extend_approval(stone=stone, until=datetime.date(2026, 11, 30), reason="Letter", person=owner)
    assert (
        extend_approval(stone=stone, until=later, reason="Letter of 1 Dec", person=owner).return_by == later
    )


def test_a_stone_goes_back_as_it_came(agreed, owner):
    stone = a_stone(agreed, owner, return_by=datetime.date(2026, 12, 1))
    measured(stone, owner)
    with pytest.raises(Refused):
        send_back(stone=stone, weight_mct=1050, inscription_typed="another", person=owner)
    with pytest.raises(Refused):
        send_back(stone=stone, weight_mct=1041, inscription_typed="LR 5507-1182", person=owner)
    gone = send_back(stone=stone, weight_mct=1049, inscription_typed="LR 5507-1182", person=owner)
    assert (gone.state, gone.holder) == (StoneState.RETURNED, "")
    a_stone(agreed, owner)  # its report is free again


def test_a_chosen_stone_does_not_go_back(stone, owner):
    with pytest.raises(Refused):
        send_back(stone=stone, weight_mct=1050, inscription_typed="LR 5507-1182", person=owner)


def test_who_holds_a_stone_is_written_down(stone, owner):
    measured(stone, owner)
    hand_over(stone=stone, holder="Ivo Thornquill", person=owner)
    with pytest.raises(Refused):
        hand_over(stone=stone, holder=" ", person=owner)
    assert [row["holder"] for row in queries.held_by()] == ["Ivo Thornquill"]
    assert list(Custody.objects.values_list("holder", flat=True)) == ["The safe", "Ivo Thornquill"]


@pytest.mark.parametrize("path", ["/studio/stones/", "/studio/stones/held/"])
def test_questions_to_the_database_do_not_grow_with_stones(studio, agreed, owner, path):
    counts = []
    for batch in (1, 29):
        for place in range(batch):
            stone = a_stone(
                agreed,
                owner,
                report_number=f"{batch}-{place}",
                owner="supplier",
                return_by=datetime.date(2026, 12, 22),
            )
            Stone.objects.filter(pk=stone.pk).update(holder=f"Holder {place % 3}")
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(path).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_comparing_thirty_stones_asks_no_more_than_one(studio, agreed, owner):
    counts = []
    for batch in (1, 29):
        for place in range(batch):
            a_stone(agreed, owner, report_number=f"{batch}-{place}")
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(page(agreed)).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("path", ["/studio/stones/", "/studio/stones/held/"])
def test_a_setter_does_not_see_the_register(setter, path):
    browser = Browser()
    browser.force_login(setter)
    assert browser.get(path).status_code == 403
