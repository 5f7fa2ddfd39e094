"""The job card and the line of hours."""

import datetime
import io
import re

import pypdfium2
import pytest

from commissions.bench import actions, capacity
from commissions.bench.models import Step, StepTemplate
from commissions.record.route import Stage
from studio import clock
from tests.commissions.bench.conftest import with_stone, work_up_to


def test_the_card_opens_the_job_by_its_code_and_does_not_name_the_client(client, job, jeweller, joachim):
    with_stone(job)
    client.force_login(jeweller)
    answer = client.get(f"/studio/commissions/{job.reference}/job-card/")
    assert answer["Content-Type"] == "application/pdf"
    document = pypdfium2.PdfDocument(io.BytesIO(answer.content))
    text = re.sub(r"\s+", " ", " ".join(page.get_textpage().get_text_range() for page in document))
    assert job.reference in text
    assert "6.51 × 6.51 × 4.02 mm" in text
    assert "Centre tried in its seat" in text
    assert "Seelenbrink" not in text


def test_the_claws_close_each_with_the_one_across(monkeypatch, job):
    from types import SimpleNamespace

    from commissions.bench import drawing

    for angles, pairs in (
        ([45, 135, 225, 315], [(1, 3), (2, 4)]),
        ([30 + 60 * claw for claw in range(6)], [(1, 4), (2, 5), (3, 6)]),
        ([22.5 + 45 * claw for claw in range(8)], [(1, 5), (2, 6), (3, 7), (4, 8)]),
        ([18 + 72 * claw for claw in range(5)], [(1, 3), (5, 2), (4, 0)]),
        ([90, 210, 330], [(1, 2), (3, 0)]),
        ([60, 120, 240, 300], [(1, 3), (4, 2)]),
    ):
        design = SimpleNamespace(parameters={"claws": {"angles_deg": angles}})
        monkeypatch.setattr(drawing, "agreed", lambda *, commission, design=design: design)
        assert drawing.closing_order(commission=job) == pairs


def test_hours_fall_in_the_week_a_step_is_due_and_what_is_late_in_this_one(job, owner, jeweller):
    Step.objects.update(state="done", finished_at=clock.now(), finished_by=owner)
    late, later = Step.objects.order_by("position")[:2]
    Step.objects.filter(pk=late.pk).update(
        state="waiting", due_on=clock.today() - datetime.timedelta(days=30), planned_minutes=90
    )
    Step.objects.filter(pk=later.pk).update(
        state="waiting", due_on=clock.today() + datetime.timedelta(days=14), planned_minutes=45
    )
    weeks = capacity.weeks()
    assert [week.promised_minutes for week in weeks[:4]] == [90, 0, 45, 0]
    assert weeks[0].there_hours == 42  # an owner and a jeweller
    assert not weeks[0].is_over


@pytest.mark.django_db
def test_the_last_day_for_an_approval_is_counted_back_over_working_days():
    """From Saturday 19 December 2026: counted forward again it ends on the Friday before."""
    actions.ensure_templates()
    template = StepTemplate.objects.get(name="Hand-made mount")
    minutes = sum(line.planned_minutes for line in template.lines.all() if not line.supplier_task)
    outside = sum(1 for line in template.lines.all() if line.supplier_task)
    days = 5 + -(-minutes // 360) + 5 * outside
    day = capacity.latest_approval(needed_by=datetime.date(2026, 12, 19), template=template)
    assert clock.add_working_days(day, days) == datetime.date(2026, 12, 18)
    assert (days, day) == (14, datetime.date(2026, 11, 30))


def test_what_there_is_to_spare_follows_from_what_is_left(job, owner):
    """Two hours left are one working day, and five more to send."""
    from commissions.record.models import Commission

    Step.objects.update(state="done", finished_at=clock.now(), finished_by=owner)
    last = Step.objects.order_by("position").last()
    Step.objects.filter(pk=last.pk).update(state="waiting", planned_minutes=120, supplier_task="")
    ready = clock.add_working_days(clock.today(), 6)
    for wanted, days in ((ready, 0), (clock.add_working_days(ready, 3), 3)):
        Commission.objects.update(needed_by=wanted)
        (row,) = capacity.slacks()
        assert (row.ready_on, row.days, row.late_by) == (ready, days, 0)
    Commission.objects.update(promised_on=capacity.working_days_back(end=ready, days=2))
    (row,) = capacity.slacks()
    assert (row.days, row.late_by) == (-2, 2)


def test_the_page_of_hours(client, job, jeweller):
    work_up_to(job, jeweller, Stage.CASTING)
    client.force_login(jeweller)
    assert b"Room left" in client.get("/studio/capacity/").content
