"""The phone's pages by plain form, without a script, and who may open them."""

import re
import uuid

import pytest

from commissions.bench import actions, queries
from commissions.bench.models import Act, Photo, Problem, StepState, StoneCount, TimeEntry, Weighing
from commissions.record.actions import open_commission
from commissions.record.models import Commission
from commissions.record.route import Stage
from tests.commissions.bench.conftest import picture_file, to_the_bench, work_up_to


@pytest.fixture
def way(client, job, jeweller):
    """Mabli is signed in; the address of the job."""
    client.force_login(jeweller)
    return f"/studio/bench/{job.reference}/"


def hidden(page, kind):
    """The hidden fields of one act's form on a page, as a browser would send them."""
    form = re.search(rf"<form[^>]*act/{kind}/.*?</form>", page.content.decode(), re.DOTALL).group(0)
    pairs = re.findall(r'<input type="hidden" name="(\w+)"(?: value="([^"]*)")?', form)
    return {name: value for name, value in pairs if name != "csrfmiddlewaretoken"}


def test_start_then_photograph_then_step_done_are_the_next_big_act(client, way, job):
    page = client.get(way)
    assert b'<button class="bbtn main">Start</button>' in page.content
    client.post(f"{way}act/start/", hidden(page, "start"))
    page = client.get(way)
    assert re.search(rb'class="bbtn main" href="[^"]*photograph/"', page.content)
    client.post(
        f"{way}act/photo/", {**hidden(client.get(f"{way}photograph/"), "photo"), "library": picture_file()}
    )
    page = client.get(way)
    assert b'<button class="bbtn main">Step done</button>' in page.content
    answer = client.post(f"{way}act/done/", hidden(page, "done"))
    assert b"Done: Model drawn" in client.get(answer["Location"]).content
    assert queries.steps(commission=job)[0].state == StepState.DONE


def test_every_act_works_by_plain_form(client, way, job):
    client.post(f"{way}act/weigh/", {"act_id": uuid.uuid4(), "what": "model", "grams": "0,287", "tare": ""})
    client.post(
        f"{way}act/count/",
        {"act_id": uuid.uuid4(), "issued": 20, "set": 18, "returned": 1, "broken": 1, "lost": 0},
    )
    client.post(
        f"{way}act/problem/", {"act_id": uuid.uuid4(), "words": "Seat too deep", "camera": picture_file()}
    )
    client.post(f"{way}act/time-on/", {"act_id": uuid.uuid4()})
    client.post(f"{way}act/time-off/", {"act_id": uuid.uuid4()})
    assert Weighing.objects.get().net_mg == 287
    assert StoneCount.objects.get().unaccounted == 0
    assert Problem.objects.get().photo == Photo.objects.get()
    assert TimeEntry.objects.get().ended_at is not None
    assert Act.objects.count() == 5


def test_a_refused_move_says_what_is_missing_and_leads_there(client, way, job, jeweller):
    actions.report_problem(commission=job, step=None, words="Seat too deep", person=jeweller)
    page = client.post(f"{way}act/done/", {"act_id": uuid.uuid4()})
    assert page.status_code == 409
    problem = Problem.objects.get()
    assert f'{way}problem/{problem.pk}/">Do it now</a>' in page.content.decode()
    client.post(f"{way}problem/{problem.pk}/", {"answer": "Seat raised"})
    assert client.post(f"{way}act/done/", {"act_id": uuid.uuid4()}).status_code == 302


def test_a_doubtful_weight_is_asked_once_and_what_was_typed_stays(client, way):
    typed = {"act_id": uuid.uuid4(), "what": "mount", "grams": "4.31"}
    client.post(f"{way}act/weigh/", typed)
    doubtful = {**typed, "act_id": uuid.uuid4(), "grams": "43.1"}
    page = client.post(f"{way}act/weigh/", doubtful)
    assert page.status_code == 409
    assert 'value="43.1"' in page.content.decode()
    assert 'name="sure"' in page.content.decode()
    client.post(f"{way}act/weigh/", {**doubtful, "sure": "on"})
    assert Weighing.objects.count() == 2


@pytest.mark.parametrize(
    ("grams", "words"),
    [
        ("heavy", "in grams, such as"),
        ("4.3105", "three decimals"),
        ("2001", "between 0 and 2000"),
        ("-1", "between"),
        ("NaN", "between"),
        ("", "required"),
    ],
)
def test_a_weight_that_cannot_be_read_is_said_beside_its_field(grams, words, client, way):
    page = client.post(f"{way}act/weigh/", {"act_id": uuid.uuid4(), "what": "mount", "grams": grams})
    assert page.status_code == 422
    assert words in page.content.decode()


def test_the_queue_gets_json(client, way):
    sent = {"act_id": uuid.uuid4(), "what": "model", "grams": "0.287"}
    answer = client.post(f"{way}act/weigh/", sent, headers={"Accept": "application/json"})
    assert answer.json()["said"] == "Model: 0.29 g kept."
    wrong = client.post(f"{way}act/weigh/", {**sent, "grams": "x"}, headers={"Accept": "application/json"})
    assert wrong.status_code == 422
    assert wrong.json()["missing"][0]["words"].startswith("Weight in g: Write")


def test_a_stranger_is_sent_to_sign_in_and_does_nothing(client, job):
    way = f"/studio/bench/{job.reference}/"
    for path in (way, f"{way}weigh/", f"{way}check/", "/studio/bench/", "/studio/metal/"):
        assert client.get(path)["Location"].startswith("/studio/sign-in/")
    sent = {"act_id": uuid.uuid4(), "what": "model", "grams": "1"}
    assert client.post(f"{way}act/weigh/", sent).status_code == 302
    assert Act.objects.count() == 0


def test_a_setter_sees_the_ring_only_while_it_is_set_and_never_whose_it_is(client, job, setter, jeweller):
    client.force_login(setter)
    way = f"/studio/bench/{job.reference}/"
    assert client.get(way).status_code == 404
    work_up_to(job, jeweller, Stage.SETTING)
    for part in ("", "weigh/", "count/", "photograph/", "problem/", "steps/", "check/", "check/1/"):
        page = client.get(way + part)
        assert page.status_code == 200
        for word in (
            job.client.full_name,
            "Seelenbrink",
            "joachim@",
            job.title,
            "GBP",
            "/studio/commissions/",
        ):
            assert word not in page.content.decode(), part
    for path in (
        f"/studio/commissions/{job.reference}/{part}/" for part in ("photos", "metal", "suppliers", "begin")
    ):
        assert client.get(path).status_code == 403


def test_a_ring_that_is_not_on_the_bench_is_not_there(client, jeweller, commission):
    client.force_login(jeweller)
    assert client.get(f"/studio/bench/{commission.reference}/").status_code == 404
    assert client.get("/studio/bench/NO-SUCH/").status_code == 404


@pytest.mark.parametrize("count", [1, 30])
def test_the_list_asks_as_often_for_thirty_jobs_as_for_one(
    count, client, jeweller, owner, joachim, django_assert_num_queries
):
    for _ in range(count):
        ring = open_commission(client=joachim, title="Round", currency="GBP", person=owner)
        to_the_bench(ring, owner)
    client.force_login(jeweller)
    client.get("/studio/")  # the first page of a session writes the session down
    with django_assert_num_queries(5):
        page = client.get("/studio/bench/")
    assert page.content.count(b"<li><a") == count


@pytest.mark.parametrize("count", [1, 30])
def test_the_job_asks_as_often_for_thirty_photos_as_for_one(
    count, client, job, jeweller, django_assert_num_queries
):
    for _ in range(count):
        actions.perform(
            key=uuid.uuid4(), kind="photo", commission=job, person=jeweller, details={}, upload=picture_file()
        )
        actions.perform(
            key=uuid.uuid4(),
            kind="weigh",
            commission=job,
            person=jeweller,
            details={"what": "model", "gross_mg": 287},
        )
    client.force_login(jeweller)
    client.get("/studio/")  # the first page of a session writes the session down
    with django_assert_num_queries(12):
        client.get(f"/studio/bench/{job.reference}/")


def test_the_work_begins_from_a_list_of_steps(client, commission, owner, monkeypatch):
    from commissions.bench.models import StepTemplate
    from tests.commissions.bench.conftest import _through_the_door

    actions.ensure_templates()
    Commission.objects.filter(pk=commission.pk).update(stage=Stage.AGREEMENT)
    client.force_login(owner)
    way = f"/studio/commissions/{commission.reference}/begin/"
    assert client.get(way).content.decode().count("Steps of “") == 4
    template = StepTemplate.objects.get(name="Cast halo ring")
    refused = client.post(way, {"template": template.pk})
    assert refused.status_code == 409
    assert "not agreed to the quotation" in refused.content.decode()
    monkeypatch.setattr("commissions.bench.actions.steps.start_work", _through_the_door)
    assert client.post(way, {"template": template.pk}).status_code == 302
    commission.refresh_from_db()
    assert commission.stage == Stage.MODEL


def test_the_owner_edits_a_list_of_steps_a_line_at_a_time(client, owner, jeweller):
    from commissions.bench.models import StepTemplate

    actions.ensure_templates()
    template = StepTemplate.objects.get(name="Cast halo ring")
    way = f"/studio/steps/{template.pk}/"
    client.force_login(jeweller)
    assert client.get(way).status_code == 403
    client.force_login(owner)
    assert "Casting | Cast | 30 | caster | casting | Issue metal" in client.get(way).content.decode()
    fields = {"name": "Cast halo ring", "words": "", "is_active": "on"}
    wrong = client.post(
        way, {**fields, "lines": "Casting | Cast | soon\nDancing | Dance\nModel | M | 1 | elf"}
    )
    for words in (
        "Line 1: the planned minutes",
        "Line 2: “Dancing” is not a stage",
        "Line 3: done by is empty or",
    ):
        assert words in wrong.content.decode()
    assert client.post(way, {**fields, "lines": "Setting | Set\nChecking | Check | 30"}).status_code == 302
    assert list(template.lines.values_list("name", "planned_minutes")) == [("Set", 60), ("Check", 30)]
