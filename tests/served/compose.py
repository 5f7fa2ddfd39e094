"""The commands of docker-compose.yml, so that what is tested here is what runs there."""

from __future__ import annotations

import sys
from pathlib import Path

import yaml

from tests.served.harness import ROOT

FILE = ROOT / "docker-compose.yml"


def described() -> dict:
    """The whole file."""
    return yaml.safe_load(FILE.read_text())


def command(service: str, **changes: str) -> list[str]:
    """The command of a service with this Python's programs, and *changes* to what only a container has."""
    words = [changes.get(word, word) for word in described()["services"][service]["command"]]
    return [str(programs() / word) if word in ("celery", "gunicorn") else word for word in words]


def programs() -> Path:
    """Where this Python's programs lie."""
    return Path(sys.executable).parent
