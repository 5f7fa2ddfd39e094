"""At the drawing table: a draft, the scan of its stone, its files, what if, a model over the stone, and sent."""

from __future__ import annotations

import re

from commissions.pages.demo.shapes import ellipse, plate_stl, scan_csv
from tests.journeys.conftest import follow, sound, staff_in

DESIGN = "/studio/commissions/B3X-9TN/design/"


def test_from_a_scan_to_a_revision_that_is_sent(acting, fresh_house):
    page = acting
    staff_in(page, fresh_house, "ottoline")
    page.goto(f"{DESIGN}draft/")
    # The table is not empty: what stands is drawn at once, with what the drawer has of it.
    assert page.locator("#preview svg").count() == 1
    assert page.get_by_text("Halo stones against the drawer").is_visible()
    sound(page)

    # The scan, in inches: its unit is guessed and shown, and the seat taken from it.
    follow(page, page.get_by_role("link", name="Take the outline from a scan"), key="Enter")
    page.locator("input[type=file]").set_input_files(
        {
            "name": "oval.csv",
            "mimeType": "text/csv",
            "buffer": scan_csv(9.20, 6.70, per_mm=1 / 25.4),
        }
    )
    follow(page, page.get_by_role("button", name="Fit the girdle"), key="Enter")
    assert page.get_by_text("Read in inch, guessed from the size").is_visible()
    assert "9.200" in page.locator("#answer").inner_text()
    sound(page)
    follow(page, page.get_by_role("button", name=re.compile("Use as the seat")), key="Enter")
    assert page.get_by_label("Length or diameter, mm").input_value() == "9.2"

    # Typed on by keyboard: the drawing follows without the page being left.
    wire = page.get_by_label("Claw wire, mm")
    wire.focus()
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        page.keyboard.press("Control+A")
        page.keyboard.type("1.1")
    follow(page, page.get_by_role("button", name="Keep this draft"), key="Enter")
    follow(page, page.get_by_role("link", name="Revision C", exact=True), key="Enter")
    assert page.get_by_text("scanned, ±").is_visible()
    sound(page)

    # A model and its refusal: the words stand by the box, what was typed stays.
    page.locator("summary", has_text="Add a picture or a model").focus()
    page.keyboard.press("Enter")
    page.get_by_label("A CAD model").check()
    page.get_by_label("What it shows").fill("The plate")
    box = page.locator("input[type=file]")
    box.set_input_files({"name": "plate.stl", "mimeType": "model/stl", "buffer": b"no model"})
    follow(page, page.get_by_role("button", name="Add it"), key="Enter")
    assert page.get_by_label("What it shows").input_value() == "The plate"
    sound(page)
    page.locator("input[type=file]").set_input_files(
        {
            "name": "plate.stl",
            "mimeType": "model/stl",
            "buffer": plate_stl(ellipse(9.42, 6.92), ellipse(12.2, 9.8)),
        }
    )
    follow(page, page.get_by_role("button", name="Add it"), key="Enter")
    assert page.get_by_text("plate.stl is with revision C.").is_visible()

    # Laid over the stone before anything is cast.
    follow(page, page.get_by_role("link", name="Lay a model over the stone"), key="Enter")
    page.get_by_label("From the files of this revision").select_option(label="plate.stl")
    follow(page, page.get_by_role("button", name="Lay it over"), key="Enter")
    assert page.get_by_text("The stone goes in").first.is_visible()
    sound(page)

    # What if, and back.
    page.goto(f"{DESIGN}C/what-if/")
    page.get_by_label("Centre by, mm").fill("0.5")
    follow(page, page.get_by_role("button", name="Work it out"), key="Enter")
    assert page.get_by_role("link", name=re.compile("Start a draft from this")).first.is_visible()
    sound(page)

    # Sent: from here on nothing is added and nothing goes.
    page.goto(f"{DESIGN}C/send/")
    follow(page, page.locator("main form button.act").last, key="Enter")
    page.goto(f"{DESIGN}C/")
    assert page.get_by_text("nothing in it changes any more").is_visible()
    assert page.locator("input[type=file]").count() == 0
    assert page.get_by_role("button", name=re.compile("Remove")).count() == 0
