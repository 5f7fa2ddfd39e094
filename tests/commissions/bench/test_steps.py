"""A job goes along its steps, and a refused move says what is missing and where it is done."""

import pytest

from commissions.bench import actions, gates, queries
from commissions.bench.models import Step, StepState, StepTemplate
from commissions.record import actions as record
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import StageMove
from commissions.record.route import Stage, Turn
from tests.commissions.bench.conftest import to_the_bench, with_stone, work_up_to

GATE = gates.agreement_stands


def test_beginning_lays_the_steps_and_asks_for_the_first(job):
    assert job.stage == Stage.MODEL
    assert job.turn == Turn.US
    assert job.next_act == "Model drawn from the measured stone"
    assert job.next_path == f"/studio/bench/{job.reference}/"
    assert [step.position for step in queries.steps(commission=job)] == list(
        range(1, Step.objects.count() + 1)
    )


def test_a_hand_made_mount_begins_at_mounting_and_is_never_cast(commission, owner):
    job = to_the_bench(commission, owner, "Hand-made mount")
    assert job.stage == Stage.MOUNTING
    assert not Step.objects.filter(stage__in=[Stage.MODEL, Stage.CASTING]).exists()


def test_beginning_twice_is_refused_and_lays_nothing(job, owner):
    before = Step.objects.count()
    with pytest.raises(Refused, match="laid already"):
        actions.begin(commission=job, template=StepTemplate.objects.first(), person=owner)
    assert Step.objects.count() == before


def test_finishing_within_a_stage_asks_for_the_next_step_and_makes_no_move(job, jeweller):
    moves = StageMove.objects.count()
    following = actions.finish_step(
        commission=job, step=queries.current_step(commission=job), person=jeweller
    )
    assert following.name == "Model grown and checked"
    assert job.next_act == "Model grown and checked"
    assert StageMove.objects.count() == moves


def test_casting_waits_for_the_weight_of_the_model(job, jeweller):
    with_stone(job)
    actions.finish_step(commission=job, step=queries.current_step(commission=job), person=jeweller)
    step = queries.current_step(commission=job)
    with pytest.raises(Refused) as refused:
        actions.finish_step(commission=job, step=step, person=jeweller)
    assert [(row.words[:33], row.path) for row in refused.value.missing] == [
        ("The model has not been weighed: t", f"/studio/bench/{job.reference}/weigh/?kind=model")
    ]
    step.refresh_from_db()
    assert step.state == StepState.WAITING
    actions.weigh(
        commission=job, step=step, kind="model", gross_mg=287, tare_mg=0, scale="A", person=jeweller
    )
    actions.finish_step(commission=job, step=step, person=jeweller)
    assert job.stage == Stage.CASTING
    assert (job.turn, job.next_act) == (Turn.US, "Send it to the caster: Cast")
    assert job.moves.last().door == "bench.finish_step"


def test_stones_that_do_not_add_up_keep_the_ring_in_setting(job, jeweller):
    work_up_to(job, jeweller, Stage.SETTING)
    while (
        queries.next_step(commission=job, after=queries.current_step(commission=job)).stage == Stage.SETTING
    ):
        actions.finish_step(commission=job, step=queries.current_step(commission=job), person=jeweller)
    last = queries.current_step(commission=job)
    with pytest.raises(Refused, match="have not been counted"):
        actions.finish_step(commission=job, step=last, person=jeweller)
    count = {"issued": 20, "set": 18, "returned": 1, "broken": 0, "lost": 0}
    actions.count_stones(commission=job, step=last, person=jeweller, **count)
    with pytest.raises(Refused, match="1 of 20 issued stones"):
        actions.finish_step(commission=job, step=last, person=jeweller)
    actions.count_stones(commission=job, step=last, person=jeweller, **{**count, "broken": 1})
    actions.finish_step(commission=job, step=last, person=jeweller)
    assert job.stage == Stage.FINISHING


def test_an_open_problem_and_a_hold_are_told_together(job, jeweller, owner):
    step = queries.current_step(commission=job)
    problem = actions.report_problem(commission=job, step=step, words="Seat too deep", person=jeweller)
    assert job.next_act == "Problem: Seat too deep"
    record.place_hold(commission=job, reason="Condition record unsigned", person=owner)
    with pytest.raises(Refused) as refused:
        actions.finish_step(commission=job, step=step, person=jeweller)
    assert len(refused.value.missing) == 2
    record.lift_holds(commission=job, by_words="Ottoline")
    actions.answer_problem(problem=problem, answer="Seat raised", person=owner)
    actions.finish_step(commission=job, step=step, person=jeweller)
    assert problem.words == "Seat too deep"


def test_two_people_cannot_finish_the_same_step(job, jeweller, owner):
    step = queries.current_step(commission=job)
    actions.finish_step(commission=job, step=step, person=jeweller)
    with pytest.raises(Overtaken):
        actions.finish_step(commission=job, step=step, person=owner)
    assert Step.objects.filter(state=StepState.DONE).count() == 1


def test_starting_and_taking_back_a_step(job, jeweller):
    step = actions.start_step(commission=job, step=queries.current_step(commission=job), person=jeweller)
    assert step.state == StepState.OPEN
    with pytest.raises(Overtaken):
        actions.start_step(commission=job, step=step, person=jeweller)
    actions.finish_step(commission=job, step=step, person=jeweller)
    again = actions.reopen_step(commission=job, step=step, person=jeweller)
    assert queries.current_step(commission=job) == again
    assert job.next_act == step.name


def test_a_step_does_not_start_when_what_was_agreed_has_changed(job, jeweller, monkeypatch):
    monkeypatch.setattr(gates, "approval_differences", lambda *, commission: ["the ring size is 54, not 53"])
    monkeypatch.setattr(gates, "agreement_stands", GATE)
    with pytest.raises(Refused, match="the ring size is 54, not 53"):
        actions.start_step(commission=job, step=queries.current_step(commission=job), person=jeweller)


def test_a_move_along_the_route_is_not_taken_back(job, jeweller):
    work_up_to(job, jeweller, Stage.CASTING)
    done = Step.objects.filter(state=StepState.DONE).order_by("position").last()
    with pytest.raises(Refused, match="not taken back"):
        actions.reopen_step(commission=job, step=done, person=jeweller)


def test_leaving_out_a_step_needs_a_reason_and_passes_the_same_gate(job, jeweller):
    steps = list(queries.steps(commission=job))
    with pytest.raises(Refused, match="Say why"):
        actions.leave_out_step(commission=job, step=steps[1], reason=" ", person=jeweller)
    actions.leave_out_step(commission=job, step=steps[1], reason="Wax came ready", person=jeweller)
    with pytest.raises(Refused, match="not been weighed"):
        actions.finish_step(commission=job, step=steps[0], person=jeweller)
    with pytest.raises(Refused, match="last step cannot"):
        actions.leave_out_step(commission=job, step=steps[-1], reason="No time", person=jeweller)


def test_the_last_step_is_finished_by_the_check_sheet_alone(job, jeweller):
    work_up_to(job, jeweller, Stage.CHECKING)
    while queries.next_step(commission=job, after=queries.current_step(commission=job)):
        actions.finish_step(commission=job, step=queries.current_step(commission=job), person=jeweller)
    with pytest.raises(Refused, match="check sheet"):
        actions.finish_step(commission=job, step=queries.current_step(commission=job), person=jeweller)


def test_a_template_keeps_the_order_of_the_bench_and_ends_in_checking(owner):
    actions.ensure_templates()
    template = StepTemplate.objects.first()
    lines = [{"stage": "setting", "name": "Set"}, {"stage": "model", "name": "Model"}]
    with pytest.raises(Refused, match="order of the bench"):
        actions.edit_template(
            template=template, name="X", words="", is_active=True, lines=lines, person=owner
        )
    with pytest.raises(Refused, match="last step has to be in Checking"):
        actions.edit_template(
            template=template, name="X", words="", is_active=True, lines=lines[:1], person=owner
        )
    assert template.lines.count() > 5
