"""Writing the demo workshop into an empty database."""

from __future__ import annotations

import json
from pathlib import Path

from django.conf import settings

from commissions.bench.actions import ensure_templates
from commissions.delivery.actions import keep_limit
from commissions.design.actions import say_terms
from commissions.money.actions import post_receipt, reverse
from commissions.money.actions.bank import change_bank_details
from commissions.pages.demo import cast as people
from commissions.pages.demo import prices
from commissions.pages.demo.setting_out import Cast, on
from commissions.pages.demo.stories import STORIES
from commissions.pages.demo.stories.common import date
from commissions.record.actions import post_message
from commissions.record.models import Commission
from commissions.sourcing import actions as sourcing

DAY = "2026-09-15"
HOUR = "09:30"


def _faults(cast: Cast) -> None:
    """What goes wrong in a real workshop, so that the pages have something to say."""
    ren = Commission.objects.select_related("client").get(reference="B3X-9TN")
    with on("2026-09-13", "22:10"):
        post_message(
            commission=ren,
            body="One more thing: will the claws be rounded or pointed in the end?",
            from_client=True,
        )
    # Where clients pay to, and a change of it that waits its 48 hours.
    for day, holder, lines in (
        (
            "2026-01-06",
            "Lanternfold (invented)",
            "Harbour Bank, Saltmere Quay (invented)\nAccount 0000 0000, sort code 00-00-00",
        ),
        (
            "2026-09-14",
            "Lanternfold (invented)",
            "Harbour Bank, Saltmere Quay (invented)\nAccount 0000 0001, sort code 00-00-00",
        ),
    ):
        with on(day, "17:30"):
            change_bank_details(currency="GBP", holder=holder, lines=lines, person=cast.owner)
    # A receipt entered twice under two references, and turned round the next morning.
    wren = Commission.objects.get(reference="M9D-3SX")
    with on("2026-08-17", "16:00"):
        wrong = post_receipt(
            commission=wren,
            minor=301830,
            currency="GBP",
            reference="LF-0317 first, again",
            by_words=str(cast.owner),
        )
    with on("2026-08-18", "09:00"):
        reverse(entry=wrong, reason="the same transfer as on 14 August", by_words=str(cast.owner))
    # A stone whose inscription is not the one on its report.
    with on("2026-09-09", "12:00"):
        stone = sourcing.add_candidate(
            commission=None,
            name="Round 0.72, inscription differs",
            outline={"cut": "round", "diameter_mm": 5.72},
            length_hmm=573,
            width_hmm=571,
            depth_hmm=352,
            weight_mct=720,
            origin="natural",
            report_number="DEMO-6611 7013",
            supplier="Halvorsen Stones (invented)",
            price_minor=148000,
            currency="GBP",
            owner="supplier",
            return_by=date("2026-09-25"),
            person=cast.owner,
        )
    with on("2026-09-09", "14:00"):
        sourcing.check_in(
            stone=stone,
            weight_mct=721,
            length_hmm=573,
            width_hmm=571,
            depth_hmm=352,
            inscription_typed="DEMO 6611 7018",
            seal="S-2219",
            person=cast.jeweller,
        )


def _limits(cast: Cast) -> None:
    """What one parcel may be worth, as the workshop's own (invented) policy says."""
    with on("2026-01-05", "09:00"):
        for carrier, source, limits in (
            ("", "Policy LF-2026 (invented), clause 4", (2_500_000, 3_000_000, 2_800_000)),
            ("Meridian Secure (invented)", "Its terms of January 2026, page 3", (2_000_000,) * 3),
        ):
            for currency, most in zip(("GBP", "USD", "EUR"), limits, strict=True):
                keep_limit(
                    carrier=carrier,
                    currency=currency,
                    minor=most,
                    source=source,
                    as_of=date("2026-01-05"),
                    person=cast.owner,
                )


def _revisions(cast: Cast) -> None:
    """How many revisions the workshop usually includes, and what the next one costs."""
    with on("2026-01-05", "09:10"):
        for currency, minor in (("GBP", 12_000), ("USD", 15_000)):
            say_terms(commission=None, included=3, price_minor=minor, currency=currency, person=cast.owner)


def seed() -> dict[str, str]:
    """
    Tell the ten stories; returns the staff's fresh passwords by address.

    Effects, in order: the three people are added; the templates of steps, the limits of a parcel and the
    prices are written; every story calls the rooms' own actions with the clock standing where it is told; the
    faults are written.
    """
    cast, passwords = people.hire()
    ensure_templates()
    _limits(cast)
    prices.keep(cast)
    _revisions(cast)
    for story in STORIES:
        story(cast)
    _faults(cast)
    return passwords


def note_file() -> Path:
    """Where the demo keeps its sign-ins and its clock between two starts."""
    return Path(settings.DATA_DIR) / "demo.json"


def note() -> dict | None:
    """What the demo kept, if it was seeded."""
    path = note_file()
    return json.loads(path.read_text(encoding="utf-8")) if path.exists() else None


def keep_note(*, passwords: dict[str, str], offset_seconds: int) -> None:
    """Keep sign-ins and clock for the next start, readable by this user alone."""
    path = note_file()
    path.write_text(
        json.dumps({"passwords": passwords, "offset": offset_seconds}, indent=1), encoding="utf-8"
    )
    path.chmod(0o600)
