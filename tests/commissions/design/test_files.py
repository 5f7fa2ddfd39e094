"""Files of a revision: read to their end, handed out as downloads, kept for good once the revision is sent."""

from __future__ import annotations

import io
import struct
import zipfile

import pytest
from django.core.files.storage import storages
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, connection, transaction
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from PIL import Image

from commissions.design.actions import add_file, answer_revision, draft_revision, remove_file, send_revision
from commissions.design.incoming import plain_name
from commissions.design.models import FileKind, Revision, RevisionFile
from commissions.design.queries import bundle_part
from commissions.pages.demo.shapes import ellipse, plate_stl, scan_csv
from commissions.record.errors import Refused
from gemcalc.errors import BadInput
from studio.pictures.actions import render
from studio.pictures.models import Picture
from tests.commissions.design.conftest import standard

pytestmark = pytest.mark.django_db

STL = plate_stl(ellipse(6.7, 6.7), ellipse(9.4, 9.4))
STEP = (
    b"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\n"
    b"DATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));\n#2=DIRECTION('',(0.,0.,1.));\nENDSEC;\nEND-ISO-10303-21;\n"
)


def named(content: bytes, name: str) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


def jpeg() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (640, 480), (120, 100, 80)).save(out, "JPEG")
    return out.getvalue()


def page(commission, rest="A/"):
    return f"/studio/commissions/{commission.reference}/design/{rest}"


def test_a_mesh_is_measured_and_kept_with_its_digest(draft, owner):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "Halo v3.STL"), person=owner)
    assert (row.form, row.name, row.bytes) == ("stl", "Halo v3.stl", len(STL))
    assert row.facts["sound"] is True
    assert row.facts["size_mm"] == [9.4, 9.4, 1.1]
    assert row.stored.startswith("designs/") and row.name not in row.stored
    with storages["default"].open(row.stored) as file:
        assert file.read() == STL


def test_a_step_file_is_kept_by_its_frame(draft, owner):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STEP, "ring.stp"), person=owner)
    assert (row.form, row.name) == ("step", "ring.step")
    assert row.facts == {"schema": "AUTOMOTIVE_DESIGN", "entities": 2}


def archive(names: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in names.items():
            packed.writestr(name, content)
    return out.getvalue()


HOSTILE = {
    "empty": (b"", "a.stl", "empty"),
    "a program called a model": (b"MZ\x90\x00" + b"\0" * 4000, "a.stl", "something besides"),
    "a page called a STEP file": (b"<html><script>alert(1)</script>", "a.step", "something besides"),
    "a STEP file with a page in it": (
        STEP.replace(b"''", b"'<script>x</script>'", 1),
        "a.step",
        "something besides",
    ),
    "half a STEP file": (STEP[:-30], "a.step", "no whole STEP file"),
    "a STEP file in bytes": (STEP.replace(b"DATA", b"\x00DATA"), "a.step", "not written in words"),
    "a STEP file without a schema": (STEP.replace(b"FILE_SCHEMA", b"FILE_SOMETHING"), "a.step", "without"),
    "a mesh that claims two thousand million triangles": (
        b"\0" * 80 + struct.pack("<I", 2_000_000_000) + b"\0" * 200,
        "a.stl",
        "",
    ),
    "a mesh with an archive behind it": (STL + archive({"x": b"y"}), "a.stl", "after its last triangle"),
    "an archive called a mesh": (archive({"evil.exe": b"MZ"}), "a.stl", "archive"),
    "an archive that is no 3MF": (archive({"evil.exe": b"MZ"}), "a.3mf", ""),
    "a 3MF that unpacks without end": (
        archive({"[Content_Types].xml": b"", "3D/3dmodel.model": b" " * 220_000_000}),
        "a.3mf",
        "",
    ),
    "another format": (STL, "a.zip", "must end in"),
    "a name without an ending": (STL, "model", "must end in"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_refused_and_nothing_is_left(draft, owner, name, stores):
    content, called, said = HOSTILE[name]
    before = sorted((stores / "media").rglob("*.*")) if (stores / "media").exists() else []
    with pytest.raises(BadInput) as refused:
        add_file(revision=draft, kind=FileKind.MODEL, upload=named(content, called), person=owner)
    assert said in refused.value.message
    assert not RevisionFile.objects.exists()
    after = sorted((stores / "media").rglob("*.*")) if (stores / "media").exists() else []
    assert before == after


@pytest.mark.parametrize(
    ("name", "form", "plain"),
    [
        ("../../etc/passwd.stl", "stl", "passwd.stl"),
        ("C:\\Users\\x\\ring.STL", "stl", "ring.stl"),
        ("a\u202egnp.stl", "stl", "agnp.stl"),
        ('x" onload="y.step', "step", "x onload= y.step"),
        ("\n\r\0.3mf", "3mf", "file.3mf"),
        ("n" * 300 + ".obj", "obj", "n" * 80 + ".obj"),
    ],
)
def test_a_name_is_made_plain(name, form, plain):
    assert plain_name(name, form=form) == plain


def test_a_picture_goes_through_the_houses_own_door(draft, owner):
    row = add_file(
        revision=draft, kind=FileKind.RENDER, upload=named(jpeg(), "side.jpg"), person=owner, words="Side"
    )
    assert row.picture.kind == "design"
    assert (row.stored, row.words) == ("", "Side")
    with pytest.raises(BadInput):
        add_file(revision=draft, kind=FileKind.RENDER, upload=named(STL, "side.jpg"), person=owner)
    assert Picture.objects.count() == 1


def test_the_very_same_file_is_taken_once(draft, owner, stores):
    add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "a.stl"), person=owner)
    kept = sorted((stores / "media" / "designs").glob("*"))
    with pytest.raises(Refused):
        add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "b.stl"), person=owner)
    assert sorted((stores / "media" / "designs").glob("*")) == kept


def test_a_file_can_be_taken_out_of_a_draft(draft, owner, django_capture_on_commit_callbacks):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "a.stl"), person=owner)
    with django_capture_on_commit_callbacks(execute=True):
        remove_file(row=row, person=owner)
    assert not RevisionFile.objects.exists()
    assert not storages["default"].exists(row.stored)


def test_sending_seals_the_files_and_lists_their_digests(draft, owner):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "a.stl"), person=owner)
    send_revision(revision=draft, person=owner)
    row.refresh_from_db()
    draft.refresh_from_db()
    assert row.sealed_at is not None
    assert [(entry["name"], entry["sha256"]) for entry in draft.files] == [("a.stl", row.sha256)]
    with pytest.raises(Refused):
        remove_file(row=row, person=owner)
    with pytest.raises(Refused):
        add_file(revision=draft, kind=FileKind.MODEL, upload=named(STEP, "b.step"), person=owner)
    assert storages["default"].exists(row.stored)


def test_what_is_agreed_names_the_files_by_digest_and_nothing_where_there_are_none(commission, draft, owner):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "a.stl"), person=owner)
    send_revision(revision=draft, person=owner)
    answer_revision(revision=draft, kind="agree", words="", by_words="Joachim")
    assert bundle_part(commission=commission)["files"] == [["model", "a.stl", row.sha256]]


def test_a_bundle_without_files_is_what_it_was(commission, sent):
    answer_revision(revision=sent, kind="agree", words="", by_words="Joachim")
    assert set(bundle_part(commission=commission)) == {"revision", "parameters", "outputs", "engine"}


# -- the database itself --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "change",
    [
        {"parameters": {}},
        {"outputs": {}},
        {"note": "another"},
        {"letter": "Z"},
        {"files": [{"sha256": "0"}]},
        {"engine": "0"},
        {"status": "draft"},
    ],
)
def test_the_database_keeps_a_revision_as_it_was_sent(sent, change):
    with pytest.raises(DatabaseError), transaction.atomic():
        Revision.objects.filter(pk=sent.pk).update(**change)


def test_the_database_keeps_a_sent_revision_from_going(sent):
    with pytest.raises(DatabaseError), transaction.atomic():
        Revision.objects.filter(pk=sent.pk).delete()


def test_a_draft_may_still_change_and_a_sent_one_be_superseded(commission, draft, owner):
    Revision.objects.filter(pk=draft.pk).update(note="more")
    send_revision(revision=draft, person=owner)
    assert Revision.objects.filter(pk=draft.pk).update(status="superseded") == 1


@pytest.mark.parametrize("change", [{"name": "b.stl"}, {"sha256": "0" * 64}, {"sealed_at": None}])
def test_the_database_keeps_a_file_as_it_was_sent(draft, owner, change):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "a.stl"), person=owner)
    send_revision(revision=draft, person=owner)
    with pytest.raises(DatabaseError), transaction.atomic():
        RevisionFile.objects.filter(pk=row.pk).update(**change)
    with pytest.raises(DatabaseError), transaction.atomic():
        RevisionFile.objects.filter(pk=row.pk).delete()


# -- pages ----------------------------------------------------------------------------------------


def test_a_model_is_a_download_that_no_browser_opens(studio, commission, draft, owner):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, 'ri"ng\r\n.stl'), person=owner)
    answer = studio.get(page(commission, f"A/files/{row.pk}/"))
    assert answer["Content-Type"] == "application/octet-stream"
    assert answer["Content-Disposition"] == f'attachment; filename="{commission.reference}-A-ri ng.stl"'
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert "sandbox" in answer["Content-Security-Policy"]
    assert b"".join(answer.streaming_content) == STL


def test_files_are_added_looked_at_and_removed_on_the_page(studio, commission, draft):
    answer = studio.post(
        page(commission, "A/files/"), {"kind": "model", "file": named(STL, "halo.stl"), "words": "The plate"}
    )
    assert answer.status_code == 302
    text = studio.get(page(commission)).content.decode()
    row = RevisionFile.objects.get()
    assert "halo.stl" in text and row.sha256[:12] in text and "The plate" in text
    assert studio.post(page(commission, f"A/files/{row.pk}/remove/")).status_code == 302
    assert not RevisionFile.objects.exists()


def test_wrong_files_are_told_beside_the_box_and_words_stay(studio, commission, draft):
    answer = studio.post(
        page(commission, "A/files/"), {"kind": "model", "file": named(b"x", "halo.zip"), "words": "The plate"}
    )
    assert answer.status_code == 422
    assert "must end in" in str(answer.context["form"].errors["file"])
    assert "The plate" in answer.content.decode()


def test_a_sent_revisions_page_takes_no_file(studio, commission, sent):
    answer = studio.post(page(commission, "A/files/"), {"kind": "model", "file": named(STL, "halo.stl")})
    assert answer.status_code == 422
    assert not RevisionFile.objects.exists()
    assert 'type="file"' not in studio.get(page(commission)).content.decode()


def test_the_client_sees_pictures_of_what_was_sent_and_no_other(draft, commission, owner, device, hers):
    row = add_file(revision=draft, kind=FileKind.RENDER, upload=named(jpeg(), "s.jpg"), person=owner)
    render(pk=row.picture_id)
    address = f"/yours/{commission.reference}/design/pictures/{row.pk}/320/"
    assert device.get(address).status_code == 404
    send_revision(revision=draft, person=owner)
    assert device.get(address)["Content-Type"] == "image/jpeg"
    assert (
        address.rpartition("320/")[0] in device.get(f"/yours/{commission.reference}/design/").content.decode()
    )
    assert hers.get(address).status_code == 404
    assert Browser().get(address).status_code == 302


def test_a_scan_and_a_model_are_never_shown_as_pictures(studio, draft, commission, owner):
    row = add_file(
        revision=draft, kind=FileKind.SCAN, upload=named(scan_csv(6.5, 6.5), "s.csv"), person=owner
    )
    assert studio.get(page(commission, f"A/files/{row.pk}/320/")).status_code == 404


def test_strangers_and_setters_get_no_file(setter, commission, draft, owner):
    row = add_file(revision=draft, kind=FileKind.MODEL, upload=named(STL, "a.stl"), person=owner)
    browser = Browser()
    assert browser.get(page(commission, f"A/files/{row.pk}/")).status_code == 302
    browser.force_login(setter)
    assert browser.get(page(commission, f"A/files/{row.pk}/")).status_code == 200
    assert browser.get(page(commission)).status_code == 403
    assert browser.post(page(commission, f"A/files/{row.pk}/remove/")).status_code == 403


def test_questions_to_the_database_do_not_grow_with_files(studio, commission, owner):
    counts = []
    for count, diameter in ((1, 6.51), (20, 6.6)):
        row = draft_revision(commission=commission, parameters=standard(diameter), person=owner)
        for place in range(count):
            content = STEP.replace(b"(0.,0.,0.)", b"(%d.,0.,0.)" % place)
            add_file(revision=row, kind=FileKind.MODEL, upload=named(content, "a.step"), person=owner)
        studio.get(page(commission, f"{row.letter}/"))
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(page(commission, f"{row.letter}/")).status_code == 200
        counts.append(len(seen))
        send_revision(revision=row, person=owner)
    assert counts[0] == counts[1]
