"""A model laid over the stone: the gap all round, kept as a fact before anything is cast."""

from __future__ import annotations

import math

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext

from commissions.design import modelcheck
from commissions.design.actions import add_file, answer_revision, check_model, draft_revision, send_revision
from commissions.design.models import FileKind, ModelCheck
from commissions.design.queries import check_drawing, check_facts, model_note
from commissions.pages.demo.shapes import ellipse, plate_stl
from gemcalc.drawing import paper_rule
from gemcalc.errors import BadInput
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db

ROUND = {"cut": "round", "diameter_mm": 6.51}


def csv(ring: np.ndarray) -> bytes:
    return ("x,y\n" + "\n".join(f"{x:.5f},{y:.5f}" for x, y in [*ring, ring[0]])).encode()


def check(revision, owner, ring, *, girdle=ROUND, name="halo.csv", **more):
    return check_model(
        revision=revision,
        content=csv(ring),
        name=name,
        girdle=girdle,
        girdle_words="the seat",
        person=owner,
        **more,
    )


def test_two_circles_differ_by_their_radii(sent, owner):
    """A circle in a circle about one middle: the gap is the difference of the radii, everywhere."""
    made = check(sent, owner, ellipse(6.71, 6.71, points=1440))
    assert (made.least_um, made.greatest_um, made.mean_um) == (100, 100, 100)
    assert made.verdict == "good"
    assert made.person == owner
    assert len(made.opening_sha256) == 64


def test_a_shifted_circle_is_nearest_where_it_was_shifted_to(sent, owner):
    """Moved by e in one frame: least r - e, greatest r + e, on the line of the shift (plane geometry)."""
    ring = ellipse(6.81, 6.81, points=1440) + np.array((0.0, 0.06))
    made = check(sent, owner, ring, align=False)
    assert (made.least_um, made.greatest_um) == (90, 210)
    # Beside its lowest place a gap hardly grows: three degrees are a fraction of a micrometre.
    assert math.isclose(made.figures["least_at_deg"], 270, abs_tol=3)
    assert math.isclose(made.figures["greatest_at_deg"], 90, abs_tol=3)
    words = check_facts(made)["words"]
    assert made.verdict == "look"
    assert "12 o'clock" in words and "wider than 0.15" in words


def test_a_stone_that_would_not_go_in_is_a_stop(sent, owner):
    made = check(sent, owner, ellipse(6.45, 6.45, points=1440))
    assert made.verdict == "stop"
    assert made.least_um == -30
    assert "would not go in" in check_facts(made)["words"]


def test_a_model_a_quarter_turn_off_is_laid_right(sent, owner):
    oval = {"cut": "oval", "length_mm": 9.0, "width_mm": 6.5}
    made = check(sent, owner, ellipse(6.7, 9.2, points=1440), girdle=oval)
    assert made.verdict == "good"
    assert 95 <= made.least_um <= made.greatest_um <= 105


def test_a_model_is_cut_at_the_girdle(sent, owner):
    """A plate with a true round hole, as an STL: the cut gives the hole's radius back."""
    plate = plate_stl(ellipse(6.71, 6.71, points=720), ellipse(9.4, 9.4, points=720))
    made = check_model(
        revision=sent, content=plate, name="p.stl", girdle=ROUND, girdle_words="the seat", person=owner
    )
    assert (made.least_um, made.greatest_um) == (100, 100)
    assert "cut at z = 8.5" in made.opening_words
    given = check_model(
        revision=sent,
        content=plate,
        name="p.stl",
        girdle=ROUND,
        girdle_words="the seat",
        person=owner,
        axis="z",
        level_mm=8.2,
    )
    assert "cut at z = 8.20 mm, as you said" in given.opening_words


@pytest.mark.parametrize(
    ("content", "name", "more", "field"),
    [
        (plate_stl(ellipse(3, 3), ellipse(9, 9)), "p.stl", {}, "file"),
        (
            plate_stl(ellipse(6.7, 6.7), ellipse(9, 9)),
            "p.stl",
            {"axis": "z", "level_mm": 20.0},
            "level_mm",
        ),
        (b"x", "p.step", {}, "file"),
        (b"words", "p.csv", {}, "file"),
    ],
)
def test_what_has_no_opening_for_the_stone_is_said(sent, owner, content, name, more, field):
    with pytest.raises(BadInput) as refused:
        check_model(
            revision=sent,
            content=content,
            name=name,
            girdle=ROUND,
            girdle_words="the seat",
            person=owner,
            **more,
        )
    assert refused.value.field == field
    assert not ModelCheck.objects.exists()


def test_figures_and_drawing_are_of_the_same_outlines(sent, owner):
    made = check(sent, owner, ellipse(6.75, 6.69, points=1440))
    drawn = check_drawing(made)
    assert f"least {made.least_um / 1000:.3f}" in drawn
    assert f"greatest {made.greatest_um / 1000:.3f}" in drawn


def test_the_database_only_adds_to_the_checks(sent, owner):
    made = check(sent, owner, ellipse(6.71, 6.71))
    for wrong in (
        lambda: ModelCheck.objects.filter(pk=made.pk).update(verdict="good"),
        lambda: ModelCheck.objects.filter(pk=made.pk).delete(),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            wrong()


def test_the_note_before_casting_goes_when_a_model_went_well(commission, sent, owner):
    assert model_note(commission=commission) == ""
    answer_revision(revision=sent, kind="agree", words="", by_words="Joachim")
    assert "No model was laid over the stone for revision A" in model_note(commission=commission)
    check(sent, owner, ellipse(6.45, 6.45))
    assert "would not go in" in model_note(commission=commission)
    check(sent, owner, ellipse(6.71, 6.71))
    assert model_note(commission=commission) == ""


def page(commission, rest="A/model/"):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def upload(ring) -> SimpleUploadedFile:
    return SimpleUploadedFile("halo inner.csv", csv(ring))


WANTED = {"low_mm": "0.05", "high_mm": "0.15", "align": "yes"}


def test_a_model_is_laid_over_on_the_page(studio, commission, sent):
    answer = studio.post(page(commission), {"file": upload(ellipse(6.71, 6.71)), **WANTED}, follow=True)
    text = answer.content.decode()
    assert "The stone goes in" in text
    assert "0.100 mm" in text and "halo inner.csv" in text
    assert "The seat of revision A" in text
    assert "The stone goes in" in studio.get(page(commission, "A/")).content.decode()


def test_a_model_among_the_files_can_be_laid_over(studio, commission, draft, owner):
    plate = plate_stl(ellipse(6.71, 6.71), ellipse(9.4, 9.4))
    row = add_file(
        revision=draft, kind=FileKind.MODEL, upload=SimpleUploadedFile("p.stl", plate), person=owner
    )
    assert studio.post(page(commission), {"of": str(row.pk), **WANTED}).status_code == 302
    assert ModelCheck.objects.get().opening_sha256 == row.sha256


def test_a_check_of_a_stone_that_was_measured_anew_is_said_to_be_old(studio, commission, sent, owner):
    check(sent, owner, ellipse(6.71, 6.71), girdle=sent.parameters["centre"]["outline"])
    said = "The stone was measured anew since."
    assert said not in studio.get(page(commission)).content.decode()
    check(sent, owner, ellipse(6.71, 6.71), girdle={"cut": "round", "diameter_mm": 6.49})
    assert said in studio.get(page(commission)).content.decode()


@pytest.mark.parametrize(
    ("wrong", "box"),
    [
        ({}, "file"),
        ({"level_mm": "8"}, "axis"),
        ({"low_mm": "0.2"}, "high_mm"),
        ({"high_mm": "a lot"}, "high_mm"),
    ],
)
def test_wrong_input_is_told_beside_its_box(studio, commission, sent, wrong, box):
    data = {**WANTED, **wrong} if not wrong else {"file": upload(ellipse(6.71, 6.71)), **WANTED, **wrong}
    answer = studio.post(page(commission), data)
    assert answer.status_code == 422
    assert box in answer.context["form"].errors
    assert not ModelCheck.objects.exists()


def test_a_file_of_another_revision_is_not_taken(studio, commission, draft, owner):
    plate = SimpleUploadedFile("p.stl", plate_stl(ellipse(6.71, 6.71), ellipse(9.4, 9.4)))
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=plate, person=owner)
    send_revision(revision=draft, person=owner)
    draft_revision(commission=commission, parameters=standard(6.6), person=owner)
    answer = studio.post(page(commission, "B/model/"), {"of": str(row.pk), **WANTED})
    assert answer.status_code == 422
    assert not ModelCheck.objects.exists()


def test_questions_to_the_database_do_not_grow_with_checks(studio, commission, sent, owner):
    counts = []
    for more in (1, 29):
        for _place in range(more):
            check(sent, owner, ellipse(6.71, 6.71))
        studio.get(page(commission))
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(page(commission)).status_code == 200
            assert studio.get(page(commission, "")).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_the_bar_on_paper_is_fifty_millimetres_long():
    bars = [item for item in paper_rule().items if item.kind in ("bar", "barless")]
    across = [x for item in bars for x, _y, _bulge in item.points]
    assert max(across) - min(across) == 50.0


def test_a_girdle_of_many_points_is_thinned_and_not_refused():
    assert len(modelcheck.ring_of({"cut": "oval", "length_mm": 9.0, "width_mm": 6.5})) <= 4000
