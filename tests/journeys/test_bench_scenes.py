"""The bench over several days: a date that slips, stones that have to add up, a ring that is looked at again after a night."""

from __future__ import annotations

import json
import re

import pytest

from tests.journeys.conftest import PASSPHRASE, _walking, client_in, follow, served, sound, staff_in
from tests.journeys.test_scenes import picture_of

RING, SUPPLIED, CHECKED = "P4V-8GB", "M9D-3SX", "K6T-5RM"


@pytest.fixture
def on_phone(browser, fresh_house):
    """A phone in a workshop of one's own."""
    with _walking(browser, fresh_house, "phone") as page:
        yield page


def test_a_casting_is_owed_later_and_the_client_accepts_another_date(on_phone, fresh_house):
    page = on_phone
    staff_in(page, fresh_house, "ottoline")
    page.goto(f"/studio/commissions/{SUPPLIED}/suppliers/")
    follow(page, page.get_by_role("link", name="Owed later"))
    sound(page)
    page.locator("input[name=due_on]").fill("2026-10-09")
    page.locator("input[name=reason]").fill("The caster's kiln is being mended")
    follow(page, page.get_by_role("button", name="Keep it"))
    sound(page)
    assert "8 working days late" in page.inner_text("main")
    page.locator("summary", has_text="Send another date instead").click()
    page.locator("input[name=after]").fill("4 November 2026")
    page.locator("textarea[name=reason]").fill("The caster's kiln is being mended, and we wait for it.")
    follow(page, page.get_by_role("button", name="Send the notice"))
    assert "waits for the client" in page.inner_text("main")

    told = fresh_house.newest_letter(to="wren@alderpike.example", holding="Wednesday 4 November 2026")
    assert "Until you have said yes, the date that was promised stands" in " ".join(told.split())
    client_in(page, fresh_house, "wren@alderpike.example", path=f"/yours/{SUPPLIED}/")
    assert "16 October" in page.inner_text("main")
    follow(page, page.get_by_role("link", name=re.compile("We ask you for another date")).first)
    sound(page)
    button = page.get_by_role("button", name="Accept 4 November 2026 as the new date")
    follow(page, button)
    if "/in/passphrase" in page.url:
        page.locator("input[name=phrase]").fill(PASSPHRASE)
        follow(page, page.locator("input[name=phrase]"), key="Enter")
        follow(page, button)
    assert "The new date is agreed" in page.inner_text("main")
    sound(page)
    page.goto(f"/yours/{SUPPLIED}/")
    assert "4 November 2026" in page.inner_text("main")


def keep_count(page) -> str:
    page.get_by_role("button", name="Keep the count").click()
    page.wait_for_selector("#bsaid p")
    return page.inner_text("#bsaid p")


def test_stones_have_to_add_up_lot_by_lot_before_the_ring_goes_on(on_phone, fresh_house):
    page = on_phone
    staff_in(page, fresh_house, "ivo")
    way = f"/studio/bench/{RING}/"
    page.goto(f"{way}count/")
    sound(page)
    assert "1.30 mm: 20 issued" in page.inner_text("main")
    page.get_by_label("One less set").click()
    assert page.inner_text("[data-sum]") == "1 not accounted for."
    assert keep_count(page) == "Count kept. 1 do not add up yet."
    page.goto(f"{way}count/")
    page.get_by_role("button", name="All the rest is set").click()
    assert page.inner_text("[data-sum]") == "Every stone is accounted for."
    assert keep_count(page) == "Count kept. Every stone is accounted for."


def shoot_the_set(page, way: str) -> list[str]:
    """Take the final set, each shot with its own outline; the views that were shown."""
    views = []
    for number in range(10):
        page.goto(f"{way}photograph/")
        if not page.locator("text=of the set to go").count():
            break
        views.append(page.locator("[data-view]").get_attribute("data-view"))
        page.locator("input[name=library]").set_input_files(picture_of(f"#8899{10 + number}"))
        page.wait_for_selector("#bsaid p")
    return views


def test_who_mended_and_tested_the_ring_passes_it_after_a_night_and_not_before(browser, seeded, tmp_path):
    way = f"/studio/bench/{CHECKED}/"
    today = tmp_path / "today"
    with served(seeded, today) as house, _walking(browser, house, "phone") as page:
        staff_in(page, house, "mabli")
        page.goto(f"{way}check/10/")
        sound(page)
        follow(page, page.get_by_role("button", name="Pass", exact=True))
        for number in range(14, 19):
            page.goto(f"{way}check/{number}/")
            assert "A fix came after this answer" in page.inner_text("main")
            follow(page, page.get_by_role("button", name="Pass", exact=True))
        views = shoot_the_set(page, way)
        assert views[:3] == ["top", "side", "side"] and len(set(views)) >= 8
        page.goto(f"{way}check/")
        sound(page)
        page.locator("input[name=looked_again]").check()
        follow(page, page.get_by_role("button", name="Pass the sheet"))
        assert "A second person has to pass the sheet" in page.inner_text("main")
    note = json.loads((today / "demo.json").read_text())
    (today / "demo.json").write_text(json.dumps({**note, "offset": note["offset"] + 24 * 3600}))
    with served(today, tmp_path / "tomorrow") as house, _walking(browser, house, "phone") as page:
        staff_in(page, house, "mabli")
        page.goto(f"{way}check/")
        page.locator("input[name=looked_again]").check()
        follow(page, page.get_by_role("button", name="Pass the sheet"))
        page.goto(f"/studio/commissions/{CHECKED}/")
        assert "Pack the ring and send it" in page.inner_text("main")
