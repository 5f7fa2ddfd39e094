"""What the house promises about itself: headers, settings, documents, migrations."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command

ROOT = Path(settings.BASE_DIR)
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "manage.py",
    "studio",
    "commissions",
    "gemcalc",
    "templates",
    "tests",
    "docker-compose.yml",
    "LICENSE",
}


def tracked() -> list[str]:
    """Files that git knows."""
    return subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.splitlines()


def test_no_migration_is_missing(db):
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)


def test_the_top_level_holds_what_it_should():
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


def test_every_environment_variable_is_in_the_guide():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    code = "".join(
        (ROOT / name).read_text(encoding="utf-8")
        for name in tracked()
        if name.endswith(".py") and name.startswith(("studio/", "commissions/"))
    )
    named = set(re.findall(r'env\.(?:text|flag|number|words)\("([A-Z_]+)"', code))
    named |= set(re.findall(r'environment\.(?:text|flag|number|words)\("([A-Z_]+)"', code))
    missing = sorted(name for name in named if f"RINGWRIGHT_{name}" not in guide)
    assert missing == []


def test_every_command_of_ours_is_in_the_guide():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    ours = {
        Path(name).stem
        for name in tracked()
        if "/management/commands/" in name and not name.endswith("__init__.py")
    }
    assert sorted(name for name in ours if f"`{name}" not in guide and f"manage.py {name}" not in guide) == []


def test_every_page_forbids_inline_script_and_style(client, db):
    policy = client.get("/studio/sign-in/")["Content-Security-Policy"]
    assert "script-src 'self'" in policy
    assert "style-src 'self'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy


def test_no_template_has_inline_style_or_script():
    wrong = []
    for name in tracked():
        if not name.endswith(".html") or name.startswith(("templates/print/", "templates/letters/")):
            continue
        text = (ROOT / name).read_text(encoding="utf-8")
        if re.search(r"\sstyle=|<style|\son[a-z]+=\"|javascript:", text) or re.search(
            r"<script(?![^>]*\ssrc=)", text
        ):
            wrong.append(name)
    assert wrong == []


@pytest.mark.parametrize(
    ("environment", "code"),
    [
        ({"RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9"}, "studio.E001"),
        ({"RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9", "RINGWRIGHT_DEBUG": "yes"}, "studio.E002"),
        ({"RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9", "RINGWRIGHT_DEMO": "yes"}, "studio.E003"),
        ({"RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9", "RINGWRIGHT_HOSTS": "*"}, "studio.E004"),
        (
            {
                "RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9",
                "RINGWRIGHT_ORIGIN": "http://studio.example",
            },
            "studio.E005",
        ),
        ({"RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9"}, "studio.E006"),
        ({"RINGWRIGHT_OUTBOX_LEASE_SECONDS": "60"}, "studio.E008"),
    ],
)
def test_unsafe_settings_are_refused_with_the_fix(tmp_path, environment, code):
    import os

    clean = {
        key: value for key, value in os.environ.items() if not key.startswith(("RINGWRIGHT_", "DJANGO_ALLOW"))
    }
    done = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env={**clean, **environment, "RINGWRIGHT_DATA": str(tmp_path), "RINGWRIGHT_HERE": "1"},
        check=False,
    )
    assert done.returncode == 1
    assert code in done.stderr
    assert "HINT" in done.stderr


def test_a_served_house_passes_the_deployment_check(tmp_path):
    import os
    import secrets

    clean = {
        key: value for key, value in os.environ.items() if not key.startswith(("RINGWRIGHT_", "DJANGO_ALLOW"))
    }
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={
            **clean,
            "RINGWRIGHT_HERE": "1",
            "RINGWRIGHT_DATA": str(tmp_path),
            "RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:6379/9",
            "RINGWRIGHT_DATABASE_URL": "postgresql://ringwright@127.0.0.1/ringwright",
            "RINGWRIGHT_SECRET_KEY": secrets.token_urlsafe(50),
            "RINGWRIGHT_ORIGIN": "https://studio.example",
            "RINGWRIGHT_HOSTS": "studio.example",
            "RINGWRIGHT_DISCREET_FROM": "desk@desk.example",
            "RINGWRIGHT_DISCREET_ORIGIN": "https://desk.example",
        },
    )
    assert done.returncode == 0, done.stderr


def test_the_requirements_hold_hashes_and_no_address():
    for name in ("requirements.txt", "requirements-test.txt"):
        text = (ROOT / "studio" / name).read_text(encoding="utf-8")
        assert "--hash=sha256:" in text
        assert "://" not in text
        assert "index-url" not in text
