"""The means of telling a story: a clock that stands where the story is, and short words for what happens."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from commissions.design import queries as designs
from commissions.intake import actions as intake
from commissions.intake.forms import QUESTIONS
from commissions.intake.models import Brief, Client
from commissions.money import actions as money
from commissions.money import bundle
from commissions.money.actions.quoting import NewLine
from commissions.pages.demo.setting_out import CONSENT, Cast, on
from commissions.pages.demo.told_at_bench import AtBench
from commissions.pages.demo.told_at_table import AtTable
from commissions.record import actions as record
from commissions.record import approving, holdpoints
from commissions.record.models import Commission
from commissions.record.opening import open_from_brief
from commissions.sourcing import actions as sourcing
from commissions.sourcing.models import Stone
from studio.outbox.tasks import send_due

COST_PERCENT = {"centre": 82, "halo": 56, "other": 56, "metal": 84, "delivery": 75, "design": 40}
"""What a line costs the invented workshop, in percent of its price; half of it where nothing else is said."""


@dataclass
class Teller(AtTable, AtBench):
    """One commission and what is done to it; every method calls one action of a room."""

    cast: Cast
    commission: Commission | None = None
    client: Client | None = None
    photos: int = field(default=0)

    def brief(
        self, *, reference: str, email: str, day: str, given: dict[str, dict], language: str = "en-gb"
    ) -> Brief:
        """A brief, answered question by question through the real forms, and sent."""
        with on(day, "18:20"):
            brief, _key = intake.begin(language=language)
            Brief.objects.filter(pk=brief.pk).update(reference=reference)
            brief.refresh_from_db()
            for question in QUESTIONS:
                data = {"email": email} if question.slug == "email" else given[question.slug]
                form = question(data, brief=brief)
                if not form.is_valid():
                    raise ValueError(f"{reference} {question.slug}: {form.errors.as_text()}")
                brief = intake.answer(brief=brief, slug=question.slug, given=form.answer())
            intake.prove_address(brief=brief, email=email)
        with on(day, "18:41"):
            sent = intake.send(brief=brief)
        with on(day, "18:42"):
            send_due()
        return sent

    def open(
        self, *, brief: Brief, title: str, currency: str, day: str, needed_by: str | None = None
    ) -> Commission:
        """Answer the brief and open the commission under its reference."""
        with on(day):
            self.commission = open_from_brief(
                brief=brief,
                title=title,
                currency=currency,
                person=self.cast.owner,
                discreet=brief.discreet,
                needed_by=datetime.date.fromisoformat(needed_by) if needed_by else None,
            )
            self.client = self.commission.client
            return self.commission

    def says_go(self, *, day: str) -> None:
        """The client's word at the hold point where the job waits."""
        question = next(
            row.question for row in holdpoints.standings(commission=self.commission) if row.question
        )
        with on(day, "19:50"):
            approving.reply(
                commission=self.commission,
                question=question,
                answer="approve",
                words="",
                access=self.client.access,
            )
            self.commission.refresh_from_db()

    def stone(
        self, *, day: str, outline: dict, depth: float, weight: float | None, report: str = "", **more
    ) -> Stone:
        """A stone for the seat."""
        across = outline.get("diameter_mm")
        length = round((outline.get("length_mm") or more.pop("most", across)) * 100)
        width = round((outline.get("width_mm") or more.pop("least", across)) * 100)
        with on(day, "12:00"):
            return sourcing.add_candidate(
                commission=self.commission,
                outline=outline,
                length_hmm=length,
                width_hmm=width,
                depth_hmm=round(depth * 100),
                weight_mct=round(weight * 1000) if weight else None,
                report_number=report,
                person=self.cast.owner,
                **{"origin": "natural", **more},
            )

    def choose(self, *, stone: Stone, day: str) -> None:
        """The client's choice."""
        with on(day, "21:00"):
            sourcing.choose_stone(stone=stone, by_words=self.client.full_name)

    def quote(
        self, *, day: str, lines: list[tuple], plan: str, valid_until: str | None = None, tax_note: str = ""
    ):
        """A quotation from rows (kind, words, net minor units, tax rate), sent."""
        rows = [
            NewLine(
                kind=kind,
                words=words,
                unit_minor=Decimal(minor),
                cost_minor=round(minor * COST_PERCENT.get(kind, 50) / 100),
                tax_rate=Decimal(rate),
                tax_code="UK20" if rate else "EXP0",
            )
            for kind, words, minor, rate in lines
        ]
        with on(day, "15:00"):
            self.commission.refresh_from_db()
            quote = money.draft_quote(
                commission=self.commission,
                lines=rows,
                person=self.cast.owner,
                plan=plan,
                tax_note=tax_note,
                metal_clause="Fixed if accepted in time; after that the metal line is priced anew at the day's price.",
            )
            return money.send_quote(
                quote=quote,
                person=self.cast.owner,
                valid_until=datetime.date.fromisoformat(valid_until) if valid_until else None,
            )

    def agrees(self, *, quote, day: str, promised: str | None = None) -> None:
        """The client orders with the obligation to pay."""
        with on(day, "19:30"):
            quote.refresh_from_db()
            self.commission.refresh_from_db()
            if promised:
                record.promise(
                    commission=self.commission,
                    on=datetime.date.fromisoformat(promised),
                    reason="as agreed",
                    by_words=str(self.cast.owner),
                )
            shown = bundle.digest(bundle.bundle(commission=self.commission, quote=quote))
            parameters = designs.agreed(commission=self.commission).parameters
            money.approve(
                quote=quote,
                shown_digest=shown,
                consent=CONSENT,
                method="client's page, passphrase shown",
                by_words=self.client.full_name,
                access=self.client.access,
                confirmed={
                    key: value
                    for key, value in (
                        ("size", f"{parameters['circumference_mm']:.1f}"),
                        ("engraving", parameters.get("engraving", "")),
                    )
                    if value
                },
            )

    def receives(self, *, minor: int, day: str, reference: str) -> None:
        """Money comes in."""
        with on(day, "09:30"):
            self.commission.refresh_from_db()
            money.post_receipt(
                commission=self.commission,
                minor=minor,
                currency=self.commission.currency,
                reference=reference,
                by_words=str(self.cast.owner),
                on=datetime.date.fromisoformat(day),
            )

    def spends(self, *, day: str, kind: str, words: str, minor: int, back: int = 0) -> None:
        """What the job has cost before it is paid for, and how much of it could be got back."""
        with on(day, "17:00"):
            money.commit(
                commission=self.commission,
                kind=kind,
                words=words,
                minor=minor,
                recoverable_minor=back,
                key=f"{self.commission.reference} {words}",
                by_words=str(self.cast.owner),
                why="" if back == minor else "cut, cast or booked for this ring alone",
                paid=kind != "work",
            )
