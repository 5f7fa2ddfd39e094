"""Stones side by side: how large each looks, the halo each would get, what it costs, until when it stays."""

import datetime
import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from commissions.design import computing
from commissions.sourcing import queries, refit
from commissions.sourcing.actions import offer_stones, open_lot
from commissions.sourcing.queries.comparing import face
from tests.commissions.sourcing.conftest import a_stone, measured

pytestmark = pytest.mark.django_db

LARGE = {
    "name": "Round 1.25",
    "outline": {"cut": "round", "diameter_mm": 6.9},
    "length_hmm": 691,
    "width_hmm": 689,
    "depth_hmm": 424,
    "weight_mct": 1250,
    "report_number": "LR 2",
}


def page(commission):
    return f"/studio/commissions/{commission.reference}/stones/"


@pytest.mark.parametrize(
    ("outline", "area", "as_round"),
    [
        # Closed forms: pi d^2 / 4; pi l w / 4, and the round of that area.
        ({"cut": "round", "diameter_mm": 6.5}, "33.2", ""),
        ({"cut": "oval", "length_mm": 8.0, "width_mm": 6.0}, "37.7", "6.93"),
        ({"cut": "princess", "length_mm": 6.0, "width_mm": 6.0}, "36.0", "6.77"),
    ],
)
def test_how_large_a_stone_looks(outline, area, as_round):
    assert face(outline) == {"area": area, "as_round": as_round}


def test_each_stone_stands_in_the_halo_a_revision_drawn_to_it_would_have(agreed, owner):
    a_stone(agreed, owner)
    a_stone(agreed, owner, **LARGE)
    small, large = queries.compared(commission=agreed)
    revision = agreed.revisions.get()
    for row in (small, large):
        wish = {
            **revision.parameters,
            "centre": {**revision.parameters["centre"], "outline": row["stone"].outline},
        }
        figures = computing.outputs(wish)["layout"]["figures"]
        assert row["halo"]["stones"] == figures["stones"]
        assert row["halo"]["counts"] == refit.counts_in_words(figures["counts"])
        assert row["halo"]["across"] == f"{figures['width_mm']:.2f} × {figures['length_mm']:.2f}"
    assert float(large["area"]) > float(small["area"])
    # One scale: both drawings show the same piece of paper.
    boxes = {re.search(r'viewBox="([^"]+)"', row["svg"])[1] for row in (small, large)}
    assert len(boxes) == 1


def test_the_halo_is_costed_from_the_newest_lot_of_its_origin(agreed, owner):
    a_stone(agreed, owner)
    before = queries.compared(commission=agreed)[0]["halo"]
    assert before["cost"] == [] and before["cost_unknown"]
    counts = agreed.revisions.get().outputs["layout"]["figures"]["counts"]
    (size, count) = next(iter(counts.items()))
    lot = {
        "size_hmm": round(float(size) * 100),
        "count": 50,
        "person": owner,
        "reason": "test",
        "currency": "GBP",
    }
    weight = {"weight_mct": round(50 * 7.5 * (float(size) / 1.2) ** 3)}
    open_lot(name="old", origin="natural", cost_minor=30000, **weight, **lot)
    open_lot(name="new", origin="natural", cost_minor=40000, **weight, **lot)
    open_lot(name="grown", origin="laboratory-grown", cost_minor=10000, **weight, **lot)
    after = queries.compared(commission=agreed)[0]["halo"]
    assert after["cost"][0] == {"minor": round(40000 * count / 50), "currency": "GBP"}


def test_what_we_measured_stands_in_place_of_the_report(agreed, owner):
    stone = a_stone(agreed, owner)
    measured(stone, owner, length=655, width=653)
    (row,) = queries.compared(commission=agreed)
    assert (row["measures"].length_hmm, row["seen"].stone) == (655, stone)


def test_the_client_reads_their_price_and_how_long_the_stone_stays(agreed, owner, device):
    a_stone(
        agreed,
        owner,
        owner="supplier",
        price_minor=123456,
        currency="USD",
        asked_minor=515000,
        return_by=datetime.date(2026, 12, 22),
        supplier="Antwerp Stones",
    )
    offer_stones(commission=agreed, person=owner)
    text = device.get(f"/yours/{agreed.reference}/stones/").content.decode()
    assert "GBP" in text and "5,150.00" in text
    assert "kept for you until 22 December" in text
    assert "1,234.56" not in text and "Antwerp" not in text
    assert "seen from above" in text and "stones:" in text


def test_a_supplier_may_price_in_another_currency(studio, agreed):
    facts = {
        "name": "Oval", "species": "diamond", "origin": "natural", "cut": "oval", "length": "8.1", "width": "6.1",
        "depth": "3.7", "owner": "supplier", "price": "USD 3,100.50", "asked": "4 200", "received_on": "1 12 2026",
        "return_by": "11 12 2026", "insurer": "the supplier", "slip": "S-1",
    }  # fmt: skip
    assert studio.post(page(agreed), facts).status_code == 302
    stone = agreed.stones.get()
    assert (stone.price_minor, stone.currency, stone.asked_minor) == (310050, "USD", 420000)
    assert (stone.insurer, stone.received_on) == ("the supplier", datetime.date(2026, 12, 1))
    for field, wrong in (("price", "QQQ 5"), ("asked", "USD 5"), ("return_by", "1 11 2026")):
        answer = studio.post(page(agreed), {**facts, field: wrong})
        assert field in answer.context["form"].errors, field


@pytest.mark.parametrize("place", ["studio", "client"])
def test_comparing_asks_as_often_for_thirty_as_for_one(agreed, owner, studio, device, place):
    counts = []
    for batch in (1, 29):
        for number in range(batch):
            a_stone(agreed, owner, report_number=f"{batch}-{number}")
        offer_stones(commission=agreed, person=owner)
        browser, path = (
            (studio, page(agreed)) if place == "studio" else (device, f"/yours/{agreed.reference}/stones/")
        )
        browser.get(path)
        with CaptureQueriesContext(connection) as seen:
            assert browser.get(path).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]
