"""A stranger's brief in a real browser: on a phone and on a desk, with and without scripts, with axe on each page."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from commissions.intake.forms import QUESTIONS
from commissions.intake.models import Brief, State
from tests.commissions.intake.answers import EMAIL, jpeg
from tests.post import PHRASE, code_in, letters_to

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
TYPED = {
    "occasion": [("check", "[value=engagement]")],
    "date": [("check", "[value=day]"), ("#id_on_0", "19"), ("#id_on_1", "December"), ("#id_on_2", "2030")],
    "surprise": [("check", "[value=yes]")],
    "contact": [("check", "[value=email]"), ("check", "[value=evening]")],
    "destination": [("select", "NO")],
    "budget": [("check", "[value=range]"), ("select", "GBP"), ("#id_low", "6,000"), ("#id_high", "8 000")],
    "stone": [("check", "[value=undecided]")],
    "look": [("check", "[value=round]")],
    "dislikes": [("check", "#id_nothing")],
    "metal": [("check", "[value=white]")],
    "allergy": [("check", "[value=unknown]")],
    "hand": [],
    "size": [("check", "[value=unknown]")],
    "name": [("#id_full_name", "Runa Fjelltoft"), ("select", "NO")],
    "email": [("#id_email", EMAIL)],
}


def is_sound(page) -> None:
    """Nothing scrolls sideways, nothing that a finger has to hit is too small, and axe finds nothing."""
    page.wait_for_load_state("load")
    found = Axe().run(page).response["violations"]
    assert [(row["id"], row["nodes"][0]["html"]) for row in found] == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), page.url
    small = page.evaluate(
        """[...document.querySelectorAll('main button, main a.act, main input:not([type=hidden]), main select')]
        .filter(box => !box.closest('.honey, .vh'))
        .filter(box => (box.closest('label') || box).getBoundingClientRect().height < 43.5)
        .map(box => box.outerHTML.slice(0, 90))"""
    )
    assert small == [], page.url


def fill(page, slug: str) -> None:
    for what, value in TYPED[slug]:
        if what == "check":
            page.check(f"main {value}")
        elif what == "select":
            page.select_option("main select", value)
        else:
            page.fill(what, value)


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1280, True), (390, False)])
def test_a_stranger_sends_a_brief_and_opens_their_page(
    browser, live_server, settings, monkeypatch, width, scripts
):
    settings.CSRF_TRUSTED_ORIGINS = [live_server.url]
    monkeypatch.setattr("commissions.intake.actions.sending.LEAST_SECONDS", 0)
    context = browser.new_context(
        viewport={"width": width, "height": 844},
        base_url=live_server.url,
        java_script_enabled=scripts,
        timezone_id="Europe/Oslo",
    )
    page, said = context.new_page(), []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    look = is_sound if scripts else (lambda page: None)

    page.goto("/")
    look(page)
    page.click("text=Begin your brief")
    look(page)
    page.click("main .act >> text=Begin")
    for number, question in enumerate(QUESTIONS, 1):
        page.wait_for_url(f"**/brief/{question.slug}/")
        assert page.inner_text("p.date") == f"Question {number} of {len(QUESTIONS)}"
        look(page)
        if question.slug == "occasion":
            page.click("text=Continue")
            page.wait_for_selector(".errors")
            assert page.title().startswith("Error:")
            if scripts:
                assert page.evaluate("document.activeElement.className") == "errors"
                is_sound(page)
        if question.slug == "pictures":
            page.set_input_files(
                "input[type=file]",
                {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": jpeg(size=(640, 480)).getvalue()},
            )
            page.click("main button.second")
            page.fill("textarea >> nth=0", "The low setting")
            look(page)
        else:
            fill(page, question.slug)
        page.click("main button.act >> text=/^Continue$/")
    page.wait_for_url("**/brief/check/")
    look(page)
    page.click("text=Send my brief")
    page.wait_for_url("**/brief/send/code/")
    look(page)
    page.fill("#id_code", code_in(letters_to(EMAIL)[-1]))
    page.click("text=Send my brief")
    page.wait_for_url("**/brief/sent/*/")
    look(page)
    brief = Brief.objects.get()
    assert brief.state == State.SENT and brief.reference in page.inner_text("main")
    assert brief.pictures.get().liked == "The low setting"
    assert brief.zone == "Europe/Oslo"  # of the browser; without scripts of Norway, which has one

    page.goto("/in/")
    look(page)
    page.fill("#id_email", EMAIL)
    page.click("text=Send me a code")
    page.wait_for_url("**/in/code/")
    look(page)
    page.fill("#id_code", code_in(letters_to(EMAIL)[-1]))
    page.click("main button.act")
    page.wait_for_url("**/in/passphrase/")
    look(page)
    page.fill("#id_phrase", PHRASE)
    page.click("main button.act")
    page.wait_for_url("**/yours/")
    look(page)
    assert brief.reference in page.inner_text("main")
    assert page.title() == "Your page"  # a surprise
    page.click("text=Hide this page")
    page.wait_for_url("**/away/")
    page.go_back()
    assert brief.reference not in page.content()
    assert said == []
    context.close()


def test_the_brief_can_be_written_with_the_keyboard_alone(browser, live_server, settings):
    settings.CSRF_TRUSTED_ORIGINS = [live_server.url]
    context = browser.new_context(viewport={"width": 1280, "height": 800}, base_url=live_server.url)
    page = context.new_page()
    page.goto("/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Begin your brief"
    page.keyboard.press("Enter")
    page.wait_for_url("**/brief/")
    page.goto("/brief/occasion/")
    page.focus("[name=occasion] >> nth=0")
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Continue"
    page.keyboard.press("Enter")
    page.wait_for_url("**/brief/date/")
    assert Brief.objects.get().answers["occasion"]["occasion"] == "engagement"
    context.close()
