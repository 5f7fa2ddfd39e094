"""The check-in: blind inscription, two readings, weight against dimensions, the halo fitted anew."""

import io
import time

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, transaction
from django.test import Client as Browser
from PIL import Image

from commissions.design import computing
from commissions.record.errors import Refused
from commissions.record.models import Question
from commissions.sourcing import queries
from commissions.sourcing.models import CheckIn, Stone, StonePhoto, StoneState
from tests.commissions.sourcing.conftest import a_stone, measured

pytestmark = pytest.mark.django_db

TYPED = {
    "inscription_typed": "LR 5507-1182",
    "weight": "1,050",
    "length": "6.52",
    "length_2": "6.53",
    "width": "6.50",
    "width_2": "6.50",
    "depth": "4.02",
    "depth_2": "4.02",
    "screening": "report",
    "seal": "S-1",
}


def page(stone):
    return f"/studio/stones/{stone.pk}/check-in/"


def open_keys(stone):
    return set(
        Question.objects.filter(commission=stone.commission, answered_at=None).values_list("key", flat=True)
    )


def test_the_report_number_is_not_shown_where_the_inscription_is_typed(studio, stone):
    assert stone.report_number not in studio.get(page(stone)).content.decode()


def test_an_inscription_that_agrees(studio, stone):
    assert studio.post(page(stone), TYPED).status_code == 302
    row = CheckIn.objects.get()
    assert row.inscription_fits is True
    assert (row.length_hmm, row.readings["length"]) == (653, [652, 653])
    stone.refresh_from_db()
    assert (stone.state, stone.holder) == (StoneState.CHECKED_IN, "The safe")


def test_an_inscription_that_does_not_agree_quarantines(stone, owner):
    measured(stone, owner, inscription="LR 5507-1183")
    stone.refresh_from_db()
    assert stone.state == StoneState.QUARANTINE
    measured(stone, owner)
    stone.refresh_from_db()
    assert stone.state == StoneState.CHECKED_IN


def test_an_empty_inscription_is_no_agreement(stone, owner):
    assert measured(stone, owner, inscription="").inscription_fits is False


@pytest.mark.parametrize(("length", "within"), [(652, True), (661, True), (663, False), (690, False)])
def test_the_tolerance_of_the_seat(stone, owner, length, within):
    # The seat assumes 6.51; the mean of 6.61 and 6.51 is 5 hundredths more, which still is within.
    row = measured(stone, owner, length=length, width=651)
    assert row.within_tolerance is within
    assert ("stones.revision" in open_keys(stone)) is not within
    assert row.fit_note.startswith("Within tolerance" if within else "Revision needed, approval void")


def test_measuring_again_within_tolerance_closes_the_question(stone, owner):
    measured(stone, owner, length=690, width=690)
    assert "stones.revision" in open_keys(stone)
    measured(stone, owner)
    assert "stones.revision" not in open_keys(stone)


def test_a_stone_that_is_not_chosen_asks_for_no_revision(agreed, owner):
    stone = a_stone(agreed, owner)
    assert measured(stone, owner, length=690, width=690).within_tolerance is False
    assert "stones.revision" not in open_keys(stone)


def test_the_fingerprint_differs_only_outside_the_tolerance(stone, owner):
    before = queries.bundle_part(commission=stone.commission)
    measured(stone, owner, length=654)
    assert queries.bundle_part(commission=stone.commission) == before
    measured(stone, owner, length=690, width=690)
    after = queries.bundle_part(commission=stone.commission)
    assert (after[0]["length_hmm"], before[0]["length_hmm"]) == (690, 652)


def test_the_halo_is_fitted_anew_and_is_the_one_a_revision_would_get(stone, owner):
    row = measured(stone, owner, length=690, width=690)
    agreed = stone.commission.revisions.get()
    wish = {
        **agreed.parameters,
        "centre": {**agreed.parameters["centre"], "outline": row.outline, "depth_mm": 4.02},
    }
    figures = computing.outputs(wish)["layout"]["figures"]
    assert row.outline["diameter_mm"] == 6.9
    assert row.refit["letter"] == "A"
    assert {key: row.refit["now"][key] for key in ("stones", "counts", "width_mm")} == {
        key: figures[key] for key in ("stones", "counts", "width_mm")
    }
    assert row.refit["agreed"]["width_mm"] == agreed.outputs["layout"]["figures"]["width_mm"]
    assert row.refit["now"]["width_mm"] > row.refit["agreed"]["width_mm"]


def test_both_fits_stand_on_the_page(studio, stone, owner):
    row = measured(stone, owner, length=690, width=690)
    text = studio.get(page(stone)).content.decode()
    assert "Revision needed, approval void" in text
    assert f"{row.refit['now']['width_mm']:.2f}" in text
    assert f"{row.refit['agreed']['width_mm']:.2f}" in text


def test_a_changed_measurement_is_on_its_page_soon(studio, stone):
    """Kept and shown well inside two seconds of processor time; the aim is 0.3 s."""
    computing._fitted.cache_clear()
    begun = time.process_time()
    studio.post(
        page(stone),
        {
            **TYPED,
            "length": "6.71",
            "length_2": "6.71",
            "width": "6.70",
            "width_2": "6.70",
            "weight_reason": "Deep girdle",
        },
    )
    assert studio.get(page(stone)).status_code == 200
    assert time.process_time() - begun < 2
    assert CheckIn.objects.get().within_tolerance is False


def test_weight_and_dimensions_apart_need_a_reason(studio, stone):
    answer = studio.post(page(stone), {**TYPED, "weight": "1.250"})
    assert "The dimensions imply" in str(answer.context["form"].errors["weight"])
    assert 'value="1.250"' in answer.content.decode()
    assert not CheckIn.objects.exists()
    studio.post(page(stone), {**TYPED, "weight": "1.250", "weight_reason": "Very thick girdle"})
    row = CheckIn.objects.get()
    assert row.weight_reason == "Very thick girdle"
    assert "The dimensions imply" in row.weight_note


@pytest.mark.parametrize(
    ("field", "wrong", "beside"),
    [
        ("length_2", "6.60", "length_2"),
        ("depth_2", "", "depth_2"),
        ("weight", "a carat", "weight"),
        ("screening", "ours", "screening_words"),
    ],
)
def test_wrong_input_is_said_beside_the_field(studio, stone, field, wrong, beside):
    answer = studio.post(page(stone), {**TYPED, field: wrong})
    assert beside in answer.context["form"].errors
    assert 'value="S-1"' in answer.content.decode()
    assert not CheckIn.objects.exists()


def test_a_check_in_is_never_changed_or_removed(stone, owner):
    row = measured(stone, owner)
    for act in (lambda: CheckIn.objects.filter(pk=row.pk).update(weight_mct=1), row.delete):
        with pytest.raises(DatabaseError), transaction.atomic():
            act()
    assert CheckIn.objects.get().weight_mct == 1050


def test_a_stone_that_went_back_is_not_checked_in(stone, owner):
    Stone.objects.filter(pk=stone.pk).update(state=StoneState.RETURNED)
    stone.refresh_from_db()
    with pytest.raises(Refused):
        measured(stone, owner)


def _picture():
    out = io.BytesIO()
    Image.new("RGB", (400, 300), "#b9a26a").save(out, "JPEG")
    return SimpleUploadedFile("stone.jpg", out.getvalue(), content_type="image/jpeg")


def test_a_photograph_is_kept_for_the_studio_alone(studio, stone):
    path = f"/studio/stones/{stone.pk}/photos/"
    assert studio.post(path, {"upload": _picture(), "shot": "face", "caption": "Face up"}).status_code == 302
    row = StonePhoto.objects.get()
    assert (row.shot, row.shown_at) == ("face", None)
    assert "From the side" in queries.shots_missing(stone=stone)
    assert "Face up" not in queries.shots_missing(stone=stone)
    assert Browser().get(f"{path}{row.pk}/1000/").status_code == 302


def test_a_file_that_is_no_picture_is_refused_with_words(studio, stone):
    path = f"/studio/stones/{stone.pk}/photos/"
    bad = SimpleUploadedFile("stone.jpg", b"not a picture", content_type="image/jpeg")
    answer = studio.post(path, {"upload": bad, "shot": "face"})
    assert answer.status_code == 422
    assert answer.context["photo_form"].errors["upload"]
    assert not StonePhoto.objects.exists()


def test_pages_of_a_stone_ask_a_stranger_to_sign_in(stone):
    assert Browser().get(page(stone)).status_code == 302
