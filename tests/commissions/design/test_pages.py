"""The drawing table and the client's design page."""

import json

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.design.actions import answer_revision, draft_revision, send_revision
from commissions.design.forms import Parameters
from commissions.design.models import Revision
from commissions.design.typed import typed_from
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


def typed(**changes):
    """What the draft form sends."""
    data = {key: ("on" if value is True else value) for key, value in typed_from(standard()).items()}
    return {key: value for key, value in {**data, **changes}.items() if value not in (None, False)}


def studio_page(commission, rest=""):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def yours(commission, rest=""):
    return f"/yours/{commission.reference}/design/{rest}"


def test_a_draft_is_looked_at_without_being_kept(studio, commission):
    answer = studio.post(studio_page(commission, "draft/"), typed(look="1"))
    assert answer.status_code == 200
    assert b"<svg" in answer.content
    assert not Revision.objects.exists()


def test_a_draft_is_kept(studio, commission):
    answer = studio.post(studio_page(commission, "draft/"), typed(keep="1"))
    assert answer.status_code == 302
    assert Revision.objects.get().parameters == standard()


@pytest.mark.parametrize(
    ("field", "wrong"),
    [("length_mm", "6,5 something"), ("size", "Q9"), ("sizes", "1.1 big"), ("shank_width_mm", "0.01")],
)
def test_wrong_input_stays_beside_its_error(studio, commission, field, wrong):
    answer = studio.post(studio_page(commission, "draft/"), typed(keep="1", **{field: wrong}))
    form = answer.context["form"]
    assert field in form.errors
    assert f'value="{wrong}"' in answer.content.decode()
    assert not Revision.objects.exists()


def test_a_comma_is_a_decimal_sign():
    form = Parameters(typed(length_mm="6,51 mm", width_mm=""))
    assert form.is_valid(), form.errors
    assert str(form.cleaned_data["length_mm"]) == "6.51"


def test_the_sheet_says_that_its_figures_are_the_recomputed_ones(studio, commission, sent):
    page = studio.get(studio_page(commission, "A/sheet/")).content.decode()
    assert page.count("<svg") == 4
    assert "every figure is the stored one" in page


def test_the_sheet_goes_out_as_dxf_and_pdf(studio, commission, sent):
    dxf = studio.get(studio_page(commission, "A/sheet.dxf"))
    assert b"SECTION" in dxf.content[:40]
    pdf = studio.get(studio_page(commission, "A/sheet.pdf"))
    assert pdf.content.startswith(b"%PDF")


@pytest.mark.parametrize("rest", ["", "draft/", "A/sheet/"])
def test_the_studios_pages_ask_a_stranger_to_sign_in(commission, sent, rest):
    answer = Browser().get(studio_page(commission, rest))
    assert answer.status_code == 302
    assert "/sign-in/" in answer["Location"]


def test_a_setter_may_read_the_sheet_and_not_draft(setter, commission, sent):
    browser = Browser()
    browser.force_login(setter)
    assert browser.get(studio_page(commission, "A/sheet/")).status_code == 200
    assert browser.get(studio_page(commission, "draft/")).status_code == 403


def test_the_client_sees_the_design_and_nobody_else(commission, sent, device, hers):
    assert device.get(yours(commission)).status_code == 200
    assert hers.get(yours(commission)).status_code == 404
    assert hers.post(yours(commission), {"kind": "agree", "letter": "A"}).status_code == 404
    stranger = Browser().get(yours(commission))
    assert stranger.status_code == 302
    sent.refresh_from_db()
    assert sent.status == "sent"


def test_a_draft_is_not_shown_to_the_client(commission, draft, device):
    page = device.get(yours(commission)).content.decode()
    assert "<svg" not in page
    assert "6.51" not in page


def test_the_client_agrees(commission, sent, device):
    answer = device.post(yours(commission), {"kind": "agree", "letter": "A", "words": ""})
    assert answer.status_code == 302
    sent.refresh_from_db()
    assert sent.status == "agreed"


def test_the_client_who_looked_at_an_older_letter_is_told(commission, owner, sent, device):
    following = draft_revision(commission=commission, parameters=standard(6.8), person=owner)
    send_revision(revision=following, person=owner)
    answer = device.post(yours(commission), {"kind": "agree", "letter": "A", "words": "Lovely"})
    assert "A newer revision has been sent" in answer.content.decode()
    assert "Lovely" in answer.content.decode()
    following.refresh_from_db()
    assert following.status == "sent"


def test_what_the_client_typed_stays(commission, sent, device):
    answer = device.post(yours(commission), {"kind": "nonsense", "letter": "A", "words": "A thought"})
    assert answer.status_code == 200
    assert "A thought" in answer.content.decode()


def _with_revisions(commission, owner, count):
    for place in range(count):
        wish = standard(engraving=f"{count}-{place}")
        row = draft_revision(commission=commission, parameters=wish, person=owner)
        send_revision(revision=row, person=owner)
        answer_revision(revision=row, kind="ask", words="Again", by_words="Joachim")


def test_questions_to_the_database_do_not_grow_with_revisions(studio, commission, owner):
    counts = []
    studio.get(studio_page(commission))  # the first page of a session also enters the device
    for count in (2, 28):
        _with_revisions(commission, owner, count)
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(studio_page(commission)).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


CASE = {
    "centre": {"cut": "oval", "length_mm": 8.0, "width_mm": 6.0},
    "target": None,
    "melee": {"sizes_mm": [1.2, 1.3], "stock": {"1.20": 40, "1.30": 40}, "wanted_mm": 1.3},
    "rules": {
        "clearance_mm": 0.12,
        "clearance_max_mm": 0.32,
        "gap_min_mm": 0.03,
        "gap_max_mm": 0.2,
        "gap_wanted_mm": 0.08,
        "size_step_max_mm": 0.2,
    },
    "symmetry": "any",
    "rows": 1,
}


def test_a_case_from_the_fit_is_used_whole(studio, commission):
    page = studio.get(studio_page(commission, "draft/"), {"case": json.dumps(CASE)})
    initial = page.context["form"].initial
    assert (initial["cut"], initial["stock"]) == ("oval", "1.20:40 1.30:40")
    data = {
        key: ("on" if value is True else value)
        for key, value in initial.items()
        if value not in (None, False)
    }
    assert studio.post(studio_page(commission, "draft/"), {**data, "keep": "1"}).status_code == 302
    kept = Revision.objects.get().parameters
    assert kept["centre"]["outline"] == CASE["centre"]
    assert kept["halo"] == {key: CASE[key] for key in ("target", "melee", "rules", "symmetry", "rows")}


@pytest.mark.parametrize(
    "case", ["{", "[]", '{"centre": 5}', '{"centre": {"cut": "round", "diameter_mm": -1}}']
)
def test_a_case_that_cannot_be_read_is_said(studio, commission, case):
    page = studio.get(studio_page(commission, "draft/"), {"case": case})
    assert page.status_code == 200
    assert "cannot be used" in page.content.decode()
    assert page.context["form"].initial["case"] == ""


def test_the_drawer_limits_the_halo(studio, commission):
    answer = studio.post(studio_page(commission, "draft/"), typed(keep="1", stock="1.3:12 1.2:40"))
    assert answer.status_code == 302
    melee = Revision.objects.get().parameters["halo"]["melee"]
    assert (melee["stock"], melee["sizes_mm"]) == ({"1.30": 12, "1.20": 40}, [1.2, 1.3])


@pytest.mark.parametrize(
    ("engraving", "said"),
    [("M\u0430rie", "two alphabets"), ("Marie\u200b", "cannot be seen"), ("\uff2darie", "only looks like")],
)
def test_a_look_alike_in_an_engraving_is_caught(studio, commission, engraving, said):
    answer = studio.post(studio_page(commission, "draft/"), typed(keep="1", engraving=engraving))
    assert said in str(answer.context["form"].errors["engraving"])
    assert not Revision.objects.exists()


@pytest.mark.parametrize("engraving", ["M & J 2026", "Zoë", "Мария", "Ἀγάπη", "愛"])
def test_an_honest_engraving_is_kept(studio, commission, engraving):
    studio.post(studio_page(commission, "draft/"), typed(keep="1", engraving=engraving))
    assert Revision.objects.get().parameters["engraving"] == engraving
