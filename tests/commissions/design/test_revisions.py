"""Revisions: one draft at a time, nothing changed after it was sent, an answer only to what stands."""

import copy

import pytest
from django.db import DatabaseError, IntegrityError, transaction

from commissions.design import queries
from commissions.design.actions import (
    answer_revision,
    draft_revision,
    next_letter,
    send_revision,
    start_revision,
)
from commissions.design.models import Answer, Revision, Status
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from commissions.record.route import Stage
from gemcalc.errors import BadInput
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


def test_letters_go_on_after_z():
    assert [next_letter(letter) for letter in ("", "A", "Y", "Z", "AZ", "ZZ")] == [
        "A",
        "B",
        "Z",
        "AA",
        "BA",
        "AAA",
    ]


def test_a_second_draft_changes_the_first(commission, owner, draft):
    again = draft_revision(commission=commission, parameters=standard(6.6), person=owner)
    assert again.pk == draft.pk
    assert Revision.objects.count() == 1
    assert again.parameters["centre"]["outline"]["diameter_mm"] == 6.6


def test_the_database_refuses_a_second_draft(commission, owner, draft):
    with pytest.raises(IntegrityError), transaction.atomic():
        Revision.objects.create(
            commission=commission,
            letter="B",
            parameters={},
            outputs={},
            engine="x",
            made_by=owner,
            made_at=draft.made_at,
        )


def test_what_was_sent_stays(commission, owner, sent):
    kept = copy.deepcopy(sent.parameters)
    following = draft_revision(commission=commission, parameters=standard(6.8), person=owner)
    sent.refresh_from_db()
    assert following.letter == "B"
    assert sent.parameters == kept
    with pytest.raises(Refused):
        send_revision(revision=sent, person=owner)


def test_the_difference_list_names_what_changed(commission, owner, sent):
    following = draft_revision(commission=commission, parameters=standard(engraving="M & J"), person=owner)
    assert following.differences == [{"what": "Engraving", "before": "none", "after": "M & J"}]


def test_a_sent_revision_waits_for_the_client(commission, sent):
    question = Question.objects.get(commission=commission, answered_at=None)
    assert (question.key, question.addressee) == ("design.answer:A", "client")


def test_a_halo_that_does_not_hold_is_not_sent(commission, owner):
    wish = standard()
    wish["halo"]["melee"] |= {"sizes_mm": [1.3], "stock": {"1.30": 3}}
    draft = draft_revision(commission=commission, parameters=wish, person=owner)
    assert not draft.outputs["layout"]["feasible"]
    with pytest.raises(Refused):
        send_revision(revision=draft, person=owner)
    draft.refresh_from_db()
    assert draft.status == Status.DRAFT


def too_thin(commission, owner):
    """A draft whose claws end thinner than anybody should make them."""
    wish = standard()
    wish["claws"]["wire_mm"] = 0.7
    return draft_revision(commission=commission, parameters=wish, person=owner)


def test_what_cannot_be_made_is_sent_only_with_a_reason_that_stays(commission, owner):
    thin = too_thin(commission, owner)
    assert len(queries.stops(thin)) == 1
    with pytest.raises(Refused):
        send_revision(revision=thin, person=owner, despite="  ")
    send_revision(revision=thin, person=owner, despite="To be seen, not to be made.")
    thin.refresh_from_db()
    assert (thin.status, thin.despite) == (Status.SENT, "To be seen, not to be made.")
    with pytest.raises(DatabaseError), transaction.atomic():
        Revision.objects.filter(pk=thin.pk).update(despite="Nobody said so.")


def test_the_page_asks_why_it_is_sent_all_the_same(commission, owner, studio):
    thin = too_thin(commission, owner)
    address = f"/studio/commissions/{commission.reference}/design/{thin.letter}/send/"
    refused = studio.post(address, {"despite": ""})
    assert "Change what cannot be made, or say why it is sent all the same." in refused.content.decode()
    thin.refresh_from_db()
    assert thin.status == Status.DRAFT
    studio.post(address, {"despite": "To be seen, not to be made."})
    page = studio.get(f"/studio/commissions/{commission.reference}/design/").content.decode()
    assert "Sent all the same: To be seen, not to be made." in page


def test_agreeing_opens_the_stones(commission, sent):
    answer_revision(revision=sent, kind="agree", words="", by_words="Joachim")
    commission.refresh_from_db()
    assert commission.stage == Stage.STONES
    assert queries.agreed(commission=commission) == sent
    assert Question.objects.get(commission=commission, answered_at=None).key == "stones.choose"


@pytest.mark.parametrize("kind", ["ask", "not-yet"])
def test_a_question_needs_words_and_turns_to_us(commission, sent, kind):
    with pytest.raises(Refused):
        answer_revision(revision=sent, kind=kind, words="  ", by_words="Joachim")
    assert not Answer.objects.exists()
    answer_revision(revision=sent, kind=kind, words="Thinner, please.", by_words="Joachim")
    commission.refresh_from_db()
    assert (commission.stage, commission.turn) == (Stage.DESIGN, "us")


def test_a_stale_answer_is_refused(commission, owner, sent):
    following = draft_revision(commission=commission, parameters=standard(6.8), person=owner)
    send_revision(revision=following, person=owner)
    sent.refresh_from_db()
    assert sent.status == Status.SUPERSEDED
    with pytest.raises(Refused):
        answer_revision(revision=sent, kind="agree", words="", by_words="Joachim")
    assert queries.agreed(commission=commission) is None


def test_agreeing_twice_is_refused(commission, sent):
    stale = Revision.objects.get(pk=sent.pk)
    answer_revision(revision=sent, kind="agree", words="", by_words="Joachim")
    with pytest.raises(Refused):
        answer_revision(revision=stale, kind="agree", words="", by_words="Joachim")


def test_back_to_design_needs_a_reason_and_voids_what_was_agreed(commission, owner, sent):
    answer_revision(revision=sent, kind="agree", words="", by_words="Joachim")
    Commission.objects.filter(pk=commission.pk).update(stage=Stage.AGREEMENT)
    commission.refresh_from_db()
    with pytest.raises(Refused):
        start_revision(commission=commission, person=owner, reason=" ")
    with pytest.raises(Refused):
        draft_revision(commission=commission, parameters=standard(), person=owner)
    start_revision(commission=commission, person=owner, reason="The stone measures 6.60 mm")
    commission.refresh_from_db()
    assert commission.stage == Stage.DESIGN
    assert queries.agreed(commission=commission) is None
    assert queries.bundle_part(commission=commission) is None


def test_the_stored_figures_are_the_recomputed_ones(draft):
    draft.refresh_from_db()
    proof = queries.recomputed(draft)
    assert proof.holds
    assert "every figure" in proof.words


def test_a_stored_figure_that_differs_is_named(draft):
    changed = copy.deepcopy(draft.outputs)
    changed["metal"]["cast_mg"] += 5
    changed["layout"]["figures"]["stones"] -= 1
    Revision.objects.filter(pk=draft.pk).update(outputs=changed, engine="0.1")
    draft.refresh_from_db()
    proof = queries.recomputed(draft)
    assert not proof.holds
    assert len(proof.changes) == 2
    assert any("cast weight" in row for row in proof.changes)


def test_a_parameter_out_of_range_names_its_field(commission, owner):
    with pytest.raises(BadInput) as caught:
        draft_revision(commission=commission, parameters=standard(0.01), person=owner)
    assert caught.value.field == "centre.diameter_mm"
    assert not Revision.objects.exists()
