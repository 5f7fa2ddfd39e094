"""Whose turn it is follows from the open questions alone."""

import datetime

import pytest

from commissions.record import actions
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission, StageMove
from commissions.record.route import Stage, Turn
from studio.trail.queries import first_break


def test_a_new_commission_waits_for_our_first_design(commission):
    assert commission.turn == Turn.US
    assert commission.next_act == "Send the first design"
    assert [(move.frm, move.to) for move in commission.moves.all()] == [("", "design")]


def test_the_blocking_question_with_the_earliest_date_decides(commission):
    actions.open_question(
        commission=commission,
        key="design.answer:1",
        addressee=Turn.CLIENT,
        words="Answer revision A",
        due_on=datetime.date(2026, 1, 1),
    )
    assert commission.turn == Turn.CLIENT
    actions.answer_question(commission=commission, key="design.answer:1", by_words="Joachim")
    assert commission.turn == Turn.US


def test_a_hold_lies_over_every_question_and_stops_moves(commission, owner):
    actions.place_hold(commission=commission, reason="Condition record unsigned", person=owner)
    assert commission.turn == Turn.HOLD
    with pytest.raises(Refused, match="Condition record unsigned"):
        actions.advance(commission=commission, to=Stage.STONES, door="design.agree_direction", person=owner)
    actions.lift_holds(commission=commission, by_words="Ottoline")
    assert commission.turn == Turn.US


def test_a_move_through_another_door_is_refused_and_leaves_nothing(commission, owner):
    with pytest.raises(Refused):
        actions.advance(commission=commission, to=Stage.STONES, door="money.send_quote", person=owner)
    with pytest.raises(Refused):
        actions.advance(commission=commission, to=Stage.CARE, door="delivery.confirm_arrival", person=owner)
    assert Commission.objects.get().stage == Stage.DESIGN
    assert StageMove.objects.count() == 1


def test_two_people_cannot_make_the_same_move_twice(commission, owner):
    stale = Commission.objects.get()
    actions.advance(commission=commission, to=Stage.STONES, door="design.agree_direction", person=owner)
    with pytest.raises(Overtaken):
        actions.advance(commission=stale, to=Stage.STONES, door="design.agree_direction", person=owner)
    assert StageMove.objects.filter(to=Stage.STONES).count() == 1


def test_a_message_asks_us_without_blocking_and_our_answer_closes_it(commission, owner):
    actions.answer_question(commission=commission, key="design.send", by_words="Ottoline")
    actions.post_message(commission=commission, body="How is it going?", from_client=True)
    assert commission.next_act == "Answer the client's message"
    actions.post_message(commission=commission, body="Well.", from_client=False, person=owner)
    assert commission.next_act == "Say what happens next"


def test_every_move_is_on_the_trail_and_the_chain_holds(commission, owner):
    actions.advance(commission=commission, to=Stage.STONES, door="design.agree_direction", person=owner)
    assert first_break() is None
