"""A scan of the stone becomes the seat of a draft, with how sure it is."""

from __future__ import annotations

import json

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from commissions.design import computing, proof
from commissions.design.actions import begin_scan, draft_revision, send_revision, use_scan
from commissions.design.models import Revision, RevisionFile
from commissions.design.queries import facts_of
from commissions.pages.demo.shapes import scan_csv
from commissions.record.errors import Refused
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db


def named(content: bytes, name: str) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def page(commission, rest):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def test_a_scan_begins_a_draft_where_there_is_none(commission, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(9.14, 6.61), "stone.csv"), person=owner)
    assert row.revision.letter == "A"
    assert row.facts["unit"] == "mm"
    assert row.facts["points"] == 720


def test_the_seat_is_the_scan_within_what_it_says_of_itself(commission, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(9.14, 6.61), "stone.csv"), person=owner)
    made = use_scan(row=row, person=owner)
    centre, scan = made.parameters["centre"], made.parameters["centre"]["scan"]
    assert centre["from"] == "scan"
    assert (scan["file"], scan["name"]) == (row.sha256, "stone.csv")
    # The points were drawn from a true ellipse: four of its own uncertainties are more than chance allows.
    assert abs(scan["length_mm"] - 9.14) < 2 * scan["length_within_mm"]
    assert abs(scan["width_mm"] - 6.61) < 2 * scan["width_within_mm"]
    assert 0 < scan["length_within_mm"] < 0.01
    assert made.outputs["layout"]["feasible"]
    assert "scanned, ±" in dict(facts_of(made))["Centre"]
    assert proof.prove(made).holds


def test_the_unit_is_guessed_shown_and_put_right(studio, commission):
    inches = scan_csv(9.14, 6.61, per_mm=1 / 25.4)
    answer = studio.post(page(commission, "draft/scan/"), {"file": named(inches, "stone.csv")}, follow=True)
    text = answer.content.decode()
    assert "inch" in text and "9.140" in text
    row = RevisionFile.objects.get()
    wrong = studio.get(page(commission, f"A/scan/{row.pk}/"), {"unit": "cm"})
    assert "9.140" not in wrong.content.decode()
    used = studio.post(page(commission, f"A/scan/{row.pk}/"), {"unit": "inch", "use": "1"})
    assert used.status_code == 302
    scan = Revision.objects.get().parameters["centre"]["scan"]
    assert scan["unit"] == "inch"
    assert round(scan["length_mm"], 1) == 9.1


def test_a_cut_that_the_points_deny_is_said(studio, commission, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(9.14, 6.61), "stone.csv"), person=owner)
    answer = studio.post(page(commission, f"A/scan/{row.pk}/"), {"weight": "nonsense", "use": "1"})
    assert answer.status_code == 422
    assert "weight" in answer.context["form"].errors
    assert "scan" not in Revision.objects.get().parameters["centre"]


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "s.csv", "empty"),
        (b"words and words", "s.csv", ""),
        (b"x", "s.png", "must end in"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", "s.svg", "something besides"),
        (b'<!DOCTYPE x [<!ENTITY a "b">]><svg/>', "s.svg", "something besides"),
    ],
)
def test_what_is_no_scan_is_told_beside_the_box(studio, commission, content, name, said):
    answer = studio.post(page(commission, "draft/scan/"), {"file": named(content, name)})
    assert answer.status_code == 422
    assert said in str(answer.context["form"].errors["file"])
    assert not RevisionFile.objects.exists()


def test_a_sent_revision_keeps_its_seat(commission, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(6.5, 6.5), "stone.csv"), person=owner)
    send_revision(revision=row.revision, person=owner)
    row.refresh_from_db()
    with pytest.raises(Refused):
        use_scan(row=row, person=owner)


def test_another_size_lets_the_scan_go(studio, commission, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(9.14, 6.61), "stone.csv"), person=owner)
    use_scan(row=row, person=owner)
    form = studio.get(page(commission, "draft/")).context["form"]
    boxes = {key: "on" if value is True else value for key, value in form.initial.items()}
    boxes = {key: value for key, value in boxes.items() if value not in (None, False, "")}
    studio.post(page(commission, "draft/"), {**boxes, "keep": "1"})
    assert Revision.objects.get().parameters["centre"]["from"] == "scan"
    studio.post(page(commission, "draft/"), {**boxes, "length_mm": "9.3", "keep": "1"})
    centre = Revision.objects.get().parameters["centre"]
    assert centre["from"] == "nominal"
    assert "scan" not in centre


def test_the_difference_list_tells_of_a_scan_in_words(commission, sent, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(6.7, 6.5), "stone.csv"), person=owner)
    made = use_scan(row=row, person=owner)
    said = {change["what"]: change for change in made.differences}
    assert said["Centre stone, measured by"]["after"] == "scan stone.csv"
    assert all(len(change["after"]) < 80 for change in made.differences)


def test_a_scan_of_the_figures_comes_along_in_an_address(studio, commission, draft):
    case = json.dumps({"centre": {"cut": "oval", "length_mm": 9.1402, "width_mm": 6.6104}})
    form = studio.get(page(commission, "draft/"), {"case": case}).context["form"]
    assert form.initial["cut"] == "oval"
    assert float(form.initial["length_mm"]) == 9.14
    assert form.initial["wanted_mm"] == draft.parameters["halo"]["melee"]["wanted_mm"]
    boxes = {key: "on" if value is True else value for key, value in form.initial.items()}
    boxes = {key: value for key, value in boxes.items() if value not in (None, False, "")}
    studio.post(page(commission, "draft/"), {**boxes, "keep": "1"})
    kept = Revision.objects.get().parameters
    # What the box shows in thousandths is the outline that came along, to its last digit.
    assert kept["centre"]["outline"] == {"cut": "oval", "length_mm": 9.1402, "width_mm": 6.6104}
    assert kept["halo"] == draft.parameters["halo"]


def test_the_same_parameters_give_the_same_figures_a_second_time(commission, owner):
    row = begin_scan(commission=commission, upload=named(scan_csv(9.14, 6.61), "stone.csv"), person=owner)
    made = use_scan(row=row, person=owner)
    again = draft_revision(commission=commission, parameters=made.parameters, person=owner)
    assert computing.digest(again.outputs) == computing.digest(made.outputs)
    assert standard()["centre"]["from"] == "nominal"
