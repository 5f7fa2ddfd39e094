"""Writes of the templates that steps are laid from."""

from __future__ import annotations

from django.db import transaction

from commissions.bench.defaults import TEMPLATES
from commissions.bench.models import StepTemplate, TemplateLine
from commissions.record.errors import Refused
from commissions.record.route import BENCH
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def ensure_templates() -> int:
    """
    Give a house without templates those it begins with; how many were made.

    Effects: the templates and their lines are written, only where there is none at all.
    """
    if StepTemplate.objects.exists():
        return 0
    for name, (words, lines) in TEMPLATES.items():
        template = StepTemplate.objects.create(name=name, words=words)
        TemplateLine.objects.bulk_create(
            TemplateLine(
                template=template,
                position=place,
                stage=line.stage,
                name=line.name,
                words=line.words,
                supplier_task=line.by,
                planned_minutes=line.minutes,
                cautions=line.cautions,
            )
            for place, line in enumerate(lines, start=1)
        )
    return len(TEMPLATES)


@transaction.atomic
def edit_template(
    *,
    template: StepTemplate | None,
    name: str,
    words: str,
    is_active: bool,
    lines: list[dict],
    person: Person,
) -> StepTemplate:
    """
    Write a template anew; jobs whose steps are already laid keep them.

    Effects, in order: the template is written; its lines are replaced in the order given; the trail says so.

    Raises:
        Refused: the name is taken, there is no line, or the stages do not follow the order of the bench.
    """
    if not lines:
        raise Refused("A template needs at least one step.")
    places = [list(BENCH).index(line["stage"]) for line in lines]
    if places != sorted(places):
        raise Refused(
            "The steps do not follow the order of the bench: Model, Casting, Mounting, Setting, "
            "Finishing, Marking, Checking."
        )
    if lines[-1]["stage"] != BENCH[-1]:
        raise Refused("The last step has to be in Checking: no ring leaves without it.")
    if StepTemplate.objects.filter(name=name).exclude(pk=template.pk if template else None).exists():
        raise Refused("Another template has this name.")
    if template is None:
        template = StepTemplate.objects.create(name=name, words=words, is_active=is_active)
    else:
        StepTemplate.objects.filter(pk=template.pk).update(name=name, words=words, is_active=is_active)
        template.lines.all().delete()
    TemplateLine.objects.bulk_create(
        TemplateLine(template=template, position=place, **line) for place, line in enumerate(lines, start=1)
    )
    write_trail(actor=person, verb="edited the steps", subject=name, facts={"steps": len(lines)})
    return template
