"""One letter per event, ever; somebody looks at it; what is overtaken is never sent."""

import datetime

import pytest

from commissions.bench.actions import withdraw_photo
from commissions.bench.models import Photo
from commissions.letters import actions, queries
from commissions.letters.models import Draft, State
from commissions.letters.tasks import draft_missing, show_failures
from commissions.record import actions as record
from commissions.record.errors import Refused
from commissions.record.models import Question, StageMove
from commissions.record.route import Stage, Turn
from studio.outbox.models import Letter
from studio.outbox.models import State as Post
from tests.cast import ring_client


def step(commission, person, to=Stage.STONES, door="design.agree_direction"):
    return record.advance(commission=commission, to=to, door=door, person=person)


def send(draft, person, **changes):
    about = {"subject": draft.subject, "words": draft.words, "chosen": draft.chosen}
    return actions.send(draft=draft, **(about | changes), person=person)


def the_draft() -> Draft:
    return Draft.objects.get(state=State.OPEN)


def test_a_move_drafts_one_letter_however_often_the_sweep_runs(commission, owner):
    step(commission, owner)
    draft_missing()
    draft_missing()
    drafts = Draft.objects.filter(move__to=Stage.STONES)
    assert [draft.state for draft in drafts] == [State.OPEN]
    assert Letter.objects.count() == 0
    question = Question.objects.get(key=f"letter:{drafts[0].pk}")
    assert (question.addressee, question.blocking, question.answered_at) == (Turn.US, False, None)


def test_the_letter_says_what_the_jeweller_wrote_and_the_question_is_answered(commission, jeweller, sent):
    draft_missing()
    draft = the_draft()
    letter = send(draft, jeweller, words="We have begun.\n\nAll is well & good.")
    (arrived,) = sent()
    assert arrived == letter
    assert arrived.to == "joachim@client.example"
    assert "All is well & good." in arrived.text
    assert "<p>All is well &amp; good.</p>" in arrived.html
    assert "Mabli Sandrake" in arrived.text
    assert "Europe/Berlin" in arrived.text
    assert arrived.subject == f"To read: a step forward ({commission.reference})"
    assert Question.objects.get(key=f"letter:{draft.pk}").answered_at is not None


def test_an_event_has_one_letter_even_when_two_people_send_it(commission, owner, jeweller, sent):
    draft_missing()
    first = the_draft()
    stale = Draft.objects.get(pk=first.pk)
    send(first, owner)
    with pytest.raises(Refused):
        send(stale, jeweller, words="Something else")
    draft_missing()
    assert [letter.dedupe_key for letter in sent()] == [first.cause]


def test_a_later_step_overtakes_the_draft_of_an_earlier_one(commission, owner):
    draft_missing()
    step(commission, owner)
    draft_missing()
    states = dict(Draft.objects.values_list("move__to", "state"))
    assert states == {Stage.DESIGN: State.OVERTAKEN, Stage.STONES: State.OPEN}
    assert Question.objects.filter(key__startswith="letter:", answered_at=None).count() == 1


def test_a_later_letter_withdraws_an_earlier_one_that_has_not_gone_out(commission, owner, sent):
    draft_missing()
    first = send(the_draft(), owner)
    step(commission, owner)
    draft_missing()
    second = send(the_draft(), owner)
    assert sent() == [second]
    assert Letter.objects.get(pk=first.pk).state == Post.WITHDRAWN


def test_deciding_against_a_letter_is_for_good(commission, owner, sent):
    draft_missing()
    draft = the_draft()
    actions.decline(draft=draft, person=owner)
    with pytest.raises(Refused):
        send(draft, owner)
    draft_missing()
    assert Draft.objects.get().state == State.DECLINED
    assert sent() == []


def test_photos_released_together_are_one_letter_with_the_pictures_inline(commission, owner, release, sent):
    draft_missing()
    actions.decline(draft=the_draft(), person=owner)
    photos = release(2)
    draft_missing()
    photos += release(2)
    draft_missing()
    draft = the_draft()
    assert draft.chosen == [photo.pk for photo in photos[:3]]
    assert draft.told.count() == 4
    letter = send(draft, owner)
    assert [picture["alt"] for picture in letter.pictures] == ["The mount (shown 8 times its size)"] * 3
    assert letter.html.count('src="cid:') == 3
    assert Photo.objects.filter(carried_at__isnull=False).count() == 3
    assert sent() == [letter]
    draft_missing()
    assert Draft.objects.filter(state=State.OPEN).count() == 0


def test_a_photo_joins_the_draft_of_a_step_that_waits(commission, owner, release):
    draft_missing()
    release()
    draft_missing()
    draft = the_draft()
    assert draft.move is not None
    assert draft.told.count() == 1


def test_a_step_takes_the_waiting_photos_along(commission, owner, release):
    draft_missing()
    actions.decline(draft=the_draft(), person=owner)
    (photo,) = release()
    draft_missing()
    step(commission, owner)
    draft_missing()
    draft = the_draft()
    assert (draft.move.to, draft.chosen) == (Stage.STONES, [photo.pk])
    assert draft.told.get().photo == photo


def test_a_photo_that_was_withdrawn_cannot_go_along(commission, owner, release, sent):
    (photo,) = release()
    draft_missing()
    draft = the_draft()
    withdraw_photo(photo=photo, person=owner)
    with pytest.raises(Refused, match="not released any more"):
        send(draft, owner)
    assert the_draft() == draft
    assert sent() == []


def test_a_photo_of_another_commission_cannot_go_along(commission, owner, release):
    other = record.open_commission(
        client=ring_client(email="delphine@client.example", full_name="Delphine Quarrie"),
        title="Another",
        currency="GBP",
        person=owner,
    )
    (photo,) = release(of=other)
    draft_missing()
    draft = Draft.objects.get(commission=commission)
    with pytest.raises(Refused):
        send(draft, owner, chosen=[photo.pk])


def test_a_client_who_wants_no_photos_gets_none(commission, owner, release):
    release()
    draft_missing()
    actions.wish(access=commission.client.access, photos=False, by_words="Joachim")
    draft = the_draft()
    assert draft.chosen == []
    assert queries.choosable(commission=commission) == []
    release()
    draft_missing()
    assert the_draft().chosen == []


def test_a_message_of_ours_is_told_of_at_once_and_not_twice_in_ten_minutes(commission, owner, sent):
    record.post_message(commission=commission, body="The price is 6,000", from_client=False, person=owner)
    record.post_message(commission=commission, body="And another thing", from_client=False, person=owner)
    record.post_message(commission=commission, body="From the client", from_client=True)
    draft_missing()
    (letter,) = sent()
    assert letter.subject.startswith("To read: a message is waiting")
    assert "6,000" not in letter.text + letter.html


def test_a_message_after_one_that_was_read_is_told_of_again(commission, owner, sent):
    first = record.post_message(commission=commission, body="One", from_client=False, person=owner)
    draft_missing()
    type(first).objects.filter(pk=first.pk).update(seen_at=first.at)
    record.post_message(commission=commission, body="Two", from_client=False, person=owner)
    draft_missing()
    assert len(sent()) == 2


def test_a_question_to_the_client_is_told_of_at_once(commission, owner, sent):
    record.open_question(
        commission=commission,
        key="design.answer:1",
        addressee=Turn.CLIENT,
        words="Answer revision A",
        due_on=datetime.date(2026, 12, 1),
    )
    Question.objects.filter(key="design.answer:1").update(
        opened_at=StageMove.objects.get().at + datetime.timedelta(minutes=1)
    )
    draft_missing()
    draft_missing()
    (letter,) = sent()
    assert letter.subject == f"Your turn: one question is waiting ({commission.reference})"
    assert "1 December 2026" in letter.text


def ask_with_step(commission, person):
    step(commission, person)
    record.open_question(
        commission=commission, key="stones.choose", addressee=Turn.CLIENT, words="Choose a stone"
    )
    draft_missing()


def test_a_question_that_a_step_asked_is_told_by_the_letter_of_the_step(commission, owner, sent):
    ask_with_step(commission, owner)
    assert sent() == []
    draft = the_draft()
    assert draft.subject == "Your turn: one question is waiting"
    letter = send(draft, owner)
    draft_missing()
    assert sent() == [letter]
    assert Draft.objects.get(question__isnull=False).state == State.OVERTAKEN


def test_a_question_is_told_by_itself_when_the_letter_of_its_step_never_goes_out(commission, owner, sent):
    ask_with_step(commission, owner)
    actions.decline(draft=the_draft(), person=owner)
    draft_missing()
    assert [letter.kind for letter in sent()] == ["your-turn"]


def test_who_wants_no_letters_about_progress_is_told_of_a_question_that_a_step_asked(commission, owner, sent):
    actions.wish(access=commission.client.access, progress=False, by_words="Joachim")
    ask_with_step(commission, owner)
    assert [letter.kind for letter in sent()] == ["your-turn"]


def test_an_event_of_long_ago_is_no_news(commission, owner):
    move = StageMove.objects.get()
    move.at -= datetime.timedelta(days=8)
    assert actions.draft_move(move=move).state == State.OVERTAKEN


def test_a_letter_that_fails_is_shown_on_its_job_until_it_arrives(commission, owner):
    draft_missing()
    letter = send(the_draft(), owner)
    Letter.objects.update(state=Post.REFUSED, error="550 no such mailbox")
    assert show_failures() == 1
    assert show_failures() == 0
    key = f"letter-failed:{letter.pk}"
    assert Question.objects.get(key=key).answered_at is None
    assert [(row.failed, row.error) for row in queries.about(commission=commission)] == [
        (True, "550 no such mailbox")
    ]
    Letter.objects.update(state=Post.SENT)
    show_failures()
    assert Question.objects.get(key=key).answered_at is not None


def test_one_event_that_fails_does_not_keep_the_others_from_theirs(commission, owner, monkeypatch):
    other = record.open_commission(
        client=ring_client(email="delphine@client.example", full_name="Delphine Quarrie"),
        title="Another",
        currency="GBP",
        person=owner,
    )
    real = actions.draft_move

    def fails(*, move):
        if move.commission_id == commission.pk:
            raise ValueError("broken on purpose")
        return real(move=move)

    monkeypatch.setattr(actions, "draft_move", fails)
    assert draft_missing() == 1
    assert Draft.objects.get().commission == other


def test_what_a_client_answered_by_letter_stands_in_the_thread(commission, jeweller):
    actions.file_reply(commission=commission, body="Thank you, go on.", person=jeweller)
    message = commission.messages.get()
    assert (message.body, message.from_client) == ("Thank you, go on.", True)
    assert Question.objects.filter(key="message", answered_at=None).exists()


def test_who_wants_no_letters_about_progress_still_hears_what_waits_for_them(commission, owner, sent):
    draft_missing()
    actions.wish(access=commission.client.access, progress=False, by_words="Joachim")
    assert Draft.objects.get().state == State.OVERTAKEN
    step(commission, owner)
    record.post_message(commission=commission, body="Look", from_client=False, person=owner)
    draft_missing()
    assert Draft.objects.filter(state=State.OPEN).count() == 0
    assert [letter.kind for letter in sent()] == ["message-waits"]


def test_a_withdrawn_commission_leaves_no_letter_to_look_at(commission, owner):
    draft_missing()
    record.withdraw(commission=commission, reason="A change of plans", person=owner)
    draft_missing()
    draft = Draft.objects.get()
    assert (draft.state, draft.reason) == (State.OVERTAKEN, "The commission was withdrawn.")
