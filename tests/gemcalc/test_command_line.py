"""`python -m gemcalc`: the fixed keys, errors that name the field, and never a traceback."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.__main__ import answer
from gemcalc.errors import BadInput
from gemcalc.sources import SOURCES

STONES_AND_RINGS = ("weight", "size", "carat", "melee", "ring-size", "ring-of-stones")

ASKED: dict[str, dict[str, Any]] = {
    "weight": {"cut": "round", "diameter_mm": 10, "depth_mm": 6},
    "size": {"cut": "oval", "weight_ct": 1},
    "carat": {"weight_ct": "1.769"},
    "melee": {"sieve": "6.5-7"},
    "ring-size": {"system": "us", "size": "7"},
    "ring-of-stones": {
        "centre_diameter_mm": 6.5,
        "melee_diameter_mm": 1.3,
        "clearance_mm": 0.15,
        "gap_mm": 0.1,
    },
}

KEYS: dict[str, dict[str, type | tuple[type, ...]]] = {
    "weight": {
        "weight_ct": float,
        "low_ct": float,
        "high_ct": float,
        "factor": float,
        "display": str,
        "sources": list,
    },
    "size": {
        "length_mm": float,
        "width_mm": float,
        "low_mm": float,
        "high_mm": float,
        "laws": dict,
        "sources": list,
    },
    "carat": {"display": str, "points": int},
    "melee": {
        "diameter_low_mm": float,
        "diameter_high_mm": float,
        "sieve": str,
        "weight_ct": float,
        "low_ct": float,
        "high_ct": float,
        "per_carat": float,
        "sources": list,
    },
    "ring-size": {
        "circumference_mm": float,
        "diameter_mm": float,
        "iso": str,
        "us": float,
        "jp": float,
        "ch": float,
        "uk_steps": float,
        "us_label": str,
        "uk_label": str,
        "jp_label": str,
        "notes": list,
    },
    "ring-of-stones": {
        "exact": float,
        "count": int,
        "even_gap_mm": float,
        "next_count_gap_mm": float,
        "outside_diameter_mm": float,
    },
}


def run(name: str, stdin: bytes, *, encoding: str = "utf-8") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "gemcalc", *([name] if name else [])],
        input=stdin,
        capture_output=True,
        timeout=60,
        env={"PYTHONIOENCODING": encoding, "PATH": ""},
        check=False,
    )


@pytest.mark.parametrize("name", STONES_AND_RINGS)
def test_the_fixed_keys_have_their_types(name: str) -> None:
    found = answer(name, ASKED[name])
    for key, kind in KEYS[name].items():
        assert isinstance(found[key], kind), key
    assert set(found.get("sources", ())) <= set(SOURCES)


@pytest.mark.parametrize("name", STONES_AND_RINGS)
def test_one_object_in_one_object_out(name: str) -> None:
    done = run(name, json.dumps(ASKED[name]).encode())
    assert done.returncode == 0
    assert done.stderr == b""
    assert json.loads(done.stdout) == json.loads(json.dumps(answer(name, ASKED[name])))


@pytest.mark.parametrize(
    ("name", "asked", "field"),
    [
        ("weight", {"cut": "round", "diameter_mm": 6.5}, "depth_mm"),
        ("weight", {"cut": "round", "depth_mm": 4}, "diameter_mm"),
        ("weight", {"cut": "oval", "depth_mm": 4}, "length_mm"),
        ("weight", {"cut": "oval", "length_mm": 8, "depth_mm": 4}, "width_mm"),
        ("weight", {"diameter_mm": 6.5, "depth_mm": 4}, "cut"),
        ("weight", {"cut": 5, "diameter_mm": 6.5, "depth_mm": 4}, "cut"),
        ("weight", {"cut": [], "diameter_mm": 6.5, "depth_mm": 4}, "cut"),
        ("weight", {"cut": "round", "diameter_mm": 0, "depth_mm": 4}, "diameter_mm"),
        ("weight", {"cut": "round", "diameter_mm": -6.5, "depth_mm": 4}, "diameter_mm"),
        ("weight", {"cut": "round", "diameter_mm": True, "depth_mm": 4}, "diameter_mm"),
        ("weight", {"cut": "round", "diameter_mm": "6_5", "depth_mm": 4}, "diameter_mm"),
        (
            "weight",
            {"cut": "round", "diameter_min_mm": 6.6, "diameter_max_mm": 6.5, "depth_mm": 4},
            "diameter_min_mm",
        ),
        ("weight", {"cut": "round", "diameter_min_mm": 6.4, "depth_mm": 4}, "diameter_max_mm"),
        ("weight", {"cut": "round", "diameter_mm": 6.5, "depth_mm": 1e999}, "depth_mm"),
        ("weight", {"cut": "round", "diameter_mm": 6.5, "depth_mm": 10**400}, "depth_mm"),
        ("weight", {"cut": "round", "diameter_mm": 6.5, "depth_mm": 4, "species": "glass"}, "species"),
        ("weight", {"cut": "round", "diameter_mm": 6.5, "depth_mm": 4, "girdle": "fat"}, "girdle"),
        ("weight", {"cut": "round", "diameter_mm": 6.5, "depth_mm": 4, "table_pct": 5}, "table_pct"),
        ("weight", {"cut": "oval", "length_mm": 60, "width_mm": 6, "depth_mm": 4}, "length_mm"),
        ("size", {"cut": "round"}, "weight_ct"),
        ("size", {"weight_ct": 1}, "cut"),
        ("size", {"cut": "round", "weight_ct": 1, "length_to_width": 2}, "length_to_width"),
        ("carat", {}, "weight_ct"),
        ("carat", {"weight_ct": "-1.000"}, "weight_ct"),
        ("carat", {"weight_ct": "one"}, "weight_ct"),
        ("carat", {"weight_ct": {}}, "weight_ct"),
        ("melee", {}, "diameter_mm"),
        ("melee", {"diameter_mm": 9}, "diameter_mm"),
        ("melee", {"sieve": "99"}, "sieve"),
        ("ring-size", {}, "system"),
        ("ring-size", {"system": "us"}, "size"),
        ("ring-size", {"size": "7"}, "system"),
        ("ring-size", {"system": "us", "size": "M"}, "size"),
        ("ring-size", {"system": "us", "size": "99"}, "size"),
        ("ring-size", {"circumference_mm": 10}, "circumference_mm"),
        ("ring-size", {"diameter_mm": "wide"}, "diameter_mm"),
        ("ring-of-stones", {"centre_diameter_mm": 6.5}, "melee_diameter_mm"),
        ("ring-of-stones", {**ASKED["ring-of-stones"], "gap_mm": None}, "gap_mm"),
        ("ring-of-stones", {**ASKED["ring-of-stones"], "melee_diameter_mm": 50}, "melee_diameter_mm"),
    ],
)
def test_an_error_names_the_field_in_the_words_of_the_input(
    name: str, asked: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadInput) as refused:
        answer(name, asked)
    assert refused.value.field == field
    assert refused.value.message


@pytest.mark.parametrize(
    "stdin",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'"text"',
        b"1e999",
        b"\xff\xfe\x00",
        b"[" * 100_000,
        b'{"a":' * 50_000,
        b"9" * 10_000,
        b'{"cut": "\\ud800", "diameter_mm": 1, "depth_mm": 1}',
        b'{"cut": "round", "diameter_mm": NaN, "depth_mm": 1}',
        b'{"cut": "round", "diameter_mm": 6.5, "depth_mm": Infinity}',
        b"\x00" * 100,
    ],
    ids=lambda stdin: repr(stdin[:20]),
)
def test_whatever_bytes_come_one_sentence_goes_out(stdin: bytes) -> None:
    for encoding in ("utf-8", "ascii"):
        done = run("weight", stdin, encoding=encoding)
        assert done.returncode == 2
        assert done.stdout == b""
        said = json.loads(done.stderr)
        assert set(said) == {"error"}
        assert set(said["error"]) == {"field", "message"}
        assert said["error"]["message"]


def test_half_signs_go_out_whatever_the_terminal_speaks() -> None:
    done = run("ring-size", b'{"system": "uk", "size": "M 1/2"}', encoding="ascii")
    assert done.returncode == 0
    assert json.loads(done.stdout.decode("utf-8"))["uk_label"] == "M½"


def test_a_name_is_needed_and_must_be_known() -> None:
    for name in ("", "horoscope"):
        done = run(name, b"{}")
        assert done.returncode == 2
        assert "weight" in json.loads(done.stderr)["error"]["message"]


ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


@given(name=st.sampled_from(STONES_AND_RINGS), data=st.data())
def test_any_value_in_any_field_is_answered_or_refused(name: str, data: st.DataObject) -> None:
    """Nothing but BadInput may come out: the net under it is for what nobody thought of."""
    fields = sorted({*ASKED[name], "species", "girdle", "table_pct", "length_to_width", "circumference_mm"})
    asked = {**ASKED[name], data.draw(st.sampled_from(fields)): data.draw(ANY)}
    try:
        found = answer(name, asked)
    except BadInput as refused:
        assert refused.field is not None
    else:
        json.dumps(found, allow_nan=False)
