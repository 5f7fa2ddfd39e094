"""The stone's condition, signed before it is set; and the question whether it is the client's stone."""

import hashlib
import io
import re
from types import SimpleNamespace

import pypdfium2
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, transaction
from django.test import Client as Browser
from PIL import Image

from commissions.bench import gates
from commissions.letters.discretion import discreet_words
from commissions.record.errors import Refused
from commissions.record.models import Question
from commissions.sourcing import actions, papers, queries
from commissions.sourcing.models import Condition, ConditionPaper, Stone, StoneState
from commissions.sourcing.tasks import keep_papers
from studio import clock
from tests.commissions.sourcing.conftest import measured
from tests.commissions.sourcing.test_turning import a_mark
from tests.post import sign_in_client

pytestmark = pytest.mark.django_db

WORDS = {
    "bearer": "client",
    "risk": "The feather at 4 o'clock may run when a claw is closed beside it.",
    "setting": "Four claws, closed by hand",
    "damage": "None seen at ten times",
    "remedy": "We look for a stone like it, up to 900",
    "insurance": "Our policy leaves out damage in work",
}


def yours(stone, part="condition"):
    return f"/yours/{stone.commission.reference}/stones/{part}/"


def missing(stone):
    return [row.words for row in queries.condition_missing(commission=stone.commission)]


@pytest.fixture
def feathered(stone, owner):
    """The chosen stone with a feather at the surface, checked in."""
    measured(stone, owner)
    a_mark(stone, owner, kind="feather", surface=True)
    return stone


@pytest.fixture
def theirs(stone, owner):
    """The chosen stone is the client's own, checked in and photographed."""
    Stone.objects.filter(pk=stone.pk).update(owner="client")
    stone.refresh_from_db()
    measured(stone, owner)
    return stone


@pytest.fixture
def sent(feathered, owner):
    return actions.send_condition(stone=feathered, person=owner, **WORDS)


@pytest.fixture
def binding(joachim):
    """Joachim's device after he gave his passphrase."""
    return sign_in_client(Browser(), joachim, stepped_up=True)


def signed(condition, **changes):
    facts = {"signed": True, "shown_digest": condition.digest, "words": "", "method": "test", "by_words": "J"}
    return actions.answer_condition(condition=condition, **{**facts, **changes})


def test_an_ordinary_stone_needs_no_signature(stone, owner):
    measured(stone, owner)
    a_mark(stone, owner)
    assert missing(stone) == []


def test_a_feather_at_the_surface_stops_setting(feathered):
    assert "condition is not signed" in missing(feathered)[0]
    assert any(
        "condition is not signed" in row.words
        for row in gates.to_start(commission=feathered.commission, stage="setting")
    )


def test_signing_lets_it_be_set(sent):
    signed(sent)
    assert missing(sent.stone) == []
    assert not Question.objects.filter(key__startswith="stones.condition", answered_at=None).exists()


def test_a_stone_examined_again_has_to_be_sent_again(sent, owner):
    signed(sent)
    a_mark(sent.stone, owner, position="9", kind="chip", surface=True)
    assert "anew" in missing(sent.stone)[0]
    again = actions.send_condition(stone=sent.stone, person=owner, **WORDS)
    assert again.number == 2
    assert "not signed" in missing(sent.stone)[0]


def test_what_is_shown_is_what_is_signed(sent, owner):
    with pytest.raises(Refused):
        signed(sent, shown_digest="0" * 64)
    a_mark(sent.stone, owner, position="9")
    with pytest.raises(Refused):
        signed(sent)
    actions.send_condition(stone=sent.stone, person=owner, **WORDS)
    with pytest.raises(Refused):
        signed(sent)
    assert not sent.answers.exists()


def test_it_is_signed_once(sent):
    signed(sent)
    with pytest.raises(Refused):
        signed(sent)


def test_a_risk_that_is_accepted_is_named(feathered, owner):
    with pytest.raises(Refused):
        actions.send_condition(stone=feathered, person=owner, **{**WORDS, "risk": " "})


def test_a_stone_we_decline_to_set_is_not_set(feathered, owner):
    declined = actions.send_condition(stone=feathered, person=owner, **{**WORDS, "bearer": "nobody"})
    signed(declined)
    assert missing(feathered) == ["We have said that we do not set this stone."]


def test_a_condition_is_never_changed(sent):
    with pytest.raises(DatabaseError), transaction.atomic():
        Condition.objects.filter(pk=sent.pk).update(bearer="us")


def test_it_is_measured_before_it_is_described(stone, owner):
    with pytest.raises(Refused):
        actions.send_condition(stone=stone, person=owner, **WORDS)


def test_what_the_studio_typed_stays(studio, feathered):
    answer = studio.post(f"/studio/stones/{feathered.pk}/condition/", {**WORDS, "risk": ""})
    assert "Name the risk" in answer.content.decode()
    assert WORDS["remedy"] in answer.content.decode()
    assert not Condition.objects.exists()


def test_signing_asks_for_the_passphrase(sent, device):
    answer = device.post(yours(sent.stone), {"kind": "sign", "digest": sent.digest})
    assert answer.status_code == 302
    assert not sent.answers.exists()


def test_the_client_signs_and_keeps_a_copy(sent, binding):
    page = binding.get(yours(sent.stone)).content.decode()
    assert "may run when a claw is closed" in page
    binding.post(yours(sent.stone), {"kind": "sign", "digest": sent.digest, "words": ""})
    row = sent.answers.get()
    assert (row.signed, row.digest, row.by_words) == (True, sent.digest, "Joachim Seelenbrink")
    copy = binding.get(f"/yours/{sent.stone.commission.reference}/stones/condition.pdf")
    assert copy.content.startswith(b"%PDF")


def test_asking_needs_words_and_keeps_them(sent, binding):
    answer = binding.post(yours(sent.stone), {"kind": "ask", "digest": sent.digest, "words": ""})
    assert answer.context["form"].errors["words"]
    binding.post(yours(sent.stone), {"kind": "ask", "digest": sent.digest, "words": "How likely?"})
    assert sent.answers.get().words == "How likely?"
    assert Question.objects.filter(key__startswith="stones.condition-reply", answered_at=None).exists()


def test_nobody_else_sees_or_signs_it(sent, delphine):
    hers = sign_in_client(Browser(), delphine, stepped_up=True)
    assert hers.get(yours(sent.stone)).status_code == 404
    assert hers.post(yours(sent.stone), {"kind": "sign", "digest": sent.digest}).status_code == 404
    assert hers.get(f"/yours/{sent.stone.commission.reference}/stones/condition.pdf").status_code == 404
    for path in (yours(sent.stone), yours(sent.stone, "same")):
        assert Browser().get(path).status_code == 302
    assert not sent.answers.exists()


def photograph(stone, owner):
    out = io.BytesIO()
    Image.new("RGB", (400, 300), "#b9a26a").save(out, "JPEG")
    upload = SimpleUploadedFile("stone.jpg", out.getvalue(), content_type="image/jpeg")
    return actions.add_photo(stone=stone, upload=upload, shot="face", caption="", person=owner)


def test_a_clients_stone_is_set_only_when_they_know_it_and_have_signed(theirs, owner):
    assert len(missing(theirs)) == 2
    photograph(theirs, owner)
    actions.ask_same_stone(stone=theirs, person=owner)
    actions.answer_same_stone(stone=theirs, same=True, words="", by_words="J")
    signed(actions.send_condition(stone=theirs, person=owner, **WORDS))
    assert missing(theirs) == []


def test_without_a_photograph_nobody_is_asked(theirs, owner):
    with pytest.raises(Refused):
        actions.ask_same_stone(stone=theirs, person=owner)


def test_the_client_says_that_it_is_another_stone(theirs, owner, device, hers):
    row = photograph(theirs, owner)
    photo = f"/yours/{theirs.commission.reference}/stones/photos/{row.pk}/1000/"
    assert device.get(photo).status_code == 404
    actions.ask_same_stone(stone=theirs, person=owner)
    assert device.get(photo).status_code in (200, 503)
    assert hers.get(photo).status_code == 404
    assert hers.get(yours(theirs, "same")).status_code == 404
    assert device.post(yours(theirs, "same"), {"same": "no", "words": ""}).context["form"].errors["words"]
    device.post(yours(theirs, "same"), {"same": "no", "words": "Mine had a chip"})
    theirs.refresh_from_db()
    assert theirs.state == StoneState.QUARANTINE
    assert Question.objects.filter(key=f"stones.other:{theirs.pk}", answered_at=None).exists()


def pdf_words(content):
    document = pypdfium2.PdfDocument(io.BytesIO(content))
    return re.sub(r"\s+", " ", " ".join(page.get_textpage().get_text_range() for page in document))


def photographed(stone, owner, caption="The feather, about 20×"):
    out = io.BytesIO()
    Image.new("RGB", (640, 480), "#b9a26a").save(out, "JPEG")
    upload = SimpleUploadedFile("stone.jpg", out.getvalue(), content_type="image/jpeg")
    return actions.add_photo(stone=stone, upload=upload, shot="mark", caption=caption, person=owner)


def test_the_paper_is_made_once_and_says_what_was_sent(feathered, owner, studio):
    photographed(feathered, owner)
    sent = actions.send_condition(stone=feathered, person=owner, **WORDS)
    path = f"/studio/stones/{feathered.pk}/condition/1.pdf"
    first = studio.get(path).content
    words = pdf_words(first)
    assert sent.digest in words
    assert "Not signed yet" in words
    assert "The feather, about 20×" in words
    assert len(pypdfium2.PdfDocument(io.BytesIO(first))) <= 3
    # Whatever happens to the stone afterwards, the paper is the one that was sent.
    a_mark(feathered, owner, position="9", kind="chip", surface=True)
    actions.say_north(stone=feathered, words="the chip", person=owner)
    assert studio.get(path).content == first
    paper = ConditionPaper.objects.get()
    assert paper.sha256 == hashlib.sha256(first).hexdigest()
    assert paper.sha256[:16] in studio.get(f"/studio/stones/{feathered.pk}/condition/").content.decode()


def test_the_signed_paper_is_another_and_the_client_gets_it(sent, studio, device, owner):
    assert studio.get(f"/studio/stones/{sent.stone.pk}/condition/1-signed.pdf").status_code == 404
    unsigned = device.get(f"/yours/{sent.stone.commission.reference}/stones/condition.pdf").content
    signed(sent)
    theirs = device.get(f"/yours/{sent.stone.commission.reference}/stones/condition.pdf").content
    assert "Read and agreed to by J" in pdf_words(theirs) and theirs != unsigned
    assert studio.get(f"/studio/stones/{sent.stone.pk}/condition/1-signed.pdf").content == theirs
    assert studio.get(f"/studio/stones/{sent.stone.pk}/condition/1.pdf").content == unsigned


def test_the_sweep_keeps_papers_that_nobody_opened(sent):
    assert keep_papers() == 1
    signed(sent)
    assert keep_papers() == 1
    assert keep_papers() == 0
    assert sorted(ConditionPaper.objects.values_list("kind", flat=True)) == ["sent", "signed"]


def test_a_paper_that_was_changed_on_disk_is_not_shown(sent):
    paper, _content = actions.keep_paper(condition=sent, kind="sent")
    (papers.folder() / paper.file_name).write_bytes(b"%PDF-another")
    with pytest.raises(RuntimeError):
        actions.keep_paper(condition=sent, kind="sent")


def test_photographs_of_a_condition_are_the_clients_from_then_on(feathered, owner, device, hers):
    row = photographed(feathered, owner)
    path = f"/yours/{feathered.commission.reference}/stones/photos/{row.pk}/1000/"
    assert device.get(path).status_code == 404
    actions.send_condition(stone=feathered, person=owner, **WORDS)
    assert device.get(path).status_code in (200, 503)
    assert hers.get(path).status_code == 404


def test_the_risk_is_proposed_from_plot_and_claws(feathered, studio):
    text = studio.get(f"/studio/stones/{feathered.pk}/condition/").content.decode()
    # The feather at 4 o'clock stands at 330 degrees; the nearest claw, number 2 clockwise, at 315.
    assert re.search(r"Feather at the surface at 4 o&#x27;clock, 0\.20 mm long, .*claw 2", text)


def test_a_surprise_is_not_told_by_the_papers_name(sent, device):
    type(sent.stone.commission).objects.filter(pk=sent.stone.commission_id).update(discreet=True)
    answer = device.get(f"/yours/{sent.stone.commission.reference}/stones/condition.pdf")
    assert discreet_words(answer["Content-Disposition"].replace("-", " ")) == []
    title = pypdfium2.PdfDocument(io.BytesIO(answer.content)).get_metadata_dict()["Title"]
    assert discreet_words(title) == []


def test_a_mark_found_while_setting_stops_the_next_step(stone, owner):
    measured(stone, owner)
    step = SimpleNamespace(stage="setting")
    assert gates.to_set_on(commission=stone.commission, step=step) == []
    a_mark(stone, owner, kind="feather", surface=True)
    assert "not signed" in gates.to_set_on(commission=stone.commission, step=step)[0].words
    assert gates.to_set_on(commission=stone.commission, step=SimpleNamespace(stage="finishing")) == []


def test_a_clients_stone_is_shown_to_them_within_a_working_day(theirs, owner):
    ours = Question.objects.get(key=f"stones.show:{theirs.pk}", answered_at=None)
    assert ours.due_on == clock.add_working_days(clock.today(), 1)
    assert any(
        "they sent" in row.words for row in gates.to_start(commission=theirs.commission, stage="casting")
    )
    photographed(theirs, owner)
    actions.ask_same_stone(stone=theirs, person=owner)
    assert not Question.objects.filter(key=f"stones.show:{theirs.pk}", answered_at=None).exists()
