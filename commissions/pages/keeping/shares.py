"""
What a client takes along, table by table, and what is ours alone, each with its reason.

A test holds this list against every model that has rows of clients: a new one has to be named here.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from commissions.bench.models import Audience
from commissions.money.accounts import MONEY_IN


@dataclass(frozen=True, kw_only=True)
class Share:
    """The columns of one table that a client takes along, and which rows where not all are for them."""

    words: str
    columns: tuple[str, ...]
    rows: Q = field(default_factory=Q)


SHARED: dict[str, Share] = {
    "intake.client": Share(words=_("You"), columns=("full_name", "country", "phone", "created_at")),
    "people.clientaccess": Share(
        words=_("Your way in"), columns=("email", "language", "zone", "discreet", "created_at")
    ),
    "people.clientsession": Share(
        words=_("Your devices"), columns=("device", "began_at", "seen_at", "ended_at")
    ),
    "letters.wish": Share(words=_("Letters you wish for"), columns=("photos", "progress")),
    "keeping.erasure": Share(
        words=_("Your wishes to be forgotten"), columns=("asked_at", "outcome", "decided_at", "reason")
    ),
    "record.commission": Share(
        words=_("Your pieces"),
        columns=(
            "reference",
            "title",
            "stage",
            "state",
            "currency",
            "discreet",
            "needed_by",
            "promised_on",
            "opened_at",
            "closed_at",
        ),
    ),
    "record.stagemove": Share(words=_("How it went"), columns=("commission__reference", "to", "at")),
    "record.message": Share(
        words=_("Messages"), columns=("commission__reference", "from_client", "body", "at")
    ),
    "record.question": Share(
        words=_("What you were asked"),
        columns=("commission__reference", "client_words", "due_on", "opened_at", "answered_at"),
        rows=~Q(client_words=""),
    ),
    "record.hold": Share(
        words=_("Pauses"), columns=("commission__reference", "client_reason", "since", "lifted_at")
    ),
    "record.holdpointchoice": Share(
        words=_("Where you wished to look first"),
        columns=("commission__reference", "point", "wanted", "by_words", "at"),
    ),
    "record.clientword": Share(
        words=_("Your word at those places"),
        columns=("commission__reference", "key", "answer", "words", "by_words", "said_on"),
    ),
    "record.promisechange": Share(
        words=_("Promised dates"), columns=("commission__reference", "before", "after", "reason", "at")
    ),
    "design.revision": Share(
        words=_("Drawings sent to you"),
        columns=("commission__reference", "letter", "parameters", "note", "status", "sent_at"),
        rows=Q(sent_at__isnull=False),
    ),
    "design.answer": Share(
        words=_("Your answers to drawings"), columns=("revision__letter", "kind", "words", "by_words", "at")
    ),
    "design.comment": Share(
        words=_("Your comments on drawings"),
        columns=("revision__letter", "number", "place", "words", "by_words", "at"),
    ),
    "design.remark": Share(
        words=_("What became of your comments"),
        columns=("comment__number", "kind", "words", "from_client", "at"),
    ),
    "design.revisionterm": Share(
        words=_("Drawings included"),
        columns=("commission__reference", "included", "price_minor", "currency", "at"),
    ),
    "sourcing.stone": Share(
        words=_("Your stone"),
        columns=(
            "commission__reference",
            "name",
            "species",
            "origin",
            "length_hmm",
            "width_hmm",
            "depth_hmm",
            "weight_mct",
            "report_number",
            "owner",
            "chosen_at",
        ),
        rows=Q(chosen_at__isnull=False),
    ),
    "sourcing.condition": Share(
        words=_("Condition of your stone"), columns=("stone__name", "number", "content", "digest", "sent_at")
    ),
    "sourcing.conditionanswer": Share(
        words=_("Your answers to it"),
        columns=("condition__number", "signed", "words", "method", "by_words", "at"),
    ),
    "sourcing.samestone": Share(
        words=_("Whether it was your stone"), columns=("stone__name", "same", "words", "by_words", "at")
    ),
    "money.quote": Share(
        words=_("Quotations"),
        columns=("commission__reference", "version", "currency", "status", "valid_until", "note", "sent_at"),
        rows=Q(sent_at__isnull=False),
    ),
    "money.quoteline": Share(
        words=_("Lines of quotations"),
        columns=("quote__version", "words", "quantity", "unit", "total_minor", "tax_rate", "tax_minor"),
        rows=Q(quote__sent_at__isnull=False),
    ),
    "money.approval": Share(
        words=_("What you agreed to"),
        columns=(
            "commission__reference",
            "bundle",
            "digest",
            "consent",
            "terms_version",
            "method",
            "by_words",
            "at",
            "void_at",
        ),
    ),
    "money.instalment": Share(
        words=_("Instalments"),
        columns=("quote__version", "number", "words", "minor", "due_on", "requested_at"),
        rows=Q(quote__sent_at__isnull=False),
    ),
    "money.changenote": Share(
        words=_("Changes"),
        columns=(
            "commission__reference",
            "number",
            "what",
            "why",
            "net_minor",
            "tax_minor",
            "status",
            "consent",
            "sent_at",
            "answered_at",
        ),
    ),
    "money.withdrawalright": Share(
        words=_("Your right to withdraw"),
        columns=("commission__reference", "applies_until", "reason", "at"),
    ),
    "money.withdrawal": Share(
        words=_("Your withdrawal"), columns=("commission__reference", "name", "words", "at")
    ),
    "money.posting": Share(
        words=_("Money received and paid back"),
        columns=("commission__reference", "entry__on", "entry__memo", "minor", "account__currency"),
        rows=Q(account__code__in=MONEY_IN),
    ),
    "money.cardpayment": Share(
        words=_("Visits to the card page"),
        columns=("commission__reference", "minor", "currency", "made_at", "paid_at"),
    ),
    "money.frozenpaper": Share(
        words=_("Papers"), columns=("commission__reference", "kind", "number", "sha256", "at")
    ),
    "bench.photo": Share(
        words=_("Photographs shown to you"),
        columns=("commission__reference", "caption", "scale", "at"),
        rows=Q(audience=Audience.CLIENT),
    ),
    "bench.datenotice": Share(
        words=_("Dates put to you"),
        columns=("commission__reference", "number", "before", "after", "reason", "sent_at"),
    ),
    "bench.dateanswer": Share(
        words=_("Your answers to them"), columns=("notice__number", "kind", "words", "consent", "at")
    ),
    "bench.metallot": Share(
        words=_("Metal of yours"), columns=("name", "alloy", "fineness_ppt", "opened_at", "closed_at")
    ),
    "delivery.address": Share(
        words=_("Where it goes"),
        columns=("commission__reference", "addressee", "lines", "country", "confirmed_at", "gone_at"),
    ),
    "delivery.shipment": Share(
        words=_("Parcels"),
        columns=(
            "commission__reference",
            "carrier",
            "service",
            "tracking",
            "seal",
            "dispatched_at",
            "arrived_at",
            "arrival_proof",
        ),
        rows=Q(dispatched_at__isnull=False),
    ),
    "delivery.caredate": Share(
        words=_("Care"),
        columns=("commission__reference", "due_on", "client_words", "done_at", "findings"),
    ),
    "record.smalljob": Share(
        words=_("Work on a finished ring"),
        columns=("commission__reference", "commission__ring__reference", "work", "words", "size_hmm", "at"),
    ),
    "delivery.takenin": Share(
        words=_("How it looked when it came to us"),
        columns=("commission__reference", "ring_mg", "condition", "seal", "at"),
    ),
    "delivery.worry": Share(
        words=_("What has worried you"), columns=("commission__reference", "sign", "words", "at")
    ),
    "delivery.advice": Share(
        words=_("What we said to it"),
        columns=("worry__commission__reference", "choice", "words", "at"),
    ),
    "delivery.carephoto": Share(
        words=_("Photographs of it worn"), columns=("commission__reference", "by_words", "at")
    ),
    "delivery.kindwords": Share(
        words=_("Your kind words"), columns=("commission__reference", "words", "shown_name", "at")
    ),
    "delivery.consent": Share(
        words=_("What you allowed to be public"),
        columns=("kind_words__commission__reference", "photo", "given", "not_before", "text", "at"),
    ),
    "delivery.confirmation": Share(
        words=_("When you confirmed the address"), columns=("commission__reference", "at")
    ),
    "delivery.disclosure": Share(
        words=_("What is known of treatments"),
        columns=("commission__reference", "treated", "words", "care_words", "source", "at"),
    ),
    "delivery.secondreading": Share(
        words=_("The inscription, read after setting"),
        columns=("commission__reference", "how", "typed", "fits", "at"),
    ),
    "delivery.keptpaper": Share(
        words=_("Papers that came with it"),
        columns=("commission__reference", "kind", "edition", "sha256", "at"),
    ),
    "delivery.ringrecord": Share(
        words=_("Record of the ring"), columns=("commission__reference", "facts", "digest", "at")
    ),
    "outbox.letter": Share(
        words=_("Letters"),
        columns=("kind", "subject_ref", "subject", "text", "sent_at"),
        rows=Q(state="sent"),
    ),
}

OURS = "how we work, with no word about the client"
COSTS = "what it costs us"
NOT_SHARED: dict[str, str] = {
    "bench.act": OURS,
    "bench.checkanswer": OURS,
    "bench.checksheet": OURS,
    "bench.metalmovement": OURS,
    "bench.problem": OURS,
    "bench.refinerlot": OURS,
    "bench.refinersettlement": OURS,
    "bench.step": OURS,
    "bench.stonecount": OURS,
    "bench.stonetally": OURS,
    "bench.supplierjob": OURS,
    "bench.timeedit": OURS,
    "bench.timeentry": OURS,
    "bench.weighing": OURS,
    "delivery.showing": "what we chose to show of the words that go along",
    "delivery.parcelphoto": "how a parcel is secured is told to nobody",
    "design.modelcheck": OURS,
    "design.revisionfile": "our own models and scans; the drawings go along",
    "design.uncounted": OURS,
    "letters.draft": "the letters themselves go along",
    "letters.failure": "the letters themselves go along",
    "letters.told": "the letters themselves go along",
    "money.bankline": "the receipts made from it go along",
    "money.commitment": COSTS,
    "money.conversion": "the receipts made from it go along",
    "money.entry": "its lines that concern the client go along",
    "money.shownbundle": "what was agreed goes along; this was only looked at",
    "sourcing.approvalevent": "between us and the supplier",
    "sourcing.checkin": "what the client was told of it stands in the condition of the stone",
    "sourcing.conditionpaper": "the condition itself goes along",
    "sourcing.custody": OURS,
    "sourcing.lotmove": OURS,
    "sourcing.plotmark": "stands in the condition of the stone",
    "sourcing.stonephoto": "stands in the condition of the stone",
    "sourcing.toreport": "stands in the record of the ring",
    "sourcing.turning": OURS,
}
