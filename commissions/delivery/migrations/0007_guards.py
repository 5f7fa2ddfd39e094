"""Limits, records, parcel facts, confirmations, worries, advice, words and consents are only ever added to."""

from django.db import migrations

from studio.guards import only_grows, writes_once


class Migration(migrations.Migration):
    dependencies = [("delivery", "0006_care_words_papers")]

    operations = [
        only_grows("delivery_limit"),
        only_grows("delivery_ringrecord"),
        only_grows("delivery_parcelphoto"),
        only_grows("delivery_confirmation"),
        only_grows("delivery_disclosure"),
        only_grows("delivery_secondreading"),
        only_grows("delivery_takenin"),
        only_grows("delivery_worry"),
        only_grows("delivery_advice"),
        only_grows("delivery_carephoto"),
        only_grows("delivery_kindwords"),
        only_grows("delivery_consent"),
        only_grows("delivery_showing"),
        writes_once(
            "delivery_shipment",
            (
                "commission_id", "answers", "ring_mg", "seal", "insured_minor", "packed_by_id", "packed_at", "carrier",
                "service", "tracking", "expected_on", "dispatched_at", "arrived_at", "arrival_proof",
            ),
        ),
        writes_once("delivery_caredate", ("commission_id", "due_on", "done_at", "findings", "how", "done_by")),
        writes_once(
            "delivery_keptpaper",
            ("commission_id", "kind", "edition", "cause", "language", "data", "file_name", "sha256", "at"),
        ),
    ]  # fmt: skip
