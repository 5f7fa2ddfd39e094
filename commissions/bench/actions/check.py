"""Writes of the check sheet, and the one door from Checking to Handover."""

from __future__ import annotations

import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction

from commissions.bench import gates, queries
from commissions.bench.actions.photos import add_photo
from commissions.bench.actions.steps import QUESTION, close_step
from commissions.bench.actions.stones import book_stones
from commissions.bench.models import CheckAnswer, CheckSheet, Photo, Step, StepState, Verdict
from commissions.bench.sheet import EDITION, SheetLine, line_for
from commissions.money.actions import event_happened
from commissions.record import actions as record
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import Person
from studio.pictures.models import Picture
from studio.trail.actions import record as write_trail


@transaction.atomic
def answer_line(
    *,
    commission: Commission,
    number: int,
    verdict: str,
    person: Person,
    measured: Decimal | None = None,
    second: Decimal | None = None,
    note: str = "",
    picture: Picture | None = None,
) -> CheckAnswer:
    """
    Answer one line of the check sheet.

    Effects, in order: the sheet is begun if there is none; a photo is put with the job; the answer is
    written beside the ones before it; a fix is put as a question to us and said on the trail, a pass of the
    same line answers it.

    Raises:
        Refused: the ring is not in Checking, the sheet is final, a fix has neither photo nor words, a measure
            cannot pass, or one off its target passes without a word.
    """
    line = line_for(number, figures=queries.halo_figures(commission=commission))
    missing = _not_in_checking(commission)
    if verdict == Verdict.FIX and picture is None:
        missing.append("A fix needs a photo of what is to be put right.")
    if verdict == Verdict.FIX and not note.strip():
        missing.append("Say in a few words what is to be put right.")
    if verdict == Verdict.PASS:
        missing += _unfit(line, [measured, second], note)
    sheet, _made = CheckSheet.objects.get_or_create(
        commission=commission, defaults={"edition": EDITION, "begun_at": clock.now()}
    )
    if sheet.final_at:
        missing.append("This check sheet is final.")
    if missing:
        raise Refused(*missing)
    photo = _photo(commission, picture, person, note or line.words)
    answer = CheckAnswer.objects.create(
        sheet=sheet,
        line=number,
        verdict=verdict,
        measured=measured,
        second=second,
        note=note,
        photo=photo,
        person=person,
        at=clock.now(),
    )
    if verdict == Verdict.FIX:
        write_trail(
            actor=person,
            verb="found a fix",
            subject=commission.reference,
            facts={"line": number, "note": note},
        )
        record.open_question(
            commission=commission,
            key=f"bench.fix:{number}",
            addressee=Turn.US,
            words=f"Put right: {note}; then the tests again"[:200],
            client_words="We found something that we put right before it leaves us",
            path=f"/studio/bench/{commission.reference}/check/",
            due_on=clock.add_working_days(clock.today(), 2),
        )
    else:
        record.answer_question(commission=commission, key=f"bench.fix:{number}", by_words=str(person))
    return answer


def _not_in_checking(commission: Commission) -> list:
    if commission.stage == Stage.CHECKING:
        return []
    return [
        Missing(
            words=f"The ring stands at {Stage(commission.stage).label}: the sheet is answered in Checking.",
            path=f"/studio/bench/{commission.reference}/",
        )
    ]


def _unfit(line: SheetLine, given: list[Decimal | None], note: str) -> list[str]:
    """Why a line cannot pass with these figures, in words."""
    words = []
    for measure, figure in zip(line.measures, given, strict=False):
        if figure is None:
            words.append(f"{measure.label}: write the measure in {measure.unit}.")
        elif not measure.can_pass(figure):
            words.append(f"{measure.label}: {figure} {measure.unit} cannot pass: {measure.range_in_words()}.")
        elif not measure.is_on_target(figure) and not note.strip():
            words.append(
                f"{measure.label}: {figure} {measure.unit} is off its target, {measure.range_in_words()}. "
                "Say in a few words why it may stay."
            )
    return words


def _photo(commission, picture, person, words) -> Photo | None:
    if picture is None:
        return None
    return add_photo(
        commission=commission,
        picture=picture,
        step=queries.current_step(commission=commission),
        person=person,
        caption=words[:160],
    )


def missing_to_pass(*, commission: Commission, person: Person, looked_again: bool = False) -> list[Missing]:
    """Everything that keeps a ring from leaving the bench, with the place where it is done."""
    sheet = queries.sheet_of(commission=commission)
    path = f"/studio/bench/{commission.reference}/check/"
    rows = queries.standings(sheet=sheet)
    missing = [
        Missing(words=f"Line {row.line.number}: {_what_is_open(row)}", path=f"{path}#line-{row.line.number}")
        for row in rows
        if not row.is_settled
    ]
    shots = queries.final_shots_missing(commission=commission)
    if shots:
        missing.append(
            Missing(
                words=f"Final photos to take: {', '.join(shots).lower()}.",
                path=f"/studio/bench/{commission.reference}/photograph/",
            )
        )
    if sheet and not missing and not second_look(sheet=sheet, person=person, looked_again=looked_again):
        missing.append(
            Missing(
                words="A second person has to pass the sheet, or the same one after a night and another look.",
                path=path,
            )
        )
    return missing


def _what_is_open(row) -> str:
    if row.answer is None:
        return "not answered"
    if row.answer.verdict == Verdict.FIX:
        return f"to be fixed ({row.answer.note})"
    return "to be tried again after the last fix"


NIGHT = datetime.timedelta(hours=8)
"""Least time between the last answer and the cold look of the same person, beside another day."""


def is_second_person(*, sheet: CheckSheet, person: Person) -> bool:
    """Whether *person* has neither set this ring nor answered a line of its sheet."""
    setters = Step.objects.filter(
        commission=sheet.commission_id, stage=Stage.SETTING, state=StepState.DONE
    ).values_list("finished_by", flat=True)
    return person.pk not in {row.person_id for row in sheet.answers.all()} | set(setters)


def second_look(*, sheet: CheckSheet, person: Person, looked_again: bool) -> str:
    """How the ring was looked at a second time, in words; empty where it was not."""
    if is_second_person(sheet=sheet, person=person):
        return "by a second person"
    last = max((row.at for row in sheet.answers.all()), default=None)
    if last is None or not looked_again:
        return ""
    evening = last.astimezone(ZoneInfo(settings.TIME_ZONE)).date()
    if clock.today() > evening and clock.now() - last >= NIGHT:
        return "by the same person, after a night"
    return ""


@transaction.atomic
def pass_check(*, commission: Commission, person: Person, looked_again: bool = False) -> None:
    """
    Let a ring leave the bench: the only door from Checking to Handover. With *looked_again* the person says
    that they have looked at the cold ring once more, which counts after a night.

    Effects, in order: the sheet, the stones, the final photos and the second look are asked; the sheet becomes
    final; the steps of Checking that are still open are done; what was counted is booked in the drawer; the
    commission moves to Handover; packing is put as the next question; the instalment that is due before
    dispatch is asked for; the trail says so.

    Raises:
        Refused: with everything that is missing.
    """
    missing = [
        *_not_in_checking(commission),
        *missing_to_pass(commission=commission, person=person, looked_again=looked_again),
        *gates.stones_add_up(commission=commission),
        *(
            Missing(
                words=f"An open problem: {row.words[:120]}",
                path=f"/studio/bench/{commission.reference}/problem/{row.pk}/",
            )
            for row in queries.open_problems(commission=commission)
        ),
        *(
            Missing(
                words=f"A step before is not done: {row.name}.", path=f"/studio/bench/{commission.reference}/"
            )
            for row in queries.steps(commission=commission).exclude(stage=Stage.CHECKING)
            if not row.is_over
        ),
    ]
    if missing:
        raise Refused(*missing)
    now = clock.now()
    sheet = CheckSheet.objects.get(commission=commission)
    changed = CheckSheet.objects.filter(pk=sheet.pk, final_at__isnull=True).update(
        final_at=now,
        final_by=person,
        second_look=second_look(sheet=sheet, person=person, looked_again=looked_again),
    )
    if changed != 1:
        raise Refused("This check sheet is final already.")
    for step in queries.steps(commission=commission):
        if not step.is_over:
            close_step(step=step, person=person)
    book_stones(commission=commission, person=person)
    record.advance(commission=commission, to=Stage.HANDOVER, door="bench.pass_check", person=person)
    record.answer_question(commission=commission, key=QUESTION, by_words=str(person))
    record.open_question(
        commission=commission,
        key="delivery.pack",
        addressee=Turn.US,
        words="Pack the ring and send it",
        client_words="Your ring is ready and is being packed",
        path=f"/studio/commissions/{commission.reference}/delivery/",
        due_on=clock.add_working_days(clock.today(), 2),
    )
    event_happened(commission=commission, event="dispatch")
    write_trail(actor=person, verb="passed the check sheet", subject=commission.reference)
