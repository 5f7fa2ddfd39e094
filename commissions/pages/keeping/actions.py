"""Writes about a client's wish to be forgotten."""

from __future__ import annotations

import datetime
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django.db.models import Max

from commissions.delivery.actions import forget_words
from commissions.delivery.models import Address
from commissions.intake.actions import forget_draft, remove_brief
from commissions.intake.models import Brief, BriefPicture, Client
from commissions.intake.models import State as BriefState
from commissions.letters.models import Wish as LetterWish
from commissions.money.models import Approval, Entry, FrozenPaper
from commissions.pages.keeping import own
from commissions.record.actions import complete
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission, Message
from commissions.record.route import Stage, State
from studio import clock
from studio.keeping.models import Erasure, Outcome
from studio.keeping.scrubbing import overwrite_remains, parts_of, remove_letter_files, scrub
from studio.outbox.models import Letter, Unreachable
from studio.outbox.models import State as LetterState
from studio.people.models import ClientAccess, ClientSession, OneTimeCode
from studio.trail.actions import record as write_trail

NO_WORDS = "(erased)"
UNAGREED_DAYS = 365
"""How long the brief of a piece is kept that was withdrawn before anything was agreed; common practice, no source."""


def mark_of(access: ClientAccess) -> str:
    """What stands in the place of a client's name."""
    return f"Client {access.pk} (erased)"


def address_of(access: ClientAccess) -> str:
    """What stands in the place of their e-mail address; no letter can ever reach it (RFC 2606)."""
    return f"erased-{access.pk}@erased.invalid"


@transaction.atomic
def ask(*, access: ClientAccess) -> Erasure:
    """
    A client asks to be forgotten; asking twice asks once.

    Effects, in order: the wish is written; the trail says so.
    """
    wish, made = Erasure.objects.get_or_create(
        access=access,
        outcome=Outcome.ASKED,
        defaults={"asked_at": clock.now(), "asked_by": f"client:{access.pk}"},
    )
    if made:
        write_trail(actor=f"client:{access.pk}", verb="asked to be forgotten", subject=f"client:{access.pk}")
    return wish


@transaction.atomic
def decline(*, wish: Erasure, reason: str, by: object) -> None:
    """
    Say that it cannot be done yet, and why; the client reads it on their page.

    Effects, in order: the wish is answered, once; the trail says so.

    Raises:
        Refused: it was answered already.
    """
    changed = Erasure.objects.filter(pk=wish.pk, outcome=Outcome.ASKED).update(
        outcome=Outcome.DECLINED, decided_at=clock.now(), decided_by=str(by)[:160], reason=reason
    )
    if changed != 1:
        raise Refused("This wish was answered already.")
    write_trail(
        actor=by,
        verb="put off a wish to be forgotten",
        subject=f"client:{wish.access_id}",
        facts={"why": reason},
    )


def hindrances(*, access: ClientAccess) -> list[Missing]:
    """What is still under way with a client, each with its page: while it is, they cannot be erased."""
    open_ones = Commission.objects.filter(client__access=access, state=State.OPEN).exclude(stage=Stage.CARE)
    return [
        Missing(
            words=f"{piece.reference} is open: it is made and delivered, or withdrawn, first.",
            path=f"/studio/commissions/{piece.reference}/",
        )
        for piece in open_ones.order_by("id")
    ]


def accounts_until(*, access: ClientAccess) -> datetime.date | None:
    """Until when the accounts keep what they need of a client; None where they were never in the accounts."""
    last = Entry.objects.filter(commission__client__access=access).aggregate(last=Max("on"))["last"]
    return datetime.date(last.year + settings.ACCOUNTS_YEARS, 12, 31) if last else None


def erase(*, wish: Erasure, by: object) -> Erasure:
    """
    Erase a client: their name and contact give way to a mark, their briefs and words go, the facts stay.

    Effects, in order, in one transaction: the wish is claimed; rings in care are closed; briefs go with their
    pictures; addresses, messages and the words of letters are emptied; codes and sessions end; name, e-mail
    address and telephone number give way to the mark in every table, parts of the name in the client's own
    rows; for the accounts the name is kept apart, sealed, where they have entries; the trail says so. After
    it: the files of letters in the local outbox go, and what the database file still holds of removed rows.

    Raises:
        Refused: something is under way with them, or the wish was answered already.
    """
    access = wish.access
    missing = hindrances(access=access)
    if missing:
        raise Refused(*missing)
    email = access.email
    with transaction.atomic():
        if Erasure.objects.filter(pk=wish.pk, outcome=Outcome.ASKED).update(outcome=Outcome.ERASED) != 1:
            raise Refused("This wish was answered already.")
        report = _erase(access, by=by)
        client = Client.objects.filter(access=access).first()
        until = accounts_until(access=access)
        name = client.full_name if client else ""
        _replace_names(access, client)
        Erasure.objects.filter(pk=wish.pk).update(
            decided_at=clock.now(),
            decided_by=str(by)[:160],
            report=report,
            name_for_accounts=name if until else "",
            accounts_until=until,
        )
        write_trail(actor=by, verb="erased a client", subject=f"client:{access.pk}", facts=report)
    remove_letter_files(email=email)
    overwrite_remains()
    wish.refresh_from_db()
    return wish


def _erase(access: ClientAccess, *, by: object) -> dict:
    for piece in Commission.objects.filter(client__access=access, state=State.OPEN, stage=Stage.CARE):
        complete(commission=piece, by_words=str(by))
    briefs = list(Brief.objects.filter(email__iexact=access.email))
    report = {
        "briefs": len(briefs),
        "pictures": BriefPicture.objects.filter(brief__in=briefs).count(),
    }
    for brief in briefs:
        (forget_draft if brief.state == BriefState.DRAFT else remove_brief)(brief=brief)
    report["addresses"] = Address.objects.filter(
        commission__client__access=access, gone_at__isnull=True
    ).update(addressee="", lines="", country="", gone_at=clock.now())
    report |= forget_words(access=access)
    report["messages"] = Message.objects.filter(commission__client__access=access).update(body=NO_WORDS)
    letters = Letter.objects.filter(to__iexact=access.email)
    letters.exclude(state=LetterState.SENT).update(state=LetterState.WITHDRAWN)
    report["letters"] = letters.update(
        subject=NO_WORDS, text=NO_WORDS, html="", pictures=[], headers={}, error=""
    )
    Unreachable.objects.filter(email__iexact=access.email).delete()
    OneTimeCode.objects.filter(email__iexact=access.email).delete()
    report["devices"] = ClientSession.objects.filter(access=access).delete()[0]
    return report


def _replace_names(access: ClientAccess, client: Client | None) -> None:
    mark, own_rows = mark_of(access), own.own_rows(access=access)
    name = client.full_name if client else ""
    scrub(needles=[access.email], mark=address_of(access))
    scrub(needles=[name, client.phone if client else ""], mark=mark)
    own_rows["outbox.letter"] = own.Q(to=address_of(access))
    scrub(needles=parts_of(name), mark=mark, whole=True, only=own_rows)
    ClientAccess.objects.filter(pk=access.pk).update(
        email=address_of(access), passphrase="", zone="UTC", discreet=False
    )
    if client is not None:
        Client.objects.filter(pk=client.pk).update(full_name=mark, phone="")


@transaction.atomic
def forget_names() -> int:
    """
    Remove the names and papers that were kept for the accounts alone and whose time is over; how many clients.

    Effects, in order, for each: the sealed name goes; the files of their papers go, the numbers stay; the
    trail says so.
    """
    gone = 0
    for wish in Erasure.objects.filter(outcome=Outcome.ERASED, accounts_until__lt=clock.today())[:50]:
        if Erasure.objects.filter(pk=wish.pk, accounts_until__isnull=False).update(
            name_for_accounts="", accounts_until=None
        ):
            gone += 1
            papers = FrozenPaper.objects.filter(commission__client__access=wish.access_id).exclude(
                file_name=""
            )
            files = list(papers.values_list("file_name", flat=True))
            papers.update(file_name="", sha256="")
            transaction.on_commit(lambda files=files: _remove_papers(files), robust=True)
            write_trail(
                actor="the studio's clock",
                verb="forgot the name kept for the accounts",
                subject=f"client:{wish.access_id}",
                facts={"papers": len(files)},
            )
    return gone


def forget_unagreed() -> int:
    """
    Remove the briefs of pieces that were withdrawn a year ago before anything was agreed; how many went.

    Effects, in order, for each: the brief goes with its pictures; the messages of the piece are emptied; the
    trail says so. Then a way in that nothing hangs on any more goes, with the words of its letters.
    """
    before = clock.now() - datetime.timedelta(days=UNAGREED_DAYS)
    pieces = Commission.objects.filter(state=State.WITHDRAWN, closed_at__lte=before).exclude(
        pk__in=Approval.objects.values("commission")
    )
    briefs = Brief.objects.filter(reference__in=pieces.values("reference"), state=BriefState.ANSWERED)
    gone = list(briefs.order_by("id")[:100])
    for brief in gone:
        with transaction.atomic():
            remove_brief(brief=brief)
            Message.objects.filter(commission__reference=brief.reference).update(body=NO_WORDS)
            write_trail(actor="the studio's clock", verb="removed the brief", subject=brief.reference)
    _forget_ways(before)
    return len(gone)


def _forget_ways(before: datetime.datetime) -> None:
    """Ways in older than *before* with no brief and no client behind them."""
    idle = (
        ClientAccess.objects.filter(client__isnull=True, created_at__lte=before)
        .exclude(email__in=Brief.objects.exclude(email="").values("email"))
        .exclude(pk__in=Erasure.objects.values("access"))
        .order_by("id")
    )
    for access in idle[:100]:
        with transaction.atomic():
            letters = Letter.objects.filter(to=access.email)
            letters.update(
                subject=NO_WORDS, text=NO_WORDS, html="", pictures=[], headers={}, to=address_of(access)
            )
            LetterWish.objects.filter(access=access).delete()
            OneTimeCode.objects.filter(email=access.email).delete()
            email = access.email
            access.delete()
            transaction.on_commit(lambda email=email: remove_letter_files(email=email), robust=True)


def _remove_papers(names: list[str]) -> None:
    for name in names:
        (Path(settings.MEDIA_ROOT) / "papers" / name).unlink(missing_ok=True)
