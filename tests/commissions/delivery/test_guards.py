"""The database itself keeps the facts of delivery and care: added, and never changed or removed."""

import pytest
from django.apps import apps
from django.db import DatabaseError, connection, transaction

from commissions.delivery import actions
from commissions.delivery.models import CareDate, KeptPaper, Limit, RingRecord, Shipment

ADDED_ONLY = [
    "advice", "carephoto", "confirmation", "consent", "disclosure", "kindwords", "limit", "parcelphoto",
    "ringrecord", "secondreading", "showing", "takenin", "worry",
]  # fmt: skip
WRITTEN_ONCE = ["caredate", "keptpaper", "shipment"]
FREE = {"address": "its words are removed after ninety days", "calendarkey": "a key ends"}


def triggers() -> set[str]:
    """Tables of this room that carry a guard against removal."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT tbl_name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute("SELECT event_object_table FROM information_schema.triggers")
        return {
            row[0].removeprefix("delivery_") for row in cursor.fetchall() if row[0].startswith("delivery_")
        }


def test_every_table_is_guarded_or_says_why_not(db):
    tables = {model._meta.model_name for model in apps.get_app_config("delivery").get_models()}
    assert tables == {*ADDED_ONLY, *WRITTEN_ONCE, *FREE}
    assert triggers() == tables - FREE.keys()


def refused(act) -> None:
    """The database does not let it happen."""
    with pytest.raises(DatabaseError), transaction.atomic():
        act()


def test_limits_records_and_photographs_are_only_added(packed):
    for rows in (
        Limit.objects,
        RingRecord.objects,
        packed.commission.parcel_photos,
        packed.commission.confirmations,
    ):
        assert rows.exists()
        refused(lambda rows=rows: rows.update(at="2020-01-01T00:00:00Z"))
        refused(lambda rows=rows: rows.all()._raw_delete(rows.db if hasattr(rows, "db") else "default"))


@pytest.mark.parametrize(
    "change",
    [{"ring_mg": 1}, {"seal": "X"}, {"insured_minor": 1}, {"answers": {"value": "no"}}, {"carrier": "Other"},
     {"arrival_proof": "Other"}, {"dispatched_at": "2020-01-01T00:00:00Z"}],
)  # fmt: skip
def test_what_was_packed_stays_as_it_was_packed(arrived, change):
    refused(lambda: Shipment.objects.filter(pk=arrived.pk).update(**change))


def test_a_date_of_care_is_done_once(arrived):
    care = arrived.commission.care_dates.first()
    actions.finish_care(care=care, findings="Well", by_words="Joachim")
    refused(lambda: CareDate.objects.filter(pk=care.pk).update(findings="Other"))
    # What is still empty may be filled in.
    other = arrived.commission.care_dates.last()
    assert CareDate.objects.filter(pk=other.pk).update(findings="Later") == 1


def test_a_kept_paper_keeps_its_words_and_its_bytes(sent):
    row = KeptPaper.objects.first()
    refused(lambda: KeptPaper.objects.filter(pk=row.pk).update(data={}))
    actions.draw_paper(paper=row)
    refused(lambda: KeptPaper.objects.filter(pk=row.pk).update(sha256="0" * 64))
