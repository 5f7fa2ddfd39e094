"""The plot, and the stone turned under its claws."""

import pytest
from django.test import Client as Browser

from commissions.record.errors import Refused
from commissions.sourcing import queries
from commissions.sourcing.actions import plot_mark, strike_mark, turn_stone
from commissions.sourcing.models import PlotMark, Stone, Turning

pytestmark = pytest.mark.django_db

MARK = {
    "kind": "dark-crystal",
    "position": "4:00",
    "distance": "92",
    "size": "0,20",
    "look": "2",
    "note": "Like a comma",
}


def page(stone):
    return f"/studio/stones/{stone.pk}/plot/"


def a_mark(stone, owner, **changes):
    facts = {"kind": "dark-crystal", "position": "4", "out_permille": 920, "size_hmm": 20, "look": 2}
    return plot_mark(stone=stone, person=owner, **{**facts, "surface": False, **changes})


def test_a_mark_is_plotted_from_the_form_alone(studio, stone):
    assert studio.post(page(stone), MARK).status_code == 302
    row = PlotMark.objects.get()
    assert (row.angle_cdeg, row.out_permille, row.size_hmm, row.surface) == (33000, 920, 20, False)
    assert "Dark crystal at 4 o&#x27;clock" in studio.get(page(stone)).content.decode()


@pytest.mark.parametrize(
    ("field", "wrong"), [("position", "half past"), ("distance", "101"), ("size", "0"), ("size", "speck")]
)
def test_wrong_input_stays(studio, stone, field, wrong):
    answer = studio.post(page(stone), {**MARK, field: wrong})
    assert field in answer.context["form"].errors
    assert f'value="{wrong}"' in answer.content.decode()
    assert 'value="Like a comma"' in answer.content.decode()
    assert not PlotMark.objects.exists()


def test_a_struck_mark_stays_in_the_book(stone, owner):
    row = a_mark(stone, owner)
    strike_mark(mark=row, person=owner)
    with pytest.raises(Refused):
        strike_mark(mark=row, person=owner)
    assert not queries.marks(stone=stone).exists()
    assert PlotMark.objects.get().struck_by == str(owner)


def test_a_free_turn_brings_the_mark_under_a_claw(stone, owner):
    # Claws stand at 45, 135, 225 and 315 degrees; 4 o'clock is 330, so 15 degrees from the nearest.
    a_mark(stone, owner)
    row = turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    shown = queries.turned(stone=stone)
    turned_to = (330 + row.rotation_cdeg / 100) % 90
    assert abs(turned_to - 45) < 8
    assert (row.hidden_before_permille, row.hidden_after_permille) == (0, 1000)
    assert shown["current"]
    assert "<svg" in shown["svg"]
    assert queries.orientation(commission=stone.commission)["rotation_deg"] == row.rotation_cdeg / 100


def test_turning_by_facets_keeps_to_its_steps(stone, owner):
    a_mark(stone, owner, position="3")
    row = turn_stone(stone=stone, step_deg=45, reach_hmm=60, person=owner)
    assert row.rotation_cdeg % 4500 == 0
    assert row.hidden_after_permille == 1000


def test_a_later_mark_makes_the_turn_stale(stone, owner):
    a_mark(stone, owner)
    turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    a_mark(stone, owner, position="9")
    assert not queries.turned(stone=stone)["current"]


def test_a_feather_under_a_claw_is_cautioned(stone, owner):
    a_mark(stone, owner, kind="feather", surface=True)
    turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    assert "can break the stone" in queries.turned(stone=stone)["cautions"][0]


def test_nothing_to_hide_is_said(stone, owner):
    with pytest.raises(Refused):
        turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)


def test_a_pear_lies_one_way(stone, owner, studio):
    Stone.objects.filter(pk=stone.pk).update(outline={"cut": "pear", "length_mm": 9.0, "width_mm": 6.0})
    stone.refresh_from_db()
    a_mark(stone, owner)
    with pytest.raises(Refused):
        turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    assert "one way only" in studio.get(page(stone)).content.decode()


def test_the_turn_is_found_from_the_page(studio, stone, owner):
    a_mark(stone, owner)
    path = f"/studio/stones/{stone.pk}/turn/"
    assert studio.post(path, {"step": "0", "reach": "far"}).status_code == 422
    assert studio.post(path, {"step": "0", "reach": "0.60"}).status_code == 302
    assert Turning.objects.get().reach_hmm == 60
    assert "Turn the stone" in studio.get(page(stone)).content.decode()


def test_strangers_and_setters_do_not_plot(stone, setter):
    assert Browser().get(page(stone)).status_code == 302
    browser = Browser()
    browser.force_login(setter)
    assert browser.get(page(stone)).status_code == 403
