"""The plot, and the stone turned under its claws."""

import pytest
from django.test import Client as Browser

from commissions.record.errors import Refused
from commissions.sourcing import queries, turning
from commissions.sourcing.actions import plot_mark, say_north, strike_mark, turn_stone
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


def test_no_claw_is_laid_on_a_feather_at_the_surface(stone, owner):
    # A crystal beside a feather: the turn that hides the crystal best would lay a claw on the feather too.
    a_mark(stone, owner, kind="feather", position="4", surface=True)
    a_mark(stone, owner, position="11")
    row = turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    turned = queries.turned(stone=stone)
    assert turned["cautions"] == []
    assert turned["kept_clear"] == ["Mark 1, feather at 4 o'clock, lies clear of every claw."]
    assert row.hidden_after_permille == 1000


def test_where_no_turn_is_free_of_harm_it_is_cautioned(stone, owner):
    # By steps of 45 degrees four claws at the corners bear on a corner or leave the sides: feathers at all eight.
    for clock in ("12", "1½", "3", "4½", "6", "7½", "9", "10½"):
        a_mark(stone, owner, kind="feather", position=clock, surface=True)
    turn_stone(stone=stone, step_deg=45, reach_hmm=60, person=owner)
    turned = queries.turned(stone=stone)
    assert len(turned["cautions"]) == 4
    assert all("can break the stone" in words for words in turned["cautions"])


def test_a_feather_alone_is_laid_as_far_from_the_claws_as_it_goes(stone, owner):
    a_mark(stone, owner, kind="feather", position="4½", surface=True)
    row = turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    # As plotted it lies under a claw (135 degrees from north); half way between two is 45 degrees off.
    assert row.rotation_cdeg / 100 % 90 == pytest.approx(45, abs=0.3)


@pytest.mark.parametrize(
    ("angle", "clock"),
    [(90, "12:00"), (0, "3:00"), (97.2, "11:46"), (330, "4:00"), (89.9, "12:00"), (45, "1:30")],
)
def test_a_direction_is_read_from_a_dial(angle, clock):
    assert turning.dial(angle) == clock


@pytest.mark.parametrize(
    ("outline", "steps"),
    [
        ({"cut": "princess", "length_mm": 6.0, "width_mm": 6.02}, [90]),
        ({"cut": "princess", "length_mm": 7.0, "width_mm": 6.0}, [180]),
        ({"cut": "cushion", "length_mm": 7.0, "width_mm": 7.0}, [90]),
        ({"cut": "oval", "length_mm": 8.0, "width_mm": 6.0}, [180]),
        ({"cut": "heart", "length_mm": 6.0, "width_mm": 6.0}, []),
        ({"cut": "round", "diameter_mm": 6.5}, [None, 45]),
    ],
)
def test_a_cut_turns_only_as_its_shape_allows(outline, steps):
    assert [step for step, _words in turning.steps_of(outline=outline)] == steps


def test_the_turn_is_drawn_in_the_stones_own_outline(stone, owner):
    oval = {"cut": "oval", "length_mm": 9.0, "width_mm": 6.0}
    Stone.objects.filter(pk=stone.pk).update(outline=oval)
    stone.refresh_from_db()
    a_mark(stone, owner, position="1½")
    turn_stone(stone=stone, step_deg=180, reach_hmm=60, person=owner)
    drawn = queries.turned(stone=stone)["svg"]
    # Both plans: an ellipse of the greatest width 8 and the same shape, no circle for a girdle.
    assert drawn.count('rx="2.6667" ry="4"') == 2
    assert 'class="cover"' in drawn


def test_the_bench_is_told_how_the_stone_lies(stone, owner):
    a_mark(stone, owner, position="3")
    turn_stone(stone=stone, step_deg=None, reach_hmm=60, person=owner)
    lie = queries.orientation(commission=stone.commission)
    assert "ask whoever plotted it" in lie["north"]
    say_north(stone=stone, words="where the inscription begins", person=owner)
    stone.refresh_from_db()
    lie = queries.orientation(commission=stone.commission)
    assert lie["north"] == "where the inscription begins"
    assert "12 o'clock" in lie["words"] and "<svg" in lie["drawing"]
    a_mark(stone, owner, position="9")
    lie = queries.orientation(commission=stone.commission)
    assert (lie["drawing"], "work it out again" in lie["words"]) == ("", True)


def test_where_twelve_is_has_words(stone, owner, studio):
    answer = studio.post(f"/studio/stones/{stone.pk}/north/", {"north": " "})
    assert answer.status_code == 422 and answer.context["north_form"].errors["north"]
    studio.post(f"/studio/stones/{stone.pk}/north/", {"north": "the chip"})
    stone.refresh_from_db()
    assert stone.plot_north == "the chip"


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
