"""Comments pinned to a place of a drawing, answered, closed, opened again; and whose turn they make it."""

import datetime
import re

import pytest
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext

from commissions.design import actions, comments, places
from commissions.design.models import Comment, Remark, View
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from commissions.record.route import Stage, Turn
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


def yours(commission, rest=""):
    return f"/yours/{commission.reference}/design/{rest}"


def studio_page(commission, rest=""):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def pin(revision, words="Could this claw be finer?", **more):
    """Joachim's comment on the north-east claw."""
    return actions.comment(
        revision=revision,
        **{"view": "top", "x_mm": 2.3, "y_mm": 2.3, "words": words, "by_words": "Joachim", **more},
    )


def typed(**changes):
    """What the comment form sends after a tap."""
    return {"view": "top", "x": "2.31", "y": "2.29", "place": "", "marked": "", "words": "Finer", **changes}


def test_a_tap_is_kept_in_millimetres_of_the_drawing(commission, sent, device):
    answer = device.post(yours(commission, "A/comments/"), typed())
    assert answer.status_code == 302
    kept = Comment.objects.get()
    assert (kept.view, kept.x_hmm, kept.y_hmm, kept.number) == ("top", 231, 229, 1)
    assert kept.place == "claw:ne"
    assert answer["Location"].endswith("?view=top#comment-A1")


@pytest.mark.parametrize("view", View.values)
def test_a_place_can_be_chosen_by_name_alone(commission, sent, device, view):
    for place in places.places(sent, view):
        device.post(
            yours(commission, "A/comments/"), typed(view=view, x="", y="", place=place.key, words=place.key)
        )
        kept = Comment.objects.latest("id")
        assert (kept.words, kept.x_hmm, kept.y_hmm) == (place.key, round(place.x * 100), round(place.y * 100))


@pytest.mark.parametrize("view", View.values)
def test_every_named_place_lies_on_its_drawing_and_reads_as_words(sent, view):
    found = places.places(sent, view)
    left, bottom, right, top = places.scene_of(sent, view).box
    assert len({place.key for place in found}) == len(found) >= 8
    for place in found:
        assert left <= place.x <= right and bottom <= place.y <= top
        assert ":" not in place.words and place.words


def test_the_halo_north_east_is_the_stone_that_lies_there(sent):
    place = next(row for row in places.places(sent, "top") if row.key == "halo:ne")
    assert place.x > 0 and place.y > 0
    assert abs(place.x - place.y) < 1.3  # within one stone of the diagonal


def test_an_arrow_moves_the_mark_and_keeps_the_words(commission, sent, device):
    answer = device.post(yours(commission, "A/comments/"), typed(nudge="right"))
    page = answer.content.decode()
    assert 'name="x" value="2.51"' in page and "Finer" in page
    assert not Comment.objects.exists()
    again = device.post(yours(commission, "A/comments/"), typed(x="2.51", nudge="up"))
    assert 'name="y" value="2.49"' in again.content.decode()


def test_looking_from_another_side_keeps_the_words(commission, sent, device):
    page = device.post(yours(commission, "A/comments/"), typed(to="front")).content.decode()
    assert "Finer" in page and 'name="view" value="front"' in page
    assert "band, bottom" in page.lower()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"words": ""}, "words"),
        ({"x": "", "y": ""}, "place"),
        ({"x": "99"}, "place"),
        ({"place": "roof"}, "place"),
        ({"words": "hid\u202eden"}, "words"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_lost(commission, sent, device, changes, field):
    answer = device.post(yours(commission, "A/comments/"), typed(**changes))
    assert answer.status_code == 200
    assert field in answer.context["form"].errors
    if changes.get("words") != "":
        assert changes.get("words", "Finer") in answer.content.decode()
    assert not Comment.objects.exists()


def test_both_parties_see_the_same_numbered_pin(commission, sent, device, studio):
    pin(sent)
    for browser, path in (
        (device, yours(commission, "A/comments/")),
        (studio, studio_page(commission, "A/comments/")),
    ):
        page = browser.get(path).content.decode()
        found = re.search(r'<a class="pin open" href="#comment-A1".*?</a>', page, re.S)[0]
        assert ">A1</text>" in found and "translate(2.300 -2.300)" in found
        assert 'id="comment-A1"' in page
    assert "pin open" not in device.get(yours(commission, "A/comments/?view=front")).content.decode()


def test_a_comment_is_our_turn_then_the_clients_then_nobodys(commission, owner, sent):
    made = pin(sent)
    commission.refresh_from_db()
    assert (commission.turn, commission.next_act) == (Turn.US, "Answer comment A1 on the drawing")
    actions.answer_comment(comment=made, words="Yes, by 0.1 mm", person=owner)
    asked = Question.objects.get(key="comment:A1", answered_at=None)
    assert (asked.addressee, asked.blocking) == (Turn.CLIENT, False)
    commission.refresh_from_db()
    assert commission.turn == Turn.CLIENT
    actions.close_comment(comment=made, by_words="Joachim")
    assert not Question.objects.filter(key="comment:A1", answered_at=None).exists()


def test_our_answer_comes_first_even_where_theirs_is_due_earlier(commission, owner, sent):
    Question.objects.filter(key="design.answer:A").update(due_on=datetime.date(2020, 1, 1))
    first, second = pin(sent), pin(sent, words="And this?")
    commission.refresh_from_db()
    assert commission.turn == Turn.US
    actions.answer_comment(comment=first, words="Yes", person=owner, close=True)
    commission.refresh_from_db()
    assert commission.turn == Turn.US
    actions.answer_comment(comment=second, words="Yes", person=owner)
    commission.refresh_from_db()
    assert (commission.turn, commission.next_act) == (Turn.CLIENT, "Answer on revision A")
    actions.reopen_comment(comment=first, words="Still", by_words="Joachim")
    commission.refresh_from_db()
    assert commission.turn == Turn.US


def test_closed_by_us_opened_again_by_the_client(commission, owner, sent, device, studio):
    made = pin(sent)
    studio.post(studio_page(commission, f"comments/{made.pk}/"), {"words": "Done", "close": "1"})
    assert [row.kind for row in Remark.objects.all()] == ["answer", "close"]
    refused = device.post(yours(commission, f"comments/{made.pk}/"), {"reopen": "1", "words": " "})
    assert "words" in refused.context["form"].errors
    device.post(yours(commission, f"comments/{made.pk}/"), {"reopen": "1", "words": "Still heavy"})
    talk = comments.talk_of(commission=commission, pk=made.pk)
    assert talk.is_open and talk.waits_for == Turn.US
    commission.refresh_from_db()
    assert commission.next_act == "Answer comment A1 on the drawing"


def test_an_empty_answer_is_refused_and_an_open_comment_is_closed_without_words(commission, sent, studio):
    made = pin(sent)
    refused = studio.post(studio_page(commission, f"comments/{made.pk}/"), {"words": "", "answer": "1"})
    assert refused.status_code == 422 and "Write the answer" in refused.content.decode()
    studio.post(studio_page(commission, f"comments/{made.pk}/"), {"words": "", "close": "1"})
    late = studio.post(studio_page(commission, f"comments/{made.pk}/"), {"words": "More", "answer": "1"})
    assert "This comment is closed" in late.content.decode()
    assert [row.kind for row in Remark.objects.all()] == ["close"]


def test_the_rows_only_grow(sent, owner):
    made = pin(sent)
    actions.answer_comment(comment=made, words="Yes", person=owner)
    for rows in (Comment.objects.all(), Remark.objects.all()):
        with pytest.raises(DatabaseError, match="only grows"), transaction.atomic():
            rows.update(words="something else")
        with pytest.raises(DatabaseError, match="only grows"), transaction.atomic():
            rows._raw_delete(rows.db)


def test_a_comment_stays_with_its_revision_and_is_carried_where_it_is_open(commission, owner, sent, device):
    first, second = pin(sent), pin(sent, words="And this one")
    actions.close_comment(comment=second, by_words="Joachim")
    following = actions.draft_revision(commission=commission, parameters=standard(6.6), person=owner)
    actions.send_revision(revision=following, person=owner)
    page = device.get(yours(commission, "B/comments/")).content.decode()
    assert "made on revision A" in page
    assert page.count('class="pin carried"') == 1 and ">A1</text>" in page
    assert "And this one" not in page
    with pytest.raises(Refused, match="newer revision"):
        pin(sent)
    first.refresh_from_db()
    assert first.revision.letter == "A"
    assert pin(following).number == 1


def test_the_next_draft_lists_what_is_open_and_sending_settles_what_is_ticked(
    commission, owner, sent, studio
):
    first, second = pin(sent), pin(sent, words="Leave this open")
    actions.draft_revision(commission=commission, parameters=standard(6.6), person=owner)
    draft_page = studio.get(studio_page(commission, "draft/")).content.decode()
    assert "Could this claw be finer?" in draft_page and "Leave this open" in draft_page
    asked = studio.get(studio_page(commission, "B/send/")).content.decode()
    assert f'value="{first.pk}"' in asked
    studio.post(studio_page(commission, "B/send/"), {"settles": [str(first.pk)]})
    open_now = [talk.comment.pk for talk in comments.open_talks(commission=commission)]
    assert open_now == [second.pk]
    assert Remark.objects.filter(comment=first, kind="answer").get().words == "Changed in revision B."


def test_nothing_new_is_pinned_once_the_ring_is_being_made(commission, sent, device):
    Commission.objects.update(stage=Stage.MODEL)
    answer = device.post(yours(commission, "A/comments/"), typed())
    assert "What was agreed is fixed" in answer.content.decode()
    assert not Comment.objects.exists()


def test_nobody_else_reads_or_writes_a_comment(commission, sent, hers, setter, client):
    made = pin(sent)
    for path in ("A/comments/", f"comments/{made.pk}/"):
        assert hers.get(yours(commission, path)).status_code == 404
        assert hers.post(yours(commission, path), typed(reopen="1", close="1")).status_code == 404
    client.force_login(setter)
    assert client.get(studio_page(commission, "A/comments/")).status_code == 403
    assert Comment.objects.count() == 1 and not Remark.objects.exists()


def test_a_draft_has_no_comments_page(commission, draft, device):
    assert device.get(yours(commission, "A/comments/")).status_code == 404
    assert device.get(yours(commission, "A/true-size/")).status_code == 404


def test_words_in_a_comment_are_shown_as_words(commission, sent, device):
    pin(sent, words='"><script>alert(1)</script>')
    page = device.get(yours(commission, "A/comments/")).content.decode()
    assert "<script>alert" not in page


def test_the_pages_ask_as_much_with_one_comment_as_with_thirty(commission, owner, sent, device, studio):
    paths = [(device, yours(commission, "A/comments/")), (studio, studio_page(commission, "A/comments/")),
             (studio, studio_page(commission, "")), (device, yours(commission, ""))]  # fmt: skip

    def counts():
        seen = []
        for browser, path in paths:
            with CaptureQueriesContext(connection) as queries:
                assert browser.get(path).status_code == 200
            seen.append(len(queries))
        return seen

    actions.answer_comment(comment=pin(sent), words="Yes", person=owner)
    few = counts()
    for number in range(29):
        made = pin(sent, words=f"Comment {number}")
        if number % 2:
            actions.answer_comment(comment=made, words="Yes", person=owner)
    assert counts() == few
