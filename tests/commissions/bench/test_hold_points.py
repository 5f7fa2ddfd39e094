"""Where the client chose to be asked, the next step waits for their word, whoever hears it."""

import datetime
import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, transaction
from django.test import Client as Browser
from PIL import Image

from commissions.bench import actions, queries
from commissions.bench.models import StepState, SupplierTask
from commissions.record import approving, holdpoints
from commissions.record.actions import answer_questions
from commissions.record.errors import Refused
from commissions.record.models import ClientWord, HoldPointChoice, Question, StageMove
from commissions.record.route import Stage, Turn
from studio import clock
from studio.pictures.actions import receive, render
from tests.commissions.bench.conftest import to_the_bench, with_stone, work_up_to
from tests.post import sign_in_client

KEY = "approve:hold-model"


@pytest.fixture
def chosen(job):
    """Joachim's ring, which waits for his word after the model."""
    answer_questions(commission=job, prefix="design.", by_words="Joachim")
    holdpoints.choose(commission=job, points=["model"], by_words="Joachim")
    return job


def finish_the_model(job, person):
    """Everything of the model done, weighed, its stone checked in."""
    with_stone(job)
    while (step := queries.current_step(commission=job)).stage == Stage.MODEL:
        following = queries.next_step(commission=job, after=step)
        if following.stage != Stage.MODEL:
            actions.weigh(
                commission=job, step=step, kind="model", gross_mg=287, tare_mg=0, scale="", person=person
            )
        actions.finish_step(commission=job, step=step, person=person)
    job.refresh_from_db()
    return step


def show(job, person, *, step=None):
    """A released photograph, of the model unless a step is named."""
    out = io.BytesIO()
    Image.new("RGB", (200, 150), "#999").save(out, "JPEG")
    picture = receive(upload=SimpleUploadedFile("m.jpg", out.getvalue()), kind="bench", person_words="M")
    render(pk=picture.pk)
    picture.refresh_from_db()
    photo = actions.add_photo(
        commission=job,
        picture=picture,
        step=step or queries.steps(commission=job).filter(stage=Stage.MODEL).last(),
        person=person,
        caption="The model",
    )
    actions.release_photo(photo=photo, background_checked=True, person=person)
    job.refresh_from_db()
    return photo


def asked(job) -> Question:
    """The client's open question at the model."""
    return Question.objects.get(commission=job, key=KEY, answered_at=None)


def test_a_job_without_hold_points_goes_on_as_ever(job, jeweller):
    work_up_to(job, jeweller, Stage.CASTING)
    assert not Question.objects.filter(key__startswith="approve:hold").exists()


def test_the_step_is_done_and_the_ring_stays_where_the_client_looks(chosen, jeweller):
    moves = StageMove.objects.count()
    step = finish_the_model(chosen, jeweller)
    assert step.stage == Stage.CASTING and step.state == StepState.WAITING
    assert chosen.stage == Stage.MODEL and StageMove.objects.count() == moves
    assert queries.steps(commission=chosen).filter(stage=Stage.MODEL, state=StepState.DONE).exists()


def test_without_a_photograph_showing_one_is_ours_then_the_client_is_asked(chosen, jeweller, owner):
    finish_the_model(chosen, jeweller)
    assert chosen.turn == Turn.US and chosen.next_act.startswith("Release a photograph of the model")
    show(chosen, owner)
    assert chosen.turn == Turn.CLIENT
    assert not Question.objects.filter(key="hold-show:model", answered_at=None).exists()
    assert asked(chosen).client_words == "Look at the model and tell us whether to go on"


def test_a_photograph_shown_before_asks_at_once(chosen, jeweller, owner):
    show(chosen, owner)
    finish_the_model(chosen, jeweller)
    assert chosen.turn == Turn.CLIENT and asked(chosen).blocking


def test_nothing_after_it_starts_is_finished_left_out_or_sent_before_the_client_says_go(
    chosen, jeweller, owner
):
    step = finish_the_model(chosen, jeweller)
    show(chosen, owner)
    for act in (
        lambda: actions.start_step(commission=chosen, step=step, person=jeweller),
        lambda: actions.finish_step(commission=chosen, step=step, person=jeweller),
        lambda: actions.leave_out_step(commission=chosen, step=step, reason="not needed", person=jeweller),
    ):
        with pytest.raises(Refused, match="Waiting for the client’s word on the model since"):
            act()
    type(step).objects.filter(pk=step.pk).update(supplier_task=SupplierTask.CASTER)
    with pytest.raises(Refused, match="Waiting for the client"):
        actions.send_out(
            commission=chosen,
            task=SupplierTask.CASTER,
            supplier="Caster",
            words="",
            due_on=clock.today(),
            person=owner,
            sent_mg=287,
        )
    step.refresh_from_db()
    assert step.state == StepState.WAITING and chosen.stage == Stage.MODEL


def test_go_on_the_clients_page_lets_the_step_start_and_the_ring_follow(chosen, jeweller, owner, joachim):
    step = finish_the_model(chosen, jeweller)
    show(chosen, owner)
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    path = f"/yours/{chosen.reference}/answer/{asked(chosen).pk}/"
    page = device.get(path).content.decode()
    assert "The model" in page and "Nothing goes on before you say so" in page and "Go on</button>" in page
    device.post(path, {"act": "approve", "words": ""})
    word = ClientWord.objects.get()
    assert (word.answer, word.way, word.access_id) == ("approve", "page", joachim.access_id)
    chosen.refresh_from_db()
    assert chosen.turn == Turn.US and chosen.next_act.endswith(step.name)
    actions.start_step(commission=chosen, step=step, person=jeweller)
    chosen.refresh_from_db()
    assert chosen.stage == Stage.CASTING


def test_go_lets_a_supplier_have_it(chosen, jeweller, owner, joachim):
    step = finish_the_model(chosen, jeweller)
    type(step).objects.filter(pk=step.pk).update(supplier_task=SupplierTask.CASTER)
    show(chosen, owner)
    approving.reply(
        commission=chosen, question=asked(chosen), answer="approve", words="", access=joachim.access
    )
    actions.send_out(
        commission=chosen,
        task=SupplierTask.CASTER,
        supplier="Caster",
        words="",
        due_on=clock.today(),
        person=owner,
        sent_mg=287,
    )
    chosen.refresh_from_db()
    assert chosen.stage == Stage.CASTING and chosen.turn == Turn.SUPPLIER


def test_not_yet_keeps_it_waiting_until_we_answer_and_ask_anew(chosen, jeweller, owner, joachim, client):
    step = finish_the_model(chosen, jeweller)
    show(chosen, owner)
    approving.reply(
        commission=chosen,
        question=asked(chosen),
        answer="not-yet",
        words="Lower, please",
        access=joachim.access,
    )
    chosen.refresh_from_db()
    assert chosen.turn == Turn.US and chosen.next_path.endswith("/hold-points/")
    with pytest.raises(Refused, match="answer, then ask anew"):
        actions.start_step(commission=chosen, step=step, person=jeweller)
    client.force_login(owner)
    path = f"/studio/commissions/{chosen.reference}/hold-points/"
    assert "Lower, please" in client.get(path).content.decode()
    client.post(path, {"again": "1"})
    chosen.refresh_from_db()
    assert chosen.turn == Turn.CLIENT
    assert not Question.objects.filter(key=f"answer-to:{KEY}", answered_at=None).exists()


def typed(**changes):
    """What the studio types of a word given by telephone."""
    today = clock.today()
    day = {f"said_on_{part}": str(getattr(today, part)) for part in ("day", "month", "year")}
    return {
        "word": "1",
        "answer": "approve",
        "said_by": "Joachim",
        "way": "telephone",
        "words": "",
        **day,
        **changes,
    }


def test_a_word_by_telephone_is_kept_with_who_said_it_when_and_who_heard_it(chosen, jeweller, owner, client):
    step = finish_the_model(chosen, jeweller)
    show(chosen, owner)
    client.force_login(jeweller)
    answer = client.post(f"/studio/commissions/{chosen.reference}/hold-points/", typed())
    assert answer.status_code == 302
    word = ClientWord.objects.get()
    assert (word.by_words, word.way, word.person, word.said_on) == (
        "Joachim",
        "telephone",
        jeweller,
        clock.today(),
    )
    actions.start_step(commission=chosen, step=step, person=jeweller)
    page = client.get(f"/studio/commissions/{chosen.reference}/hold-points/").content.decode()
    assert f"written down by {jeweller}" in page and "by telephone" in page


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"answer": ""}, "Say which of the three"),
        ({"said_by": " "}, "Write who said it"),
        ({"answer": "not-yet"}, "Write what they asked"),
        ({"said_on_month": "13"}, "no date we know"),
        ({"said_on_year": str(clock.today().year + 1)}, "still to come"),
        ({"said_on_year": str(clock.today().year - 1)}, "cannot answer it"),
        ({"way": "page"}, "Select a valid choice"),
    ],
)
def test_a_word_that_cannot_be_kept_is_refused_with_what_was_typed(
    chosen, jeweller, owner, client, changes, said
):
    finish_the_model(chosen, jeweller)
    show(chosen, owner)
    client.force_login(owner)
    data = typed(**{"words": "" if changes.get("answer") == "not-yet" else "He is sure", **changes})
    page = client.post(f"/studio/commissions/{chosen.reference}/hold-points/", data).content.decode()
    assert said in page and data["words"] in page
    assert not ClientWord.objects.exists() and asked(chosen)


def test_the_phone_says_what_it_waits_for_and_offers_nothing_else(chosen, jeweller, setter, owner, client):
    finish_the_model(chosen, jeweller)
    client.force_login(jeweller)
    page = client.get(f"/studio/bench/{chosen.reference}/").content.decode()
    assert "The client wants to see the model first" in page and "Release a photograph" in page
    show(chosen, owner)
    page = client.get(f"/studio/bench/{chosen.reference}/").content.decode()
    assert "Waiting for the client’s word on the model since" in page
    assert ">Start<" not in page and ">Step done<" not in page and "Photograph" in page


def test_a_point_that_is_passed_or_waited_at_cannot_be_changed(chosen, jeweller, owner, joachim):
    finish_the_model(chosen, jeweller)
    show(chosen, owner)
    with pytest.raises(Refused, match="waiting for your word"):
        holdpoints.choose(commission=chosen, points=[], by_words="Joachim")
    approving.reply(
        commission=chosen, question=asked(chosen), answer="approve", words="", access=joachim.access
    )
    with pytest.raises(Refused, match="done already"):
        holdpoints.choose(commission=chosen, points=[], by_words="Joachim")
    holdpoints.choose(commission=chosen, points=["model", "stones-set"], by_words="Joachim")


def test_all_three_points_hold_and_the_instalment_is_asked_for_when_the_stones_are_set(
    job, jeweller, owner, joachim, monkeypatch
):
    told = []
    monkeypatch.setattr(
        "commissions.bench.actions.steps.event_happened", lambda *, commission, event: told.append(event)
    )
    holdpoints.choose(commission=job, points=["model", "casting", "stones-set"], by_words="Joachim")
    stages = {"model": Stage.MODEL, "casting": Stage.CASTING, "stones-set": Stage.SETTING}
    with_stone(job)
    evidence = {"casting": ("model", 287), "setting": ("mount", 4310)}
    seen = []
    while len(seen) < 3:
        step = queries.current_step(commission=job)
        held = queries.held_at(commission=job, step=step)
        if held:
            assert job.stage == stages[held.point.point]
            seen.append(held.point.point)
            show(job, owner, step=queries.steps(commission=job).filter(stage=job.stage).last())
            question = Question.objects.get(key=f"approve:hold-{held.point.point}", answered_at=None)
            approving.reply(
                commission=job, question=question, answer="approve", words="", access=joachim.access
            )
            continue
        following = queries.next_step(commission=job, after=step)
        if following.stage in evidence and following.stage != step.stage:
            kind, mg = evidence[following.stage]
            actions.weigh(
                commission=job, step=step, kind=kind, gross_mg=mg, tare_mg=0, scale="", person=jeweller
            )
        if following.stage == "finishing" and step.stage != "finishing":
            actions.count_stones(
                commission=job, step=step, issued=18, set=18, returned=0, broken=0, lost=0, person=jeweller
            )
        actions.finish_step(commission=job, step=step, person=jeweller)
        job.refresh_from_db()
    assert seen == ["model", "casting", "stones-set"]
    assert told == ["stones-set"]


def test_a_stage_that_was_left_out_has_nothing_to_look_at(chosen, jeweller):
    with_stone(chosen)
    while (step := queries.current_step(commission=chosen)).stage == Stage.MODEL:
        following = queries.next_step(commission=chosen, after=step)
        if following.stage != Stage.MODEL:
            actions.weigh(
                commission=chosen, step=step, kind="model", gross_mg=287, tare_mg=0, scale="", person=jeweller
            )
        actions.leave_out_step(
            commission=chosen, step=step, reason="cast from an older model", person=jeweller
        )
    chosen.refresh_from_db()
    assert chosen.stage == Stage.CASTING


def test_a_hand_made_ring_passes_a_point_it_never_comes_to(commission, owner, jeweller):
    holdpoints.choose(commission=commission, points=["model"], by_words="Joachim")
    job = to_the_bench(commission, owner, "Hand-made mount")
    step = queries.current_step(commission=job)
    actions.start_step(commission=job, step=step, person=jeweller)
    assert queries.held_at(commission=job, step=step) is None


def test_step_done_taken_back_takes_the_clients_question_back(chosen, jeweller, owner):
    show(chosen, owner)
    finish_the_model(chosen, jeweller)
    last = queries.steps(commission=chosen).filter(stage=Stage.MODEL).last()
    assert asked(chosen)
    actions.reopen_step(commission=chosen, step=last, person=jeweller)
    assert not Question.objects.filter(key=KEY, answered_at=None).exists()
    chosen.refresh_from_db()
    assert chosen.turn == Turn.US


def test_the_client_chooses_with_the_direction_and_changes_it_later(commission, owner, joachim):
    from commissions.design.actions import draft_revision, send_revision
    from tests.commissions.design.conftest import standard

    row = draft_revision(commission=commission, parameters=standard(), person=owner)
    send_revision(revision=row, person=owner)
    device = sign_in_client(Browser(), joachim)
    page = device.get(f"/yours/{commission.reference}/design/").content.decode()
    assert "It is not a contract" in page
    device.post(
        f"/yours/{commission.reference}/design/",
        {"kind": "agree", "letter": "A", "words": "", "holds": ["model", "stones-set"]},
    )
    wanted = [row.point for row in holdpoints.standings(commission=commission) if row.wanted]
    assert wanted == ["model", "stones-set"]
    device.post(f"/yours/{commission.reference}/hold-points/", {"holds": ["casting"]})
    wanted = [row.point for row in holdpoints.standings(commission=commission) if row.wanted]
    assert wanted == ["casting"]
    assert HoldPointChoice.objects.count() == 5
    refused = device.post(f"/yours/{commission.reference}/hold-points/", {"holds": ["moon"]})
    assert "holds" in refused.context["form"].errors


def test_nobody_else_chooses_or_gives_a_word(chosen, jeweller, owner, delphine, setter, client):
    finish_the_model(chosen, jeweller)
    show(chosen, owner)
    hers = sign_in_client(Browser(), delphine, stepped_up=True)
    assert hers.post(f"/yours/{chosen.reference}/hold-points/", {"holds": []}).status_code == 404
    hers.post(f"/yours/{chosen.reference}/answer/{asked(chosen).pk}/", {"act": "approve"})
    client.force_login(setter)
    assert client.post(f"/studio/commissions/{chosen.reference}/hold-points/", typed()).status_code == 403
    assert not ClientWord.objects.exists()


def test_choices_and_words_only_grow(chosen, jeweller, owner, joachim):
    finish_the_model(chosen, jeweller)
    show(chosen, owner)
    approving.reply(
        commission=chosen, question=asked(chosen), answer="approve", words="", access=joachim.access
    )
    for rows in (HoldPointChoice.objects.all(), ClientWord.objects.all()):
        with pytest.raises(DatabaseError, match="only grows"), transaction.atomic():
            rows.update(by_words="somebody else")
        with pytest.raises(DatabaseError, match="only grows"), transaction.atomic():
            rows._raw_delete(rows.db)


def test_asking_again_counts_its_days_anew(chosen, jeweller, owner):
    finish_the_model(chosen, jeweller)
    show(chosen, owner)
    assert asked(chosen).due_on == clock.add_working_days(clock.today(), 3)
    assert asked(chosen).due_on - clock.today() >= datetime.timedelta(days=3)
