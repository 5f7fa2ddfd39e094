"""Agreeing: size and engraving typed again, the consent in full, and what changed before the click."""

from __future__ import annotations

import re

import pytest
from django.db import DatabaseError, transaction
from django.template.loader import render_to_string
from django.test import Client as Browser

from commissions.design import computing
from commissions.design.actions import answer_revision, draft_revision, send_revision
from commissions.design.confirming import wrong_engraving, wrong_size
from commissions.money import actions, queries
from commissions.money import bundle as bundles
from commissions.money.actions.quoting import NewLine
from commissions.money.models import Approval, Quote, QuoteStatus, ShownBundle
from commissions.record.actions import promise
from commissions.sourcing.models import Stone
from studio import clock
from tests.commissions.money.helpers import sign_in

ENGRAVING = "Für M ’26"


@pytest.fixture
def offered(commission, owner, joachim, settings):
    """A quotation that waits for Joachim, for a ring with an engraving."""
    settings.SECOND_FACTOR_REQUIRED = False
    wish = computing.standard(
        centre={"cut": "round", "diameter_mm": 6.51},
        depth_mm=4.02,
        circumference_mm=54.0,
        metal="18ct white Pd",
    )
    row = draft_revision(commission=commission, parameters={**wish, "engraving": ENGRAVING}, person=owner)
    send_revision(revision=row, person=owner)
    answer_revision(revision=row, kind="agree", words="", by_words="Joachim")
    commission.refresh_from_db()
    return _quote(commission, owner, 700000)


def _quote(commission, owner, minor) -> Quote:
    lines = [
        NewLine(kind="centre", words="Round 6.51", unit_minor=minor, tax_rate=6, tax_code="UK20"),
    ]
    quote = actions.draft_quote(commission=commission, lines=lines, person=owner, plan="50/50")
    actions.send_quote(quote=quote, person=owner)
    quote.refresh_from_db()
    commission.refresh_from_db()
    return quote


@pytest.fixture
def theirs(joachim):
    """Joachim's device, with his passphrase just given."""
    browser = Browser()
    sign_in(browser, joachim.access, stepped_up=True)
    return browser


def page_of(theirs, commission) -> str:
    return theirs.get(f"/yours/{commission.reference}/money/agree/").content.decode().replace("\xa0", " ")


def typed(page, **changes):
    """What Joachim sends from a page he was shown."""
    digest = re.search(r'name="digest" value="(\w{64})"', page)[1]
    return {"digest": digest, "size": "54,0", "engraving": ENGRAVING, "consent": "on", **changes}


def send(theirs, commission, data):
    return theirs.post(f"/yours/{commission.reference}/money/agree/", data)


def test_the_button_states_the_duty_to_pay_the_whole_sum(commission, offered, theirs):
    page = page_of(theirs, commission)
    total = queries.totals(quote=offered)["gross"]
    assert total == 742000
    assert ">Approve and agree to pay GBP 7,420.00</button>" in page


def test_what_was_typed_and_the_full_consent_are_kept_with_a_copy(commission, offered, theirs):
    page = page_of(theirs, commission)
    assert send(theirs, commission, typed(page)).status_code == 302
    approval = Approval.objects.get()
    assert approval.confirmed == {"size": "54,0", "engraving": ENGRAVING}
    for part in ("instead of on paper", "you enter a contract", "Approve and agree to pay GBP"):
        assert part in approval.consent.replace("\xa0", " ")
    assert approval.method == "passphrase after a one-time code" and approval.at <= clock.now()
    assert approval.bundle["engraving"] == ENGRAVING and bundles.digest(approval.bundle) == approval.digest
    copy = render_to_string("print/agreement.html", {**_paper(offered), "approval": approval})
    assert "typed again: 54,0" in copy and f"typed again: {ENGRAVING}" in copy


def _paper(quote) -> dict:
    from commissions.money import papers

    return {**papers.quotation(quote=quote), "paper": {"number": "A-1"}, "changes": []}


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"size": ""}, "size", "as it stands above"),
        ({"size": "53"}, "size", "not the size that stands above"),
        ({"engraving": ""}, "engraving", "as it stands above"),
        ({"engraving": "Fur M ’26"}, "engraving", "Sign number 2"),
        ({"engraving": "Für \u041c ’26"}, "engraving", "two alphabets"),
        ({"engraving": "Für M ’2"}, "engraving", "Something is missing"),
        ({"consent": ""}, "consent", "Tick this"),
    ],
)
def test_what_does_not_confirm_is_said_beside_it_and_nothing_is_lost(
    commission, offered, theirs, changes, field, said
):
    answer = send(theirs, commission, typed(page_of(theirs, commission), **changes))
    assert answer.status_code == 422
    assert said in str(answer.context["form"].errors[field])
    page = answer.content.decode()
    for name in ("size", "engraving"):
        value = {**typed(page_of(theirs, commission)), **changes}[name]
        assert not value or f'value="{value}"' in page
    assert not Approval.objects.exists()
    offered.refresh_from_db()
    assert offered.status == QuoteStatus.SENT


def test_an_apostrophe_as_a_keyboard_has_it_confirms_and_is_kept_as_typed(commission, offered, theirs):
    send(theirs, commission, typed(page_of(theirs, commission), engraving="Für M '26"))
    assert Approval.objects.get().confirmed["engraving"] == "Für M '26"


def test_a_changed_price_before_the_click_is_refused_and_said(commission, owner, offered, theirs):
    page = page_of(theirs, commission)
    _quote(commission, owner, 750000)
    answer = send(theirs, commission, typed(page))
    words = answer.content.decode().replace("\xa0", " ")
    assert answer.status_code == 409
    assert "The price is GBP 7,950.00; you were shown GBP 7,420.00." in words
    assert f'value="{ENGRAVING}"' in words and "What you typed is still here" in words
    assert 'name="consent" id="id_consent" checked' not in words
    assert not Approval.objects.exists()


def test_a_moved_day_before_the_click_is_refused_and_said(commission, offered, theirs):
    page = page_of(theirs, commission)
    on = clock.today().replace(day=1).replace(year=clock.today().year + 1)
    promise(commission=commission, on=on, reason="The caster is full", by_words="Ottoline")
    words = send(theirs, commission, typed(page)).content.decode()
    assert f"The promised day is {on.day} {on:%B %Y}; you were shown open." in words


def test_another_stone_before_the_click_is_refused_and_said(commission, offered, theirs):
    page = page_of(theirs, commission)
    Stone.objects.create(
        commission=commission, name="Another", origin="natural", outline={"cut": "round", "diameter_mm": 6.5},
        chosen_at=clock.now(), made_at=clock.now(), state="checked-in", length_hmm=650, width_hmm=650,
        depth_hmm=400, weight_mct=1040,
    )  # fmt: skip
    assert "Another stone is chosen." in send(theirs, commission, typed(page)).content.decode()


def test_a_page_nobody_was_shown_agrees_to_nothing(commission, offered, theirs):
    answer = send(theirs, commission, {**typed(page_of(theirs, commission)), "digest": "0" * 64})
    assert answer.status_code == 409 and not Approval.objects.exists()


def test_what_changed_names_every_part(commission, offered):
    from commissions.money.changed import changes_in_words

    before = bundles.bundle(commission=commission, quote=offered)
    assert changes_in_words(before, before) == []
    after = {**before, "terms": "2099-01", "design": {**before["design"], "revision": "B"}}
    parameters = {**before["design"]["parameters"], "engraving": "Für N", "circumference_mm": 52.0}
    after["design"]["parameters"] = parameters
    rows = changes_in_words(before, after)
    assert "The design is revision B; you were shown revision A." in rows
    assert f"Engraving: {ENGRAVING} → Für N." in rows
    assert any(row.startswith("Ring size: 54.0 mm") for row in rows)
    assert "The terms have a new version: 2099-01." in rows
    assert changes_in_words(before, {**before, "design": None}) == ["The design is being drawn anew."]
    quiet = {**before, "commission": "other"}
    assert changes_in_words(before, quiet) == ["A detail of the agreement is another one now."]


def test_a_page_is_kept_once_however_often_it_is_shown(commission, offered, theirs):
    for _time in range(3):
        page_of(theirs, commission)
    shown = ShownBundle.objects.get()
    assert shown.bundle == bundles.bundle(commission=commission, quote=offered)
    with pytest.raises(DatabaseError, match="only grows"), transaction.atomic():
        ShownBundle.objects.update(digest="0" * 64)


def test_a_ring_without_an_engraving_asks_for_none(commission, owner, theirs, joachim, settings):
    settings.SECOND_FACTOR_REQUIRED = False
    from tests.commissions.money.helpers import to_stones

    to_stones(commission=commission, owner=owner)
    _quote(commission, owner, 700000)
    page = page_of(theirs, commission)
    assert 'name="engraving"' not in page and "Nothing is engraved in this ring" in page
    assert send(theirs, commission, {**typed(page)}).status_code == 302
    assert Approval.objects.get().confirmed == {"size": "54,0"}


def test_a_change_note_begins_with_what_another_page_brings(commission, owner, offered, client):
    client.force_login(owner)
    path = f"/studio/commissions/{commission.reference}/money/changes/"
    page = client.get(
        path, {"what": "Design revision D", "price": "120.00", "asked_by": "client"}
    ).content.decode()
    assert 'value="Design revision D"' in page and 'value="120.00"' in page
    assert re.search(r'value="client"[^>]*checked', page)


# 54.0 mm round the inside is US 6 3/4 (17.19 mm across) and UK N: the sizes that stand beside it on the page.
@pytest.mark.parametrize("text", ["54", "54.0", "54,0", " 54 mm ", "54.0MM"])
def test_the_size_in_millimetres_confirms(text):
    assert wrong_size(typed=text, circumference_mm=54.0) == ""


def test_the_local_sizes_that_stand_beside_it_confirm_with_their_country():
    from gemcalc.rings import ring_of_circumference

    ring = ring_of_circumference(circumference_mm=54.0)
    for text in (f"US {ring.us_label}", f"uk {ring.uk_label}".lower(), f"UK{ring.uk_label}"):
        assert wrong_size(typed=text, circumference_mm=54.0) == ""
    assert wrong_size(typed=ring.us_label, circumference_mm=54.0)


@pytest.mark.parametrize("text", ["54.1", "53.9", "5.4", "540", "size", "nan", "inf", "-54", "K"])
def test_another_size_does_not(text):
    assert "54.0 mm" in wrong_size(typed=text, circumference_mm=54.0)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("M\u0430rie", "two alphabets"),
        ("\u041c\u0430\u0440\u0456\u0435", "Sign number 1"),
        ("Marie ", ""),
        ("marie", "Sign number 1"),
        ("Mari", "goes on with “e”"),
        ("Maries", "“s” is too much"),
        ("Ma\u200brie", "cannot be seen"),
        ("M arie", "(a blank)"),
    ],
)
def test_the_engraving_is_confirmed_letter_by_letter(text, said):
    found = wrong_engraving(typed=text, engraving="Marie")
    assert (said in found) if said else found == ""


def test_composed_and_decomposed_letters_are_one():
    assert wrong_engraving(typed="Fu\u0308r", engraving="F\u00fcr") == ""
