"""Answering a brief: one question a page, without an account and without scripts."""

from __future__ import annotations

import datetime
import re

import pytest
from django.test import Client as Browser

from commissions.intake.forms import BY_SLUG, QUESTIONS
from commissions.intake.models import Brief
from studio import clock
from tests.commissions.intake.answers import ANSWERS, fill_in

SLUGS = [question.slug for question in QUESTIONS]


@pytest.mark.parametrize("slug", SLUGS)
def test_each_question_stands_alone_on_its_page(client, db, slug):
    page = client.get(f"/brief/{slug}/").content.decode()
    number = SLUGS.index(slug) + 1
    assert f"Question {number} of {len(SLUGS)}" in page
    assert page.count("<h1>") == 1
    assert ">Back</a>" in page and "Continue" in page
    assert "required" not in re.sub(
        r"<(?:title|p)[^>]*>.*?</(?:title|p)>", "", page
    )  # no bubbles of the browser's own
    assert Brief.objects.count() == 0  # looking begins nothing


@pytest.mark.parametrize("slug", [slug for slug in SLUGS if slug not in ("pictures", "hand")])
def test_an_empty_answer_is_refused_beside_its_box_and_nothing_is_kept(client, db, slug):
    answer = client.post(f"/brief/{slug}/", {"more": "kept words"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "<title>Error:" in page
    assert "data-focus" in page and 'class="errorlist' in page
    assert Brief.objects.count() == 0


def test_what_was_typed_stays_after_an_error(client, db):
    page = client.post(
        "/brief/budget/", {"kind": "range", "currency": "", "low": "six thousand"}
    ).content.decode()
    assert 'value="six thousand"' in page and "Choose the currency" in page and "Write an amount." in page


def test_every_answer_is_kept_at_once_with_its_time(client, db):
    fill_in(client)
    brief = Brief.objects.get()
    assert set(brief.answers) == set(brief.answered_at) == set(SLUGS)
    assert brief.email == "runa@client.example" and brief.zone == "Europe/Oslo"
    assert brief.answers["budget"]["low_minor"] == 600_000
    assert brief.answers["size"]["circumference_hundredths"] == 5250


def test_nothing_is_asked_twice(client, db):
    fill_in(client)
    page = client.get("/brief/name/").content.decode()
    assert 'value="Runa Fjelltoft"' in page
    assert '<option value="NO" selected>' in page


@pytest.mark.parametrize(
    ("typed", "date"),
    [
        (("27", "3", "2031"), "2031-03-27"), (("27", "March", "2031"), "2031-03-27"),
        (("1", "sept", "2031"), "2031-09-01"), (("1", "Dec.", "31"), "2031-12-01"),
    ],
)  # fmt: skip
def test_a_date_may_be_written_with_words(client, db, typed, date):
    day, month, year = typed
    client.post("/brief/date/", {"when": "day", "on_day": day, "on_month": month, "on_year": year})
    assert Brief.objects.get().answers["date"]["on"] == date


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("31", "2", "2031"), "This is no date we know"), (("", "2", "2031"), "The date needs a day."),
        (("1", "2", "2001"), "This day has passed"), (("1", "Smarch", "2031"), "This is no date we know"),
        (("", "", ""), "Write the day"), (("1", "1", "2199"), "more than five years away"),
    ],
)  # fmt: skip
def test_a_date_that_cannot_be_is_refused_in_words(client, db, typed, words):
    day, month, year = typed
    page = client.post("/brief/date/", {"when": "day", "on_day": day, "on_month": month, "on_year": year})
    assert words in page.content.decode()
    assert f'value="{day}"' in page.content.decode() or not day


def test_a_day_that_is_too_near_is_said_without_a_promise_of_price(client, db):
    near = clock.today() + datetime.timedelta(weeks=5)
    client.post(
        "/brief/date/", {"when": "day", "on_day": near.day, "on_month": near.month, "on_year": near.year}
    )
    page = client.get("/brief/surprise/").content.decode()
    assert "5 whole weeks away" in page and "may be short" in page
    hint = client.post(
        "/brief/date/hint/", {"when": "day", "on_day": near.day, "on_month": near.month, "on_year": near.year}
    ).content.decode()
    assert "may be short" in hint and "£" not in hint and "GBP" not in hint


@pytest.mark.parametrize(
    ("system", "typed", "hundredths"),
    # UK by BS 6820: A is 37.5 mm, a step 1.25 mm; ISO 8653 is the circumference; Swiss is that less 40.
    [("uk", "M½", 5312), ("iso", "52,5", 5250), ("ch", "13", 5300), ("diameter", "16,8 mm", 5278)],
)
def test_a_size_is_read_as_people_write_it_and_shown_back(client, db, system, typed, hundredths):
    data = {"route": "jeweller", "size": typed, "system": system, "sure": "sure"}
    assert client.post("/brief/size/", data).status_code == 302
    assert abs(Brief.objects.get().answers["size"]["circumference_hundredths"] - hundredths) <= 1
    assert f"We read {typed} as" in client.get("/brief/name/").content.decode()


def test_a_size_that_cannot_be_read_is_refused_in_words(client, db):
    data = {"route": "jeweller", "size": "large", "system": "us", "sure": "sure"}
    assert "We cannot read this size" in client.post("/brief/size/", data).content.decode()


def test_a_call_needs_a_number_and_the_number_its_country(client, db):
    page = client.post("/brief/contact/", {"ways": ["call"]}).content.decode()
    assert "Write the number we may use" in page
    page = client.post("/brief/contact/", {"ways": ["call"], "phone": "020 7946 0000"}).content.decode()
    assert "Begin with + and the country" in page
    client.post("/brief/contact/", {"ways": ["call"], "phone": "+44 (20) 7946-0000"})
    assert Brief.objects.get().answers["contact"]["phone"] == "+442079460000"


def test_a_budget_whose_ends_are_crossed_is_refused(client, db):
    data = {"kind": "range", "currency": "JPY", "low": "800000", "high": "600000"}
    assert "below the lower end" in client.post("/brief/budget/", data).content.decode()
    client.post("/brief/budget/", {**data, "high": "900000"})
    assert Brief.objects.get().answers["budget"]["high_minor"] == 900_000  # the yen has no smaller unit


def test_words_that_turn_the_direction_of_reading_are_refused(client, db):
    page = client.post("/brief/occasion/", {"occasion": "other", "more": "ring \u202egnir"}).content.decode()
    assert "hidden signs" in page
    assert Brief.objects.count() == 0


def test_a_script_in_an_answer_stays_words(client, db):
    fill_in(client, name={"full_name": "<script>alert(1)</script>"})
    page = client.get("/brief/check/").content.decode()
    assert "<script>alert" not in page and "&lt;script&gt;alert" in page


def test_a_box_no_person_sees_keeps_a_machine_busy_for_nothing(client, db):
    answer = client.post("/brief/occasion/", {"occasion": "wedding", "website": "https://spam.example"})
    assert answer.status_code == 302 and answer.headers["Location"] == "/brief/date/"
    assert Brief.objects.count() == 0


def test_floods_are_slowed_down(db):
    answers = [
        Browser().post("/brief/occasion/", {"occasion": "wedding"}).status_code for _post in range(100)
    ]
    assert answers.count(302) <= 10
    assert answers[-1] == 429
    assert Brief.objects.count() <= 10


def test_a_person_who_writes_at_their_own_pace_is_never_slowed_down(client, db):
    for _round in range(5):
        fill_in(client)
    assert Brief.objects.count() == 1


def test_each_way_of_not_knowing_is_an_answer(client, db):
    unknown = {
        "date": {"when": "unknown"}, "destination": {"country": "XX"}, "budget": {"kind": "unknown"},
        "stone": {"intent": "undecided"}, "metal": {"likes": ["unknown"]}, "allergy": {"allergy": "unknown"},
        "look": {"shapes": ["unknown"]}, "dislikes": {"nothing": "on"}, "size": {"route": "unknown"},
    }  # fmt: skip
    for slug, data in unknown.items():
        assert client.post(f"/brief/{slug}/", data).status_code == 302, slug
        assert BY_SLUG[slug].words(Brief.objects.get().answers[slug])


def test_no_radio_is_chosen_beforehand(client, db):
    for slug in SLUGS:
        assert "checked" not in client.get(f"/brief/{slug}/").content.decode()


def test_changing_one_answer_leads_back_to_the_check(client, db):
    fill_in(client)
    answer = client.post("/brief/stone/?check", {"intent": "natural"})
    assert answer.headers["Location"] == "/brief/check/"
    assert Brief.objects.get().answers["stone"]["intent"] == "natural"


def test_the_front_page_and_the_questions_take_few_queries(client, db, django_assert_max_num_queries):
    fill_in(client)
    with django_assert_max_num_queries(3):
        client.get("/brief/size/")
    with django_assert_max_num_queries(1):
        client.get("/")


def test_the_answers_cover_every_question():
    assert [slug for slug, _data in ANSWERS] == SLUGS


def test_once_it_is_a_surprise_no_title_gives_it_away(client, db):
    assert "<title>What is the ring for?" in client.get("/brief/occasion/").content.decode()
    fill_in(client)
    for slug in [*SLUGS, "check", "keep"]:
        page = client.get(f"/brief/{slug}/").content.decode()
        assert re.search(r"<title>(.*?)</title>", page).group(1) == "Your page", slug
    page = client.post("/brief/date/", {"when": ""}).content.decode()
    assert "<title>Error: Your page</title>" in page
