"""Measuring papers of money and the pages of a ledger with 100,000 entries."""

from __future__ import annotations

import base64
import datetime
import io
import random
import time
from decimal import Decimal
from pathlib import Path

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore
from django.test import Client as Browser
from PIL import Image

from commissions.design import computing, drawings
from commissions.design.models import Revision
from commissions.money.accounts import account
from commissions.money.lines import NewLine, rounded
from commissions.money.models import Entry, Posting, Quote, QuoteLine
from commissions.money.plans import EVENTS, parts_of
from commissions.record.models import Commission
from studio import clock
from studio.papers import make
from studio.people.models import Person, Role

ENTRIES = 100_000
TIMES = 40


def _seed(*, entries: int) -> None:
    """Receipts, each with two postings, over all commissions that there are; written in bulk."""
    there = Entry.objects.filter(key__startswith="measure:").count()
    if there >= entries:
        return
    commissions = list(Commission.objects.order_by("id")[:2000])
    if len(commissions) < 50:
        raise RuntimeError("seed commissions first: manage.py seed_many 2000")
    dice = random.Random(7)  # noqa: S311  (a measure wants the same rows every time)
    for commission in commissions:
        for code in ("bank", "held"):
            account(code, currency=commission.currency)
    accounts = {
        (code, currency): account(code, currency=currency)
        for code in ("bank", "held")
        for currency in {row.currency for row in commissions}
    }
    today, now = clock.today(), clock.now()
    for start in range(there, entries, 5000):
        rows = [
            Entry(
                key=f"measure:{n}",
                kind="receipt",
                on=today - datetime.timedelta(days=n % 700),
                memo="Received",
                source=f"M-{n}",
                commission=dice.choice(commissions),
                by_words="measure",
                at=now,
            )
            for n in range(start, min(start + 5000, entries))
        ]
        made = Entry.objects.bulk_create(rows)
        Posting.objects.bulk_create(
            Posting(
                entry=entry,
                account=accounts[(code, entry.commission.currency)],
                minor=sign * 12345,
                on=entry.on,
                commission=entry.commission,
            )
            for entry in made
            for code, sign in (("bank", 1), ("held", -1))
        )


def _browser() -> Browser:
    person, _made = Person.objects.get_or_create(
        email="measure@studio.example",
        defaults={"full_name": "Measure", "role": Role.OWNER, "joined_at": clock.now(), "password": "!"},
    )
    session = SessionStore()
    session[SESSION_KEY] = str(person.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = person.get_session_auth_hash()
    session.save()
    browser = Browser(headers={"host": settings.ALLOWED_HOSTS[0] if settings.ALLOWED_HOSTS else "localhost"})
    browser.cookies[settings.SESSION_COOKIE_NAME] = session.session_key
    return browser


def _pages() -> list[tuple[str, float, str]]:
    browser = _browser()
    deep = Posting.objects.filter(account__code="held").order_by("id").values_list("id", flat=True)[500]
    rows = []
    for name, path in (
        ("Money at a glance", "/studio/money/"),
        ("Ledger, first page", "/studio/money/ledger/"),
        ("Ledger, deep page", f"/studio/money/ledger/?after={deep}"),
        ("Over time", "/studio/money/looks/"),
    ):
        times, work = [], []
        for turn in range(TIMES + 3):
            began, used = time.perf_counter(), time.process_time()
            answer = browser.get(path)
            if answer.status_code != 200:
                raise RuntimeError(f"{path} answered {answer.status_code}: is the second factor off?")
            if turn >= 3:
                times.append((time.perf_counter() - began) * 1000)
                work.append((time.process_time() - used) * 1000)
        rows.append((f"{name}, {ENTRIES:,} entries, p95", _p95(times), "ms"))
        # On a machine that others use as well the clock on the wall says little; on PostgreSQL this leaves
        # out what the database works.
        rows.append((f"{name}, of this process alone, p95", _p95(work), "ms"))
    return rows


def _p95(times: list[float]) -> float:
    return sorted(times)[int(len(times) * 0.95) - 1]


def _photo(seed: int) -> str:
    """A JPEG of 1000 × 750 px with the detail of a photograph: noise in octaves, about 80 kB, in little memory."""
    dice = random.Random(seed)  # noqa: S311  (a measure wants the same pictures every time)
    picture = Image.new("RGB", (1000, 750), (128, 128, 128))
    for step, share in ((64, 0.5), (16, 0.3), (4, 0.06), (1, 0.02)):
        small = (1000 // step + 2, 750 // step + 2)
        rough = Image.frombytes("RGB", small, dice.randbytes(3 * small[0] * small[1]))
        picture = Image.blend(picture, rough.resize((1000, 750), Image.Resampling.BICUBIC), share)
    file = io.BytesIO()
    picture.save(file, "JPEG", quality=82)
    return f"data:image/jpeg;base64,{base64.b64encode(file.getvalue()).decode()}"


def _quotation() -> dict:
    parameters = computing.standard(
        centre={"cut": "round", "diameter_mm": 6.51},
        depth_mm=4.02,
        circumference_mm=54.0,
        metal="18ct white Pd",
    )
    revision = Revision(letter="C", parameters=parameters, outputs=computing.outputs(parameters))
    commission = Commission.objects.select_related("client").first()
    quote = Quote(
        commission=commission,
        version=3,
        currency="GBP",
        sent_at=clock.now(),
        valid_until=clock.today(),
        plan="40/30/30",
    )
    lines = []
    for place in range(22):
        line = NewLine(
            kind="making",
            words=f"Making, part {place + 1}",
            quantity=Decimal("1.5"),
            unit_minor=Decimal(6210),
        )
        total = rounded(line.quantity * line.unit_minor)
        lines.append(
            QuoteLine(
                words=line.words,
                quantity=line.quantity,
                unit="h",
                unit_minor=line.unit_minor,
                total_minor=total,
                tax_rate=Decimal(20),
                tax_minor=rounded(total * Decimal("0.2")),
            )
        )
    net, tax = sum(row.total_minor for row in lines), sum(row.tax_minor for row in lines)
    plan = [
        {"number": n, "words": EVENTS[event], "minor": minor}
        for n, (event, minor) in enumerate(parts_of(total_minor=net + tax, plan="40/30/30"), start=1)
    ]
    return {
        "quote": quote,
        "commission": commission,
        "reference": commission.reference,
        "lines": lines,
        "totals": {"net": net, "tax": tax, "gross": net + tax},
        "plan": plan,
        "revision": revision,
        "facts": [("Metal", "18ct white Pd")],
        "drawing": drawings.as_svg(drawings.top(revision, variant="client"), scale=5),
        "pictures": [{"src": _photo(n), "words": f"Picture {n + 1}"} for n in range(6)],
        "fingerprint": "0000-0000-00",
        "terms_version": "measure",
        "paper": {"number": "Q-0000"},
    }


def _warm(template: str, context: dict) -> tuple[float, float, float]:
    """Median processor time of ten warm makings in ms (a paper is all work), size in kB, pages."""
    times = []
    for turn in range(11):
        began = time.process_time()
        paper = make(template=template, context=context)
        if turn:
            times.append((time.process_time() - began) * 1000)
    return sorted(times)[len(times) // 2], len(paper.content) / 1000, paper.pages


def peak_mb() -> float:
    """The most memory that this process has held so far, MB (0 where the system does not say)."""
    status = Path("/proc/self/status")
    if not status.exists():
        return 0.0
    # The kernel's ru_maxrss also remembers the process that started this one; VmHWM is this program's own.
    line = next(row for row in status.read_text(encoding="utf-8").splitlines() if row.startswith("VmHWM"))
    return int(line.split()[1]) / 1024


def _papers() -> list[tuple[str, float, str]]:
    context, before = _quotation(), peak_mb()
    receipt = {
        **context,
        "minor": 179436,
        "currency": "GBP",
        "tax": 0,
        "settled": 179436,
        "agreed": 448590,
        "open": 269154,
        "entry": {"on": clock.today(), "source": "M-1"},
    }
    one, size, _pages_of = _warm("print/receipt.html", receipt)
    rows = [("Receipt, warm", one, "ms"), ("Receipt, size", size, "kB")]
    four, size, pages = _warm("print/quotation.html", context)
    return [
        *rows,
        ("Quotation with drawing and six photographs, warm", four, "ms"),
        ("Quotation, size", size, "kB"),
        ("Quotation, pages", pages, "pages"),
        ("Memory of the process that made them, at most", peak_mb(), "MB"),
        ("Of that, for making papers", peak_mb() - before, "MB"),
    ]


def run() -> list[tuple[str, float, str]]:
    """
    Rows (name, value, unit): papers when the tools are warm, and server time of the ledger's pages in-process.

    Writes 100,000 entries: use a throw-away database with commissions in it and the second factor off.
    """
    papers = _papers()  # first, so that their memory is their own
    _seed(entries=ENTRIES)
    return [*papers, *_pages()]
