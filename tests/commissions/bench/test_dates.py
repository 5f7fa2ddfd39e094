"""Another date: reckoned from what is left, put to the client, and promised only once they have said yes."""

import datetime

import pytest
from django.test import Client as Browser

from commissions.bench import actions, capacity, queries
from commissions.bench.actions.planning import plan_step
from commissions.bench.models import DateAnswer, Step
from commissions.letters.tasks import draft_missing
from commissions.money import bundle as bundles
from commissions.money import queries as money
from commissions.money.models import Approval, Quote
from commissions.record import actions as record
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import PromiseChange, Question
from commissions.record.route import State, Turn
from studio import clock
from studio.outbox.models import Letter
from tests.post import sign_in_client

SOON = datetime.timedelta(days=12)


@pytest.fixture
def promised(job, owner):
    """A job with a date that can just be made, and an approval that stands for it."""
    ready = capacity.slack_of(commission=job) or _with_date(job)
    record.promise(commission=job, on=ready.ready_on, reason="as agreed", by_words=str(owner))
    quote = Quote.objects.create(
        commission=job,
        version=1,
        currency="GBP",
        plan="50/50",
        status="accepted",
        made_at=clock.now(),
        made_by=owner,
    )
    agreed = bundles.bundle(commission=job, quote=quote)
    Approval.objects.create(
        commission=job,
        quote=quote,
        bundle=agreed,
        digest=bundles.digest(agreed),
        consent="Order",
        terms_version="2026-01",
        method="passphrase",
        by_words="Joachim",
        at=clock.now(),
    )
    return job


def _with_date(job):
    type(job).objects.filter(pk=job.pk).update(needed_by=clock.today() + datetime.timedelta(days=90))
    return capacity.slack_of(commission=job)


def slip(job, owner, days=14):
    """A step outside the house is owed later: the date cannot be made any more."""
    step = Step.objects.filter(commission=job).exclude(supplier_task="").order_by("position").last()
    # After it there is a day's work in Checking, and then the parcel.
    due = capacity.working_days_back(end=job.promised_on, days=1 + capacity.SENDING_DAYS)
    due = clock.add_working_days(due, days)
    plan_step(step=step, due_on=due, person=owner)


def proposed(job, owner, **changes):
    given = {
        "after": job.promised_on + datetime.timedelta(days=20),
        "reason": "The first casting had a pore, and we cast again.",
        "answer_by": clock.today() + SOON,
    }
    # An hour after the ring came to the bench: what is asked in the same act is told by that act's letter.
    with clock.standing_at(clock.now() + datetime.timedelta(hours=1)):
        return actions.propose_date(commission=job, person=owner, **{**given, **changes})


def accept(notice):
    return actions.accept_date(notice=notice, consent="Accept", method="passphrase", by_words="Joachim")


def cancel(notice, words=""):
    return actions.wish_to_cancel(
        notice=notice, words=words, consent="I wish to cancel", method="passphrase", by_words="Joachim"
    )


def test_a_step_that_slips_is_said_once_and_unsaid_when_the_date_can_be_made_again(promised, owner):
    assert (capacity.slack_of(commission=promised).days, actions.watch_dates()) == (0, 0)
    slip(promised, owner, days=6)
    assert capacity.slack_of(commission=promised).late_by == 6
    assert (actions.watch_dates(), actions.watch_dates()) == (1, 0)
    (question,) = promised.questions.filter(key="bench.late", answered_at__isnull=True)
    assert question.words == "The promised date cannot be made, by 6 working days: propose a new one"
    assert (question.addressee, question.blocking) == (Turn.US, False)
    slip(promised, owner, days=0)
    actions.watch_dates()
    assert not promised.questions.filter(key="bench.late", answered_at__isnull=True).exists()


def test_a_proposal_promises_nothing_and_it_is_the_clients_turn(promised, owner):
    slip(promised, owner)
    actions.watch_dates()
    before = promised.promised_on
    notice = proposed(promised, owner)
    promised.refresh_from_db()
    assert (promised.promised_on, notice.before, notice.number) == (before, before, 1)
    (asked,) = promised.questions.filter(answered_at__isnull=True, addressee=Turn.CLIENT)
    assert (asked.words, asked.client_path) == (
        "Accept the new date, or cancel",
        f"/yours/{promised.reference}/date/",
    )
    # The work goes on meanwhile; with nothing of ours due before, it is the client's turn.
    assert promised.turn == Turn.US
    record.answer_question(commission=promised, key="bench.step", by_words="done")
    assert promised.turn == Turn.CLIENT
    assert not promised.questions.filter(key="bench.late", answered_at__isnull=True).exists()
    assert actions.watch_dates() == 0  # while a notice waits, nobody is told again
    assert money.approval_differences(commission=promised) == []


def test_a_yes_moves_the_promise_and_freezes_the_rest_as_it_was(promised, owner):
    old = money.standing_approval(commission=promised)
    notice = proposed(promised, owner)
    accept(notice)
    promised.refresh_from_db()
    assert promised.promised_on == notice.after
    change = PromiseChange.objects.order_by("id").last()
    assert (change.before, change.after, change.by_words) == (notice.before, notice.after, "Joachim")
    new = money.standing_approval(commission=promised)
    assert new.digest != old.digest
    assert {**new.bundle, "promised_on": None} == {**old.bundle, "promised_on": None}
    assert money.approval_differences(commission=promised) == []
    assert promised.turn == Turn.US
    for again in (accept, cancel):
        with pytest.raises(Overtaken):
            again(notice)
    with pytest.raises(Overtaken):
        actions.take_back_date(notice=notice, person=owner)


def test_what_else_differs_from_the_agreement_differs_still(promised, owner):
    """A yes to a date is no yes to anything else that was changed meanwhile."""
    quote = money.standing_approval(commission=promised).quote
    Quote.objects.filter(pk=quote.pk).update(metal_clause="Something nobody agreed to")
    accept(proposed(promised, owner))
    (row,) = money.approval_differences(commission=promised)
    assert row.startswith("quote metal clause")


def test_a_wish_to_cancel_cancels_nothing_and_rests_the_work(client, promised, owner, jeweller):
    notice = proposed(promised, owner)
    cancel(notice, "The wedding is before that.")
    assert not promised.questions.filter(key="bench.step", answered_at__isnull=True).exists()
    promised.refresh_from_db()
    assert (promised.state, promised.turn) == (State.OPEN, Turn.US)
    assert promised.next_act.startswith("The client wishes to cancel")
    assert promised.messages.get().body == "The wedding is before that."
    client.force_login(jeweller)
    assert "The work rests." in client.get(f"/studio/bench/{promised.reference}/").content.decode()
    step = queries.current_step(commission=promised)
    for act in (actions.start_step, actions.finish_step):
        with pytest.raises(Refused, match="wishes to cancel"):
            act(commission=promised, step=step, person=jeweller)
    accept(notice)  # they have thought again
    assert promised.next_act == step.name
    actions.start_step(commission=promised, step=step, person=jeweller)
    assert list(DateAnswer.objects.values_list("kind", flat=True)) == ["cancel", "accepted"]


def test_another_proposal_takes_the_one_before_back(promised, owner):
    first = proposed(promised, owner)
    second = proposed(promised, owner, after=promised.promised_on + datetime.timedelta(days=30))
    with pytest.raises(Overtaken):
        accept(first)
    accept(second)
    promised.refresh_from_db()
    assert promised.promised_on == second.after


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"reason": "  "}, "Say why"),
        ({"after": datetime.date(2020, 1, 1)}, "has passed"),
        ({"answer_by": datetime.date(2020, 1, 1)}, "ask for an answer has passed"),
    ],
)
def test_a_proposal_that_cannot_be_meant_is_refused(promised, owner, change, words):
    with pytest.raises(Refused, match=words):
        proposed(promised, owner, **change)
    with pytest.raises(Refused, match="promised already"):
        proposed(promised, owner, after=promised.promised_on)


def test_the_pages_propose_and_accept(client, promised, owner, jeweller, joachim):
    slip(promised, owner)
    way = f"/studio/commissions/{promised.reference}/date/"
    client.force_login(jeweller)
    page = client.get(way).content.decode()
    assert "14 working days late" in page and "Send the notice" not in page
    assert client.post(way, {"after": "1 12 2030"}).status_code == 409
    client.force_login(owner)
    wrong = client.post(way, {"after": "soon", "reason": "", "answer_by": ""})
    assert wrong.status_code == 422 and 'value="soon"' in wrong.content.decode()
    sent = {"after": "2 December 2030", "reason": "We cast again.", "answer_by": "1 12 2030"}
    assert client.post(way, sent).status_code == 302
    assert "waits for the client" in client.get(way).content.decode()

    Question.objects.update(opened_at=clock.now() + datetime.timedelta(hours=1))
    draft_missing()
    letter = Letter.objects.order_by("id").last()
    assert "Monday 2 December 2030" in letter.text and "We cast again." in letter.text

    device = sign_in_client(Browser(), joachim, stepped_up=True)
    yours = f"/yours/{promised.reference}/date/"
    page = device.get(yours).content.decode()
    assert "Accept 2 December 2030 as the new date" in page
    notice = queries.open_notice(commission=promised)
    device.post(yours, {"notice": notice.pk + 1})  # not the one that was read
    assert queries.open_notice(commission=promised) == notice
    device.post(yours, {"notice": notice.pk})
    promised.refresh_from_db()
    assert promised.promised_on == datetime.date(2030, 12, 2)
    assert "You accepted it on" in device.get(yours).content.decode()


def test_accepting_asks_for_the_passphrase_and_a_stranger_finds_nothing(promised, owner, joachim, delphine):
    notice = proposed(promised, owner)
    yours = f"/yours/{promised.reference}/date/"
    device = sign_in_client(Browser(), joachim)
    assert "/in/passphrase" in device.post(yours, {"notice": notice.pk})["Location"]
    assert "/in/passphrase" in device.get(f"{yours}cancel/")["Location"]
    assert queries.standing_of(notice=notice) == ""
    other = sign_in_client(Browser(), delphine, stepped_up=True)
    for path in (yours, f"{yours}cancel/"):
        assert other.get(path).status_code == 404


def test_the_client_sees_what_a_cancellation_means_before_asking_for_it(promised, owner, joachim):
    notice = proposed(promised, owner)
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    way = f"/yours/{promised.reference}/date/cancel/"
    page = device.get(way).content.decode()
    for words in ("You have paid", "Paid back to you", "cancels nothing by itself"):
        assert words in page
    assert queries.standing_of(notice=notice) == ""  # looking is no answer
    device.post(way, {"words": "Too late for us."})
    promised.refresh_from_db()
    assert (queries.standing_of(notice=notice), promised.state) == ("cancel", State.OPEN)
    assert "Nothing is cancelled yet" in device.get(f"/yours/{promised.reference}/date/").content.decode()


def test_a_surprise_is_told_of_a_new_date_in_neutral_words(promised, owner):
    from commissions.letters.discretion import discreet_words

    type(promised).objects.filter(pk=promised.pk).update(discreet=True)
    promised.refresh_from_db()
    proposed(promised, owner, reason="The ring was cast with a pore")
    draft_missing()
    letter = Letter.objects.order_by("id").last()
    assert letter.discreet and "pore" not in letter.text
    assert discreet_words(f"{letter.subject}\n{letter.text}\n{letter.html}") == []


@pytest.mark.parametrize("count", [1, 30])
def test_the_pages_ask_as_often_for_thirty_as_for_one(
    count, client, promised, owner, joachim, django_assert_num_queries
):
    for number in range(count):
        proposed(promised, owner, after=promised.promised_on + datetime.timedelta(days=20 + number))
    for _ in range(count):
        record.open_commission(
            client=joachim,
            title="Oval",
            currency="GBP",
            person=owner,
            needed_by=clock.today() + datetime.timedelta(days=40),
        )
    client.force_login(owner)
    client.get("/studio/capacity/")
    with django_assert_num_queries(10):
        assert client.get(f"/studio/commissions/{promised.reference}/date/").status_code == 200
    with django_assert_num_queries(9):
        page = client.get("/studio/capacity/")
    assert page.content.decode().count("Design</span>") == count
