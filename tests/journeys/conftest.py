"""
The demo workshop as a stranger starts it, in a real browser.

It is seeded once for the whole run; every worker then serves a copy of its own.
"""

from __future__ import annotations

import contextlib
import fcntl
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
PASSPHRASE = "a grey goose at low tide"
WIDTHS = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1280, "height": 900}}
RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }
}


def pytest_collection_modifyitems(items):
    """Everything here drives a browser."""
    for item in items:
        if "journeys" in item.path.parts:
            item.add_marker(pytest.mark.browser)


@dataclass
class House:
    """A running demo workshop."""

    address: str
    data: Path
    passwords: dict[str, str]

    def newest_letter(self, *, to: str, after: float = 0.0, holding: str = "") -> str:
        """The plain part of the newest letter to an address, read from the outbox folder as a mail program would."""
        import email
        import email.policy

        end = time.monotonic() + 30
        while time.monotonic() < end:
            rows = sorted(
                (self.data / "outbox").glob("*.eml"), key=lambda path: path.stat().st_mtime, reverse=True
            )
            for path in rows:
                if path.stat().st_mtime < after:
                    break
                letter = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
                text = letter.get_body(("plain",)).get_content()
                if to in letter["To"] and holding in text:
                    return text
            time.sleep(0.3)
        raise AssertionError(f"no letter to {to}")


def _environment(data: Path, **more: str) -> dict[str, str]:
    kept = {
        key: value for key, value in os.environ.items() if not key.startswith(("RINGWRIGHT_", "DJANGO_ALLOW"))
    }
    return {
        **kept,
        "RINGWRIGHT_HERE": "1",
        "RINGWRIGHT_DEMO": "yes",
        "RINGWRIGHT_DATA": str(data),
        "RINGWRIGHT_STUDIO_NAME": "Lanternfold",
        "RINGWRIGHT_LETTER_FROM": "studio@lanternfold.example",
        "RINGWRIGHT_SWEEP_SECONDS": "2",
        **more,
    }


@pytest.fixture(scope="session")
def seeded(tmp_path_factory) -> Path:
    """The seeded workshop, made by whichever worker comes first."""
    base = tmp_path_factory.getbasetemp()
    base = base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base
    folder = base / "demo-seed"
    with open(base / "demo-seed.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not (folder / "demo.json").exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            done = subprocess.run(
                [sys.executable, "manage.py", "demo", "--stop-after-seed"],
                cwd=ROOT,
                env=_environment(folder),
                capture_output=True,
                text=True,
                timeout=900,
                check=False,
            )
            assert done.returncode == 0, done.stdout + done.stderr
            assert "ottoline@lanternfold.example" in done.stdout
    return folder


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextlib.contextmanager
def served(seeded: Path, data: Path):
    """A copy of the seeded workshop, served by the very process a user runs."""
    shutil.copytree(seeded, data)
    note = json.loads((data / "demo.json").read_text())
    port = _free_port()
    address = f"http://127.0.0.1:{port}"
    log = (data / "server.log").open("wb")
    server = subprocess.Popen(
        [sys.executable, "manage.py", "studio", "--port", str(port)],
        cwd=ROOT,
        stdout=log,
        stderr=log,
        env=_environment(
            data, RINGWRIGHT_ORIGIN=address, RINGWRIGHT_CLOCK_OFFSET_SECONDS=str(note["offset"])
        ),
    )
    try:
        end = time.monotonic() + 90
        while True:
            with contextlib.suppress(urllib.error.URLError, ConnectionError):
                urllib.request.urlopen(f"{address}/studio/sign-in/", timeout=5).close()
                break
            assert server.poll() is None and time.monotonic() < end, (data / "server.log").read_text()
            time.sleep(0.3)
        yield House(address=address, data=data, passwords=note["passwords"])
    finally:
        server.terminate()
        server.wait(timeout=20)
        log.close()


@pytest.fixture(scope="session")
def house(seeded, tmp_path_factory):
    """A workshop whose pages are read and nothing is done in it."""
    with served(seeded, tmp_path_factory.mktemp("house") / "data") as running:
        yield running


@pytest.fixture
def fresh_house(seeded, tmp_path):
    """A workshop of one's own, to act in."""
    with served(seeded, tmp_path / "data") as running:
        yield running


@contextlib.contextmanager
def _walking(browser, house: House, width: str):
    context = browser.new_context(viewport=WIDTHS[width], base_url=house.address, timezone_id="Europe/Berlin")
    page = context.new_page()
    page.set_default_timeout(20_000)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    yield page
    context.close()
    # A refused form is a 4xx on purpose; everything else the console says is a fault.
    assert [line for line in said if "status of 4" not in line] == []


@pytest.fixture(params=list(WIDTHS))
def at(request, browser, house):
    """A browser in the workshop that is only read; console errors fail the journey."""
    with _walking(browser, house, request.param) as page:
        yield page


@pytest.fixture(params=list(WIDTHS))
def acting(request, browser, fresh_house):
    """A browser in a workshop of one's own."""
    with _walking(browser, fresh_house, request.param) as page:
        yield page


def follow(page, place, *, key: str = "") -> None:
    """Press something that leads to another page (or the same one anew), and wait until it is there."""
    with page.expect_navigation(wait_until="load"):
        if key:
            place.focus()
            page.keyboard.press(key)
        else:
            place.click()


def sound(page) -> None:
    """No sideways scrolling, and nothing that axe finds."""
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), (
        f"{page.url} scrolls sideways"
    )
    found = Axe().run(page, options=RULES)
    worst = [
        f"{row['id']}: {row['nodes'][0]['target']} {row['help']}" for row in found.response["violations"]
    ]
    assert worst == [], f"{page.url}: {worst}"


def staff_in(page, house: House, who: str) -> None:
    """Sign somebody of the studio in, by keyboard."""
    email = f"{who}@lanternfold.example"
    page.goto("/studio/sign-in/")
    page.get_by_label("E-mail address").focus()
    page.keyboard.type(email)
    page.keyboard.press("Tab")
    page.keyboard.type(house.passwords[email])
    with page.expect_navigation(wait_until="load"):
        page.keyboard.press("Enter")
    assert "sign-in" not in page.url


def client_in(page, house: House, email: str, *, path: str = "/yours/", script: bool = True) -> None:
    """Sign a client in by the one-time code that the outbox holds; axe needs a browser whose scripts run."""
    began = time.time() - 1
    page.goto(f"/in/?next={path}")
    page.locator("input[name=email]").fill(email)
    with page.expect_navigation(wait_until="load"):
        page.keyboard.press("Enter")
    text = house.newest_letter(to=email, after=began, holding="Your code:")
    code = re.search(r"Your code: (\S+(?: \S+)?)\s*$", text, re.MULTILINE)
    page.locator("input[name=code]").fill(code.group(1))
    with page.expect_navigation(wait_until="load"):
        page.keyboard.press("Enter")
    if "/in/passphrase" in page.url:
        # The first visit: a passphrase is chosen, which every binding act asks for later.
        if script:
            sound(page)
        page.locator("input[name=phrase]").fill(PASSPHRASE)
        with page.expect_navigation(wait_until="load"):
            page.keyboard.press("Enter")
    assert page.url.endswith(path), page.url
