"""The way of a stone in a real browser: compared, chosen, checked in, plotted, turned, its condition signed."""

from __future__ import annotations

import re

import pytest

from tests.journeys.conftest import PASSPHRASE, client_in, follow, sound, staff_in

OLD_CUT = re.compile("Caetana's old-cut")


def stone_page(page, name, part: str = "") -> str:
    """The address of a stone's page, found by its name from the list in the house."""
    page.goto("/studio/stones/held/")
    address = page.get_by_role("link", name=name).first.get_attribute("href")
    return address.replace("check-in/", part) if part else address


def passed(page) -> None:
    """Give the passphrase where it is asked for."""
    if "/in/passphrase" in page.url:
        page.locator("input[name=phrase]").fill(PASSPHRASE)
        follow(page, page.locator("input[name=phrase]"), key="Enter")


def test_the_client_compares_two_stones_and_chooses_one(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, "delphine@quarrie.example", path="/yours/H8R-2WV/stones/")
    sound(page)
    words = page.inner_text("main")
    for wanted in ("6.54 × 6.51", "6.42 × 6.38", "33.4 mm²", "32.2 mm²", "18 × 1.30", "5,150.00", "4,640.00"):
        assert wanted in words, wanted
    assert "kept for you until 22 September" in words
    assert "4,120.00" not in words, "what it costs us"
    # Both at one scale: the same sheet of paper, and the larger stone drawn larger.
    boxes = [svg.get_attribute("viewBox") for svg in page.locator("svg.same-scale").all()]
    assert len(boxes) == 2 and len(set(boxes)) == 1
    widths = [
        svg.locator(".small-girdle").first.evaluate("shape => shape.getBBox().width")
        for svg in page.locator("svg.same-scale").all()
    ]
    assert abs(widths[0] - 6.525) < 0.01 and abs(widths[1] - 6.40) < 0.01
    follow(page, page.get_by_role("button", name=re.compile("Choose this one Round 0.99")), key="Enter")
    assert "chosen" in page.inner_text("main")
    sound(page)


def test_a_stone_is_checked_in_and_the_halo_fitted_anew(acting, fresh_house):
    page = acting
    staff_in(page, fresh_house, "mabli")
    page.goto("/studio/commissions/H8R-2WV/stones/")
    sound(page)
    page.get_by_role("link", name=re.compile("Check in Round 1.05")).focus()
    follow(page, page.get_by_role("link", name=re.compile("Check in Round 1.05")), key="Enter")
    assert "DEMO-6610" not in page.content(), "the number is not shown where it is typed blind"
    sound(page)
    # By keyboard alone, from the first box on; the two readings of the depth are too far apart at first.
    page.get_by_label(re.compile("^Inscription")).focus()
    for text in ("DEMO 6610 4471", "1,050", "6.54", "6.53", "6.51", "6.51", "4.02", "4.08"):
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    follow(page, page.get_by_role("button", name="Keep what I measured"), key="Enter")
    assert page.title().startswith("Error:")
    assert "0.06 mm apart" in page.inner_text("main")
    assert page.get_by_label(re.compile("^Weight on")).input_value() == "1,050"
    sound(page)
    page.locator("input[name=depth_2]").fill("4.02")
    page.get_by_label(re.compile("^Who bears")).select_option("supplier")
    page.get_by_label(re.compile("^Number of the sealed bag")).fill("S-2300")
    follow(page, page.get_by_role("button", name="Keep what I measured"), key="Enter")
    words = page.inner_text("main")
    assert "The inscription agrees with the report." in words
    # The design was drawn to 6.45; the mean of 6.54 and 6.51 is 0.07 more.
    assert "Revision needed, approval void" in words
    assert "The halo of revision A round this stone" in words
    sound(page)


def test_an_inscription_that_differs_quarantines_in_plain_words(acting, fresh_house):
    page = acting
    staff_in(page, fresh_house, "mabli")
    page.goto(stone_page(page, re.compile("Round 0.72")))
    assert "In quarantine" in page.inner_text("main")
    sound(page)


def test_marks_are_plotted_by_tap_and_by_typed_clock_and_the_stone_is_turned(acting, fresh_house):
    page = acting
    staff_in(page, fresh_house, "mabli")
    page.goto(stone_page(page, "Oval 1.21", "plot/"))
    sound(page)
    # By tap: in the upper right, half way out.
    plot = page.locator("svg[data-plot]")
    plot.scroll_into_view_if_needed()
    box = plot.bounding_box()
    page.mouse.click(box["x"] + box["width"] * 0.62, box["y"] + box["height"] * 0.3)
    assert re.fullmatch(r"1:\d\d|12:\d\d", page.get_by_label("Clock position").input_value())
    assert 20 < int(page.get_by_label(re.compile("^Way from the centre")).input_value()) < 80
    page.get_by_label("What it is").select_option("crystal")
    page.get_by_label("Size, mm").fill("0,15")
    follow(page, page.get_by_role("button", name="Plot this mark"))
    assert page.locator("ol.marks li").count() == 1
    # By keyboard alone, and wrong at first.
    page.get_by_label("What it is").focus()
    page.keyboard.press("Tab")
    page.keyboard.type("half past")
    page.keyboard.press("Tab")
    page.keyboard.type("93")
    page.keyboard.press("Tab")
    page.keyboard.type("0.2")
    follow(page, page.get_by_role("button", name="Plot this mark"), key="Enter")
    assert page.title().startswith("Error:")
    assert page.get_by_label("Clock position").input_value() == "half past"
    page.get_by_label("Clock position").fill("4½")
    follow(page, page.get_by_role("button", name="Plot this mark"), key="Enter")
    assert "Light crystal at 4½ o'clock, 93 %" in page.inner_text("ol.marks")
    sound(page)
    page.get_by_label(re.compile("^Twelve o'clock")).fill("where the inscription begins")
    follow(page, page.get_by_role("button", name="Keep these words"), key="Enter")
    follow(page, page.get_by_role("button", name="Find the turn that hides most"), key="Enter")
    assert page.locator("figure.wide svg").count() == 1
    assert "in the stone's own outline" in page.inner_text("main")
    sound(page)
    # On the line where the stone is known again the plan stands open.
    page.goto("/studio/bench/P4V-8GB/check/18/")
    assert "Twelve o'clock on the stone: where the inscription begins" in page.inner_text("main")
    sound(page)


def test_the_client_reads_the_condition_asks_and_signs(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, "caetana@brisamar.example", path="/yours/W2K-7FH/stones/")
    sound(page)
    follow(page, page.get_by_role("link", name="The condition of your stone"), key="Enter")
    passed(page)
    sound(page)
    words = page.inner_text("main")
    for wanted in (
        "1.031 carat",
        "Feather at 4 o'clock",
        "from where claw",
        "You accept the risk that is named here",
    ):
        assert wanted in words, wanted
    for image in page.locator("main img").all():
        image.scroll_into_view_if_needed()
        assert image.evaluate("img => img.decode().then(() => img.naturalWidth)") > 100
    follow(page, page.get_by_role("button", name="I have read this and agree to it"), key="Enter")
    assert "Signed by Caetana Brisamar" in page.inner_text("main")
    assert page.get_by_role("button", name="I have read this").count() == 0
    sound(page)
    copy = page.request.get(f"{fresh_house.address}/yours/W2K-7FH/stones/condition.pdf")
    assert copy.status == 200 and copy.body().startswith(b"%PDF")
    assert page.request.get(f"{fresh_house.address}/yours/W2K-7FH/stones/condition.pdf").body() == copy.body()


def test_stones_are_given_back_kept_longer_and_ordered(acting, fresh_house):
    page = acting
    staff_in(page, fresh_house, "ottoline")
    page.goto("/studio/stones/")
    sound(page)
    assert "in 5 working days" in page.inner_text("main")
    follow(page, page.get_by_role("link", name="Round 0.99").first)
    sound(page)
    page.get_by_label("Goes back by").fill("1 9 2026")
    page.get_by_label("Where the supplier agreed to it").fill("Their letter")
    follow(page, page.get_by_role("button", name="Write down the new day"), key="Enter")
    assert page.title().startswith("Error:")
    assert page.get_by_label("Goes back by").input_value() == "1 9 2026"
    page.get_by_label("Goes back by").fill("29 9 2026")
    follow(page, page.get_by_role("button", name="Write down the new day"), key="Enter")
    assert "Goes back by Tuesday 29 September" in page.inner_text("main")
    page.goto("/studio/commissions/H8R-2WV/stones/order/")
    sound(page)
    page.goto("/studio/stones/held/")
    sound(page)
    page.goto("/studio/stones/lots/")
    sound(page)


@pytest.mark.parametrize("part", ["condition/", "approval/", "plot/", "check-in/"])
def test_pages_of_a_stone_are_sound(at, house, part):
    staff_in(at, house, "ottoline")
    at.goto(stone_page(at, OLD_CUT, part))
    sound(at)
