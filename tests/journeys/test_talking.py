"""A client and the studio talk over a drawing: compare, comment, true size, agree, and the word at a hold point."""

from __future__ import annotations

import contextlib
import io
import re

import pytest
from PIL import Image

from tests.journeys.conftest import PASSPHRASE, WIDTHS, client_in, follow, sound, staff_in

REN = "ren@asagishima.example"
DESIGN = "/yours/B3X-9TN/design/"


@contextlib.contextmanager
def without_script(browser, house):
    """A browser whose scripts are off."""
    context = browser.new_context(base_url=house.address, java_script_enabled=False, viewport=WIDTHS["phone"])
    page = context.new_page()
    page.set_default_timeout(20_000)
    yield page
    context.close()


def test_two_revisions_stand_at_one_scale(at, house):
    page = at
    client_in(page, house, REN, path=DESIGN)
    sound(page)
    follow(page, page.get_by_role("link", name=re.compile("Hold it against revision A")), key="Enter")
    sound(page)
    for place in range(2):
        pair = page.locator(".side-by-side").nth(place).locator("svg")
        factors = [
            one.evaluate("svg => svg.getBoundingClientRect().width / svg.viewBox.baseVal.width")
            for one in pair.all()
        ]
        assert len(factors) == 2 and factors[0] == pytest.approx(factors[1], rel=1e-3)
    boxes = [one.bounding_box() for one in page.locator(".side-by-side").first.locator("svg").all()]
    stacked = boxes[1]["y"] > boxes[0]["y"] + boxes[0]["height"] - 1
    assert stacked == (page.viewport_size["width"] == 390)
    words = page.inner_text("main")
    assert "Thickness of the claws" in words and "0.90 mm" in words and "0.12 mm less" in words
    page.locator("select[name=left]").select_option("B")
    follow(page, page.get_by_role("button", name="Compare"), key="Enter")
    assert page.title().startswith("Error:") and "Choose two different revisions" in page.inner_text("main")
    sound(page)


def test_a_comment_is_tapped_answered_closed_and_opened_again(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, REN, path=f"{DESIGN}B/comments/")
    sound(page)
    plan = page.locator("svg[data-pins]")
    place = page.locator("option", has_text="North-east claw")
    x, y = float(place.get_attribute("data-x")), float(place.get_attribute("data-y"))
    at = plan.evaluate(
        "(svg, [x, y]) => { const p = new DOMPoint(x, -y).matrixTransform(svg.getScreenCTM()); return [p.x, p.y] }",
        [x, y],
    )
    plan.scroll_into_view_if_needed()
    at = plan.evaluate(
        "(svg, [x, y]) => { const p = new DOMPoint(x, -y).matrixTransform(svg.getScreenCTM()); return [p.x, p.y] }",
        [x, y],
    )
    page.mouse.click(*at)
    assert "North-east claw" in page.locator("[data-said]").inner_text()
    assert float(page.locator("input[name=x]").input_value()) == pytest.approx(x, abs=0.06)
    page.locator("textarea").fill("Finer here, please.")
    follow(page, page.get_by_role("button", name="Put this comment"), key="Enter")
    assert page.url.endswith("#comment-B2")
    sound(page)
    pin = page.locator("a.pin.open[href='#comment-B2']")
    box = pin.locator("circle").bounding_box()
    assert min(box["width"], box["height"]) >= 24
    shown = pin.evaluate("a => a.transform.baseVal.consolidate().matrix.e")
    assert shown == pytest.approx(x, abs=0.06)
    page.goto("/yours/B3X-9TN/")
    assert "With us" in page.inner_text("main")

    staff_in(page, fresh_house, "ottoline")
    page.goto("/studio/commissions/B3X-9TN/design/B/comments/")
    sound(page)
    row = page.locator("#comment-B2")
    row.get_by_label("Your answer").fill("Yes: 0.85 mm in the next one.")
    follow(page, row.get_by_role("button", name="Answer and close B2"), key="Enter")
    assert "closed" in page.locator("#comment-B2").inner_text()

    client_in(page, fresh_house, REN, path=f"{DESIGN}B/comments/")
    follow(page, page.get_by_role("link", name="Open B2 again"), key="Enter")
    sound(page)
    follow(page, page.get_by_role("button", name="Open it again"), key="Enter")
    assert page.title().startswith("Error:")
    page.get_by_label("What is still open").fill("And the other three too?")
    follow(page, page.get_by_role("button", name="Open it again"), key="Enter")
    assert "open, we answer" in page.locator("#comment-B2").inner_text()


def test_a_comment_by_keyboard_alone(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, REN, path=f"{DESIGN}B/comments/")
    page.locator("select[name=place]").focus()
    page.keyboard.type("Halo, north-east")
    assert page.locator("select[name=place]").input_value() == "halo:ne"
    before = float(page.locator("input[name=x]").input_value())
    page.get_by_role("button", name="Mark to the right").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowRight")
    assert float(page.locator("input[name=x]").input_value()) == pytest.approx(before + 0.4, abs=1e-6)
    page.locator("textarea").focus()
    page.keyboard.type("Is there a gap here?")
    page.keyboard.press("Tab")
    with page.expect_navigation(wait_until="load"):
        page.keyboard.press("Enter")
    assert "halo, north-east" in page.locator("#comment-B2").inner_text()


def test_a_comment_and_true_size_without_a_script(browser, fresh_house):
    with without_script(browser, fresh_house) as page:
        client_in(page, fresh_house, REN, path=f"{DESIGN}B/comments/", script=False)
        page.locator("textarea").fill("Could it sit lower?")
        follow(page, page.get_by_role("button", name="From the front"))
        assert page.locator("textarea").input_value() == "Could it sit lower?"
        page.locator("select[name=place]").select_option("table")
        follow(page, page.get_by_role("button", name="Show the mark"))
        assert page.locator("[data-mark]:not([visibility])").count() == 1
        before = float(page.locator("input[name=y]").input_value())
        follow(page, page.get_by_role("button", name="Mark down"))
        assert float(page.locator("input[name=y]").input_value()) == pytest.approx(before - 0.2, abs=1e-6)
        follow(page, page.get_by_role("button", name="Put this comment"))
        assert "top of the stone" in page.locator("#comment-B2").inner_text()

        page.goto(f"{DESIGN}B/true-size/")
        page.get_by_label(re.compile("My ruler says")).fill("40")
        follow(page, page.get_by_role("button", name="Correct it"))
        bar = page.locator("svg[aria-label='A bar of 50 mm']").bounding_box()
        assert bar["width"] == pytest.approx(50.2 * 96 / 25.4 * 50 / 40, rel=1e-3)


def test_true_size_follows_the_card_and_is_kept_on_the_device(at, house):
    page = at
    client_in(page, house, REN, path=DESIGN)
    follow(page, page.get_by_role("link", name=re.compile("true size")), key="Enter")
    sound(page)
    width = "svg => svg.getBoundingClientRect().width"
    card = page.locator("svg[aria-label='Outline of a bank card']")
    slider = page.locator("#px_per_mm")
    slider.evaluate("one => { one.value = 5.2; one.dispatchEvent(new Event('input', { bubbles: true })) }")
    assert card.evaluate(width) == pytest.approx(53.98 * 5.2, abs=0.5)
    page.get_by_role("button", name="A little larger").focus()
    page.keyboard.press("Enter")
    assert card.evaluate(width) == pytest.approx(53.98 * 5.22, abs=0.5)
    page.reload()
    assert not card.is_visible()  # it is set: the outline is folded away
    ring = page.locator("svg[aria-label='The inside of the ring, true size']")
    assert ring.evaluate(width) == pytest.approx((52.4 / 3.14159265 + 0.6) * 5.22, abs=0.5)
    kept = page.evaluate("JSON.stringify({...localStorage})")
    assert "px-per-mm" in kept and "B3X" not in kept
    page.goto(f"{DESIGN}B/true-size/?px_per_mm=4")
    assert page.locator("svg[aria-label='A bar of 50 mm']").evaluate(width) == pytest.approx(
        50.2 * 4, abs=0.5
    )
    sound(page)


def test_agreeing_with_a_hold_point_by_keyboard(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, REN, path=DESIGN)
    assert "It is not a contract" in page.inner_text("main")
    box = page.get_by_label(re.compile("Stones set"))
    box.focus()
    page.keyboard.press("Space")
    follow(page, page.get_by_role("button", name="I agree to this direction"), key="Enter")
    page.goto("/yours/B3X-9TN/")
    sound(page)
    assert "stones set" in page.inner_text("main")
    follow(page, page.get_by_role("link", name="Change this"), key="Enter")
    sound(page)
    assert page.get_by_label(re.compile("Stones set")).is_checked()


def test_size_and_engraving_are_typed_again_before_the_duty_to_pay(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, "tadhg@mulvennon.example", path="/yours/T5C-6JP/money/")
    follow(page, page.get_by_role("link", name="Go on to agree"), key="Enter")
    if "/in/passphrase" in page.url:
        page.locator("input[name=phrase]").fill(PASSPHRASE)
        follow(page, page.locator("input[name=phrase]"), key="Enter")
    sound(page)
    button = page.get_by_role("button", name="Approve and agree to pay GBP 4,485.90")
    page.get_by_label("Type the ring size again").fill("54")
    page.get_by_label(re.compile("Type the engraving again")).fill("mo chro\u0456")
    follow(page, button, key="Enter")
    sound(page)
    words = page.inner_text("main")
    assert page.title().startswith("Error:")
    assert "not the size that stands above" in words and "two alphabets" in words and "Tick this" in words
    assert page.get_by_label("Type the ring size again").input_value() == "54"
    page.get_by_label("Type the ring size again").fill("55,0")
    page.get_by_label(re.compile("Type the engraving again")).fill("mo chroí")
    page.get_by_label(re.compile("I agree here on this page")).focus()
    page.keyboard.press("Space")
    follow(page, button, key="Enter")
    assert page.url.endswith("/yours/T5C-6JP/money/")
    assert "What we agreed" in page.inner_text("main")


def _photo() -> dict:
    out = io.BytesIO()
    Image.new("RGB", (900, 700), "#8a8f93").save(out, "JPEG")
    return {"name": "set.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def test_the_word_at_a_hold_point_on_the_page_and_by_telephone(acting, fresh_house):
    """The set stones are shown, the client asks, is answered, and says go by telephone; then the bench goes on."""
    page = acting
    staff_in(page, fresh_house, "ottoline")
    page.goto("/studio/commissions/P4V-8GB/photos/")
    follow(page, page.get_by_role("link", name=re.compile("Look closely and release")).first)
    for box in page.locator("main input[type=checkbox]").all():
        box.check()
    follow(page, page.get_by_role("button", name=re.compile("[Rr]elease")).first)
    page.goto("/studio/bench/P4V-8GB/")
    for _step in range(6):
        done = page.get_by_role("button", name=re.compile("^Step done"))
        if done.count() == 0:
            break
        done.first.click()
        page.wait_for_timeout(1500)
        page.wait_for_load_state("networkidle")
        page.goto("/studio/bench/P4V-8GB/")
    assert "Waiting for the client’s word on the set stones since" in page.inner_text("main")
    sound(page)

    client_in(page, fresh_house, "joachim@seelenbrink.example", path="/yours/P4V-8GB/")
    assert "With you" in page.inner_text("main")
    follow(page, page.get_by_role("link", name=re.compile("Look at the set stones")).first, key="Enter")
    sound(page)
    assert "Nothing goes on before you say so" in page.inner_text("main")
    assert page.locator("main img").count() >= 1
    page.get_by_label(re.compile("Your words")).fill("Is stone four level?")
    follow(page, page.get_by_role("button", name="Ask", exact=True), key="Enter")
    assert "With us" in page.inner_text("main")

    staff_in(page, fresh_house, "ottoline")
    page.goto("/studio/commissions/P4V-8GB/hold-points/")
    sound(page)
    assert "Is stone four level?" in page.inner_text("main")
    follow(page, page.get_by_role("button", name="Ask the client again"), key="Enter")
    page.get_by_label("Go on").check()
    page.get_by_label("Who said it").fill("Joachim Seelenbrink")
    follow(page, page.get_by_role("button", name="Write this down"), key="Enter")
    assert "by telephone" in page.inner_text("main")
    sound(page)
    page.goto("/studio/bench/P4V-8GB/")
    assert "Waiting for the client" not in page.inner_text("main")
    assert page.get_by_role("button", name=re.compile("^Start")).count() == 1
