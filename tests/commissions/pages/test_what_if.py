"""What if: one or more changes to a revision, side by side, and a draft begun from one of them."""

from __future__ import annotations

import datetime
import re
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.design import computing
from commissions.design.actions import draft_revision, send_revision
from commissions.design.models import Revision
from commissions.design.variations import Change, varied
from commissions.money.actions.prices import NewPrice, keep_prices
from commissions.money.models import PriceKind
from studio.amounts import written
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def sent(commission, owner):
    """Revision A, with the client."""
    return send_revision(
        revision=draft_revision(commission=commission, parameters=standard(), person=owner), person=owner
    )


def browser_of(person) -> Browser:
    browser = Browser()
    browser.force_login(person)
    return browser


@pytest.fixture
def studio(owner):
    """A browser in which the owner is signed in."""
    return browser_of(owner)


def page(commission, rest="A/what-if/"):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def test_nothing_is_changed_by_no_change():
    assert varied(standard(), Change()) == standard()
    assert Change().empty


def test_a_larger_centre_keeps_its_shape():
    before = {
        "cut": "cushion",
        "length_mm": 8.0,
        "width_mm": 6.0,
        "corner_radius_mm": 1.8,
        "side_bow_mm": 0.2,
    }
    wish = computing.standard(centre=before, depth_mm=4.0, circumference_mm=54.0, metal="18ct yellow")
    after = varied(wish, Change(centre_mm=1.0))
    outline = after["centre"]["outline"]
    assert outline == {
        "cut": "cushion", "length_mm": 9.0, "width_mm": 6.75, "corner_radius_mm": 2.025, "side_bow_mm": 0.225
    }  # fmt: skip
    assert after["centre"]["depth_mm"] == 4.5
    assert wish["centre"]["outline"] == before


def test_another_alloy_weighs_by_its_density_alone():
    """The same volume in another metal: masses go as the densities do."""
    wish = standard()
    other = computing.outputs(varied(wish, Change(metal="Pt950Ru")))["metal"]
    own = computing.outputs(wish)["metal"]
    assert other["finished_mg"] / own["finished_mg"] == pytest.approx(
        other["density_g_cm3"] / own["density_g_cm3"], rel=1e-3
    )
    assert other["shank_mm3"] == own["shank_mm3"]


def test_another_melee_size_fits_another_number(studio, commission, sent):
    answer = studio.get(page(commission), {"melee_mm": "1.6"})
    columns = [column for column, _svg in answer.context["columns"]]
    assert [column.head for column in columns] == ["As it is", "Halo stones of 1.60 mm"]
    assert columns[1].layout["figures"]["stones"] < columns[0].layout["figures"]["stones"]


def test_several_changes_stand_alone_and_together(studio, commission, sent):
    answer = studio.get(
        page(commission), {"centre_mm": "−0,5", "metal": "Pt950Ru", "size": "56", "system": "iso"}
    )
    heads = [column.head for column, _svg in answer.context["columns"]]
    assert heads == ["As it is", "Centre −0.5 mm", "Pt950Ru", "Finger 56.0 mm", "All of it"]
    assert not Revision.objects.filter(status="draft").exists()


def test_drawings_stand_at_one_scale(studio, commission, sent):
    text = studio.get(page(commission), {"centre_mm": "1"}).content.decode()
    frames = re.findall(r'class="drawing same-scale" viewBox="([^"]+)"', text)
    assert len(frames) == 2 and len(set(frames)) == 1


@pytest.mark.parametrize(
    ("asked", "box"),
    [({"centre_mm": "much"}, "centre_mm"), ({"centre_mm": "9"}, "centre_mm"), ({"melee_mm": "0.1"}, "melee_mm"),
     ({"size": "Q9"}, "size"), ({"metal": "mithril"}, "metal")],
)  # fmt: skip
def test_wrong_input_is_told_beside_its_box(studio, commission, sent, asked, box):
    answer = studio.get(page(commission), asked)
    assert answer.status_code == 422
    assert box in answer.context["form"].errors
    assert len(answer.context["columns"]) == 1


def price_list(owner):
    rows = [
        (PriceKind.METAL, "Au", "2400", "2400"),
        (PriceKind.METAL, "Pt", "900", "900"),
        *((PriceKind.MELEE, f"{size / 100:.2f}", "12", "6") for size in range(100, 190, 10)),
        (PriceKind.SET_HALO, "", "18", "9"),
        (PriceKind.SET_CENTRE, "", "90", "45"),
    ]
    return keep_prices(
        currency="GBP",
        from_on=datetime.date(2020, 1, 1),
        source="An invented list",
        prices=[
            NewPrice(kind=kind, name=name, price=Decimal(price), cost=Decimal(cost))
            for kind, name, price, cost in rows
        ],
        person=owner,
    )


def test_the_owner_sees_the_price_and_the_jeweller_does_not(commission, sent, owner, jeweller, studio):
    price_list(owner)
    asked = {"melee_mm": "1.6"}
    rows = {row["name"]: row["cells"] for row in studio.get(page(commission), asked).context["rows"]}
    ring = rows["Ring without its centre, before tax"]
    assert ring[0]["words"] != ring[1]["words"]
    assert rows["Against what stands"][1]["words"].split()[-1] in ("more", "less")
    shown = browser_of(jeweller).get(page(commission), asked)
    assert "before tax" not in shown.content.decode()


def test_the_difference_is_that_of_the_quotations_own_lines(commission, sent, owner, studio):
    """Twelve pounds a stone and eighteen its setting: so many stones fewer cost thirty pounds each less."""
    price_list(owner)
    answer = studio.get(page(commission), {"melee_mm": "1.6"})
    first, second = (column for column, _svg in answer.context["columns"])
    fewer = first.layout["figures"]["stones"] - second.layout["figures"]["stones"]
    rows = {row["name"]: row["cells"] for row in answer.context["rows"]}
    said = rows["Against what stands"][1]["words"]
    assert fewer > 0
    assert said == f"{written(minor=3000 * fewer, currency='GBP')} less"


def test_another_centre_is_another_stone_and_is_not_priced(commission, sent, owner, studio):
    price_list(owner)
    rows = {
        row["name"]: row["cells"] for row in studio.get(page(commission), {"centre_mm": "1"}).context["rows"]
    }
    assert rows["Centre stone, before tax"][1]["words"] == "another stone, not priced"


def test_a_draft_begins_from_a_column(studio, commission, sent):
    answer = studio.get(page(commission), {"centre_mm": "0.5", "metal": "Pt950Ru"})
    together = answer.context["columns"][-1][0]
    draft = studio.get(together.begin)
    form = draft.context["form"]
    assert (float(form.initial["length_mm"]), form.initial["metal"]) == (7.01, "Pt950Ru")
    assert draft.context["preview"] is not None
    boxes = {key: "on" if value is True else value for key, value in form.initial.items()}
    boxes = {key: value for key, value in boxes.items() if value not in (None, False, "")}
    assert studio.post(page(commission, "draft/"), {**boxes, "keep": "1"}).status_code == 302
    kept = Revision.objects.get(letter="B").parameters
    assert kept == together.revision.parameters


def test_questions_to_the_database_do_not_grow_with_columns(studio, commission, sent, owner):
    price_list(owner)
    counts = []
    for asked in ({}, {"centre_mm": "0.5", "melee_mm": "1.4", "metal": "Pt950Ru", "size": "56"}):
        studio.get(page(commission), asked)
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(page(commission), asked).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_strangers_and_setters_are_kept_out(commission, sent, setter):
    assert Browser().get(page(commission)).status_code == 302
    assert browser_of(setter).get(page(commission)).status_code == 403
