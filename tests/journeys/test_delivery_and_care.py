"""From the packing list to the client's hands, and the years after: worries, kind words, the page that proves a record."""

from __future__ import annotations

import contextlib
import datetime
import io
import json
import re
import subprocess
import sys

from PIL import Image

from tests.journeys import conftest
from tests.journeys.conftest import PASSPHRASE, ROOT, WIDTHS, client_in, follow, sound, staff_in

MARISOL = "marisol@vantreaux.example"
PHILIPPA = "philippa@stonecroftvale.example"
REFERENCE = "K6T-5RM"


def inside(house, code: str) -> str:
    """What *code* prints inside the workshop: for what no page shows, and for work that other journeys have done."""
    note = json.loads((house.data / "demo.json").read_text())
    done = subprocess.run(
        [sys.executable, "manage.py", "shell", "-v", "0", "-c", code],
        cwd=ROOT,
        env=conftest._environment(house.data, RINGWRIGHT_CLOCK_OFFSET_SECONDS=str(note["offset"])),
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout.strip()


AT_HANDOVER = f"""
from commissions.bench import actions as bench
from commissions.money.actions import post_receipt
from commissions.money.queries import accepted_quote, plan_rows
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person
from tests.commissions.bench.test_check import all_passed
job = Commission.objects.get(reference="{REFERENCE}")
mabli = Person.objects.get(email__startswith="mabli")
ottoline = Person.objects.get(email__startswith="ottoline")
all_passed(job, mabli)
from commissions.bench.queries import final_shots_missing, latest_weight
from commissions.bench.defaults import FINAL_SHOTS
from tests.commissions.bench.conftest import picture_file
from studio.pictures.actions import receive
for key, words in FINAL_SHOTS:
    bench.add_photo(commission=job, picture=receive(upload=picture_file(), kind="bench", person_words="Mabli"),
                    step=None, person=mabli, shot=key, caption=words)
if latest_weight(commission=job, kind="ring") is None:
    bench.weigh(commission=job, step=None, kind="ring", gross_mg=5210, tare_mg=0, scale="", person=mabli, sure=True)
bench.pass_check(commission=job, person=ottoline)
open_now = sum(row.outstanding for row in plan_rows(quote=accepted_quote(commission=job)))
post_receipt(commission=job, minor=open_now, currency="USD", reference="LF last", by_words="Ottoline", on=clock.today())
from commissions.sourcing.queries import chosen, newest_check_in
print(latest_weight(commission=job, kind="ring").net_mg / 1000, newest_check_in(stone=chosen(commission=job)).inscription_typed)
"""


HELD_AND_SOLD = f"""
from commissions.money.queries import held, sold
from commissions.record.models import Commission
job = Commission.objects.get(reference="{REFERENCE}")
print(held(commission=job), sold(commission=job))
"""


def photo_file(colour="#b9a26a") -> dict:
    out = io.BytesIO()
    Image.new("RGB", (900, 700), colour).save(out, "JPEG")
    return {"name": "ring.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


@contextlib.contextmanager
def another(page, house):
    """A second browser of the same width, for the client."""
    context = page.context.browser.new_context(viewport=page.viewport_size, base_url=house.address)
    other = context.new_page()
    other.set_default_timeout(20_000)
    yield other
    context.close()


def working_day(days=2) -> datetime.date:
    day = datetime.date(2026, 9, 15) + datetime.timedelta(days=days)
    while day.weekday() >= 5:
        day += datetime.timedelta(days=1)
    return day


def test_from_the_packing_list_to_the_clients_hands(acting, fresh_house):
    grams, inscription = inside(fresh_house, AT_HANDOVER).split(maxsplit=1)
    page = acting
    staff_in(page, fresh_house, "ottoline")
    path = f"/studio/commissions/{REFERENCE}/delivery/"
    page.goto(path)
    sound(page)
    assert inscription not in page.content()
    # Read what is not there: it does not leave; read what is there: it does.
    for typed, said in (("DEMO 0000 0000", "does not agree"), (inscription, "and the same")):
        if (
            page.locator("input[name=how][value=read]").count()
            and not page.locator("input[name=how][value=read]").is_visible()
        ):
            page.get_by_text("Read it once more").click()
        page.locator("input[name=how][value=read]").check()
        page.locator("input[name=typed]").fill(typed)
        follow(page, page.get_by_role("button", name="Keep what I read"))
        assert said in page.locator("main").inner_text()
    page.locator("input[name=treated][value=none]").check()
    page.locator("input[name=source]").fill("Report DEMO")
    follow(page, page.get_by_role("button", name="Keep this"))
    follow(page, page.get_by_role("button", name="Make the ring record"))
    for shot in ("contents", "inner", "outer"):
        page.locator("select[name=shot]").select_option(shot)
        page.locator("input[name=photo]").set_input_files(photo_file())
        follow(page, page.get_by_role("button", name="Add the photograph"))
    follow(page, page.get_by_role("button", name="Ask the client to confirm it"))
    with another(page, fresh_house) as client:
        client_in(client, fresh_house, MARISOL, path=f"/yours/{REFERENCE}/delivery/")
        assert client.title() == "Your page"
        follow(client, client.get_by_role("link", name="Confirm the address"))
        if client.locator("input[name=phrase]").count():
            client.locator("input[name=phrase]").fill(PASSPHRASE)
            follow(client, client.locator("main button").first)
        client.locator("textarea[name=lines]").fill("9 Invented Pier\nNowhere")
        follow(client, client.get_by_role("button", name="Confirm this address"))
        sound(client)
        page.goto(path)
        # One *no* keeps it here, and says what to do.
        for box in page.locator("form.packing input[value=yes]").all():
            box.check()
        page.locator("input[name=signature][value=no]").check()
        page.locator("input[name=ring]").fill(grams)
        page.locator("input[name=seal]").fill("K-77001")
        page.locator("input[name=insured]").fill("13600")
        follow(page, page.get_by_role("button", name="Packed and sealed"))
        assert page.locator("[role=alert] li").all_inner_texts() == [
            "No adult signature is asked for: book the service that asks for one."
        ]
        sound(page)
        assert page.locator("input[name=seal]").input_value() == "K-77001"
        page.locator("input[name=signature][value=yes]").check()
        follow(page, page.get_by_role("button", name="Packed and sealed"))
        sound(page)
        # A carrier whose terms nobody has read, then a weekend, then well.
        for carrier, day, said in (
            ("Nobody Knows (invented)", working_day(), "No limit of Nobody Knows"),
            ("Meridian Secure (invented)", datetime.date(2026, 9, 19), "weekend"),
            ("Meridian Secure (invented)", working_day(), ""),
        ):
            page.locator("input[name=carrier]").fill(carrier)
            page.locator("input[name=tracking]").fill("MS-1")
            page.locator("input[name=expected_on]").fill(f"{day:%-d %-m %Y}")
            follow(page, page.get_by_role("button", name="Dispatched"))
            if said:
                assert said in page.locator("[role=alert]").inner_text()
        sound(page)
        client.goto(f"/yours/{REFERENCE}/delivery/")
        sound(client)
        assert "K-77001" in client.content()
        follow(client, client.get_by_role("button", name="It has arrived"))
        assert "It is with you." in client.content()
        client.goto(f"/yours/{REFERENCE}/care/")
        sound(client)
        client.goto(f"/yours/{REFERENCE}/papers/")
        sound(client)
    page.goto(f"/studio/commissions/{REFERENCE}/papers/")
    sound(page)
    text = page.locator("main").inner_text()
    assert "Sheet for customs" in text and "edition 2" in text
    # What was held for it became a sale when it was in the client's hands.
    assert inside(fresh_house, HELD_AND_SOLD).split()[0] == "0"
    assert int(inside(fresh_house, HELD_AND_SOLD).split()[1]) > 0


def test_a_worry_its_answer_and_what_it_does_to_the_turn(acting, fresh_house):
    page = acting
    client_in(page, fresh_house, PHILIPPA, path="/yours/F3J-9LC/care/")
    sound(page)
    follow(page, page.get_by_role("link", name="Show us what worries you"))
    follow(page, page.get_by_role("button", name="Send it to the studio"))
    assert page.title().startswith("Error:")
    sound(page)
    page.locator("input[name=sign][value=loose]").focus()
    page.keyboard.press("Space")
    page.locator("input[name=photos]").set_input_files([photo_file(), photo_file("#806030")])
    page.locator("textarea[name=words]").fill("The second stone from the top clicks")
    follow(page, page.get_by_role("button", name="Send it to the studio"))
    sound(page)
    assert "Take the ring off now" in page.locator("main").inner_text()
    mine = page.url
    with another(page, fresh_house) as staff:
        staff_in(staff, fresh_house, "mabli")
        staff.goto("/studio/dispatch/")
        sound(staff)
        assert staff.get_by_text("A stone moves or clicks").count() == 1
        staff.goto(
            mine.replace("/yours/", "/studio/commissions/").replace("/care/worry/", "/delivery/worry/")
        )
        sound(staff)
        staff.locator("input[name=choice][value=nearby]").check()
        staff.locator("textarea[name=words]").fill("The bead on its left is worn. A jeweller can tighten it.")
        follow(staff, staff.get_by_role("button", name="Send this answer"))
        sound(staff)
    page.goto("/yours/F3J-9LC/")
    follow(page, page.get_by_role("link", name=re.compile("Read our answer")).first)
    assert "see a jeweller near you" in page.locator("h1").inner_text()
    sound(page)


def test_kind_words_stand_with_consent_and_go_without(acting, fresh_house):
    page = acting
    page.goto("/kind-words/")
    sound(page)
    assert "The halo sits so close" in page.content() and "Philippa" in page.content()
    assert "Stonecroft" not in page.content()
    assert page.locator("main figure").count() == 1
    source = page.locator("main figure img").get_attribute("src")
    assert page.request.get(source).ok
    with another(page, fresh_house) as client:
        client_in(client, fresh_house, PHILIPPA, path="/yours/F3J-9LC/care/words/")
        sound(client)
        follow(client, client.get_by_role("button", name="Take my words down"))
        sound(client)
    page.goto("/kind-words/")
    assert "The halo sits so close" not in page.content()
    assert page.request.get(source).status == 404
    sound(page)


def test_a_third_party_compares_a_record_by_its_fingerprint(at, house):
    fingerprint = inside(
        house,
        "from commissions.delivery import ring; from commissions.delivery.models import RingRecord; "
        "print(ring.short(RingRecord.objects.get(commission__reference='F3J-9LC').digest))",
    )
    at.goto("/ring/")
    sound(at)
    at.locator("input[name=fingerprint]").fill("0000-0000-00")
    at.get_by_role("button", name="Compare").click()
    at.wait_for_url("**/0000-0000-00/")
    sound(at)
    assert "no record" in at.locator("h1").inner_text()
    at.locator("input[name=fingerprint]").fill(fingerprint.lower())
    follow(at, at.get_by_role("button", name="Compare"))
    sound(at)
    shown = at.locator("main").inner_text()
    assert "This record is ours" in shown and "Before setting" in shown and "After setting" in shown
    for private in ("Philippa", "Stonecroft", "F3J-9LC", "GBP", "Made-up Lane"):
        assert private not in at.content()
    assert at.viewport_size in WIDTHS.values()
