"""docker-compose.yml: what it says, and its own commands run against this machine's kind of services."""

import re
import socket
import subprocess
import sys
import urllib.error
import urllib.request

import pytest

from studio import environment
from tests.served import compose
from tests.served.harness import ROOT, wait_until
from tests.studio.outbox.post_office import free_port

SERVICES = {"database", "redis", "prepare", "web", "worker", "beat"}
OURS = ("prepare", "web", "worker", "beat")


def test_the_file_describes_the_six_services_and_their_order():
    services = compose.described()["services"]
    assert set(services) == SERVICES
    for name in ("web", "worker", "beat"):
        assert services[name]["depends_on"]["prepare"]["condition"] == "service_completed_successfully"
        assert services[name]["healthcheck"]["test"][:3] == ["CMD", "python", "studio/health.py"]
    assert {"database", "redis"} <= set(services["prepare"]["depends_on"])


def test_redis_keeps_what_it_is_told_and_refuses_rather_than_forgets():
    words = compose.described()["services"]["redis"]["command"]
    assert words[words.index("--appendonly") + 1] == "yes"
    assert words[words.index("--maxmemory-policy") + 1] == "noeviction"


def test_no_secret_stands_in_the_file_and_every_one_comes_from_a_file():
    described = compose.described()
    for name in OURS:
        assert set(described["services"][name]["secrets"]) == {"secret_key", "database_url", "smtp_url"}
        for key, value in described["services"][name]["environment"].items():
            assert "://" not in value or re.match(r"redis://redis:6379/\d$", value), key
    assert all(set(secret) == {"file"} for secret in described["secrets"].values())


def test_every_setting_in_the_file_is_one_that_the_house_reads():
    read = set(re.findall(r'env\.\w+\(\s*"(\w+)"', (ROOT / "studio" / "settings.py").read_text()))
    for key in compose.described()["services"]["web"]["environment"]:
        assert key.removeprefix(environment.PREFIX).removesuffix("_FILE") in read, key


def test_the_image_is_built_from_hashed_requirements_and_runs_as_nobody_special():
    text = (ROOT / "studio" / "Dockerfile").read_text()
    assert "--require-hashes --requirement studio/requirements.txt" in text
    assert text.index("USER ringwright") < text.index("CMD ")
    for name in re.findall(r"^COPY (\S+) ", text, re.MULTILINE):
        assert (ROOT / name).exists(), name


@pytest.mark.service
def test_its_own_commands_serve_send_and_are_seen_alive(house, migrated, sink):
    house.environment |= {
        "RINGWRIGHT_OUTBOX_LEASE_SECONDS": "150",
        "RINGWRIGHT_ORIGIN": "https://house.example",
        "RINGWRIGHT_HOSTS": "house.example,127.0.0.1",
        "RINGWRIGHT_BEHIND_PROXY": "yes",
        "PATH": f"{compose.programs()}:{house.environment['PATH']}",
    }
    port = free_port()
    prepare = house.start(*compose.command("prepare"))
    assert prepare.wait(timeout=180) == 0, house.words()
    schedule = str(house.folder / "beat-schedule")
    house.start(*compose.command("web", **{"0.0.0.0:8000": f"127.0.0.1:{port}", "/tmp": str(house.folder)}))
    house.start(*compose.command("worker"))
    house.start(*compose.command("beat", **{"/tmp/beat-schedule": schedule}))

    def answers() -> int:
        question = urllib.request.Request(
            f"http://127.0.0.1:{port}/studio/outbox/",
            headers={"Host": "house.example", "X-Forwarded-Proto": "https"},
        )
        try:
            opener = urllib.request.build_opener(_Stay)
            return opener.open(question, timeout=5).status
        except urllib.error.HTTPError as error:
            return error.code
        except OSError:
            return 0

    wait_until(lambda: answers() == 302, seconds=120, what="the web answering")
    house.script("letters", "3")
    wait_until(lambda: len(sink.accepted) >= 3, seconds=120, what="the worker sending")
    alive = (
        f"import sys, pathlib; from studio import health; "
        f"sys.exit(not (health.web({port}) and health.worker() and health.beat(pathlib.Path({schedule!r}))))"
    )
    done = subprocess.run(
        [sys.executable, "-c", alive],
        cwd=ROOT,
        env=house.environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:] + house.words()
    with socket.socket() as nobody:
        nobody.bind(("127.0.0.1", 0))
        dead = f"import sys; from studio import health; sys.exit(not health.web({nobody.getsockname()[1]}))"
        done = subprocess.run(
            [sys.executable, "-c", dead],
            cwd=ROOT,
            env=house.environment,
            capture_output=True,
            timeout=60,
            check=False,
        )
    assert done.returncode != 0


class _Stay(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_words):
        return None
