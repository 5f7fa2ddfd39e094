"""The nickel gate and the need for a hallmark."""

from __future__ import annotations

import pytest

from gemcalc.alloys import ALLOYS
from gemcalc.errors import BadInput, OutOfRange
from gemcalc.hallmark import CONVENTION_STATES, UK_EXEMPT_BELOW_MG, hallmark_need
from gemcalc.nickel import CAUTION, nickel_gate


@pytest.mark.parametrize("answer", ["yes", "not sure"])
def test_only_stated_nickel_free_alloys_pass_for_an_allergy(answer: str) -> None:
    verdicts = nickel_gate(alloys=ALLOYS.values(), answer=answer)  # type: ignore[arg-type]
    allowed = {verdict.alloy for verdict in verdicts if verdict.allowed}
    assert allowed == {name for name, row in ALLOYS.items() if row.nickel == "none"}
    assert "18ct white Ni" not in allowed
    assert "18ct white Pd" not in allowed
    assert all("not allowed" in verdict.words for verdict in verdicts if not verdict.allowed)


def test_without_an_allergy_all_pass_with_a_word_on_nickel() -> None:
    verdicts = {verdict.alloy: verdict for verdict in nickel_gate(alloys=ALLOYS.values(), answer="no")}
    assert all(verdict.allowed for verdict in verdicts.values())
    assert "Contains nickel" in verdicts["14ct white Ni"].words
    assert "not known" in verdicts["9ct white"].words


def test_the_caution_speaks_of_the_release_test_and_the_limit() -> None:
    for phrase in ("EN 1811", "0.5 µg/cm²", "supplier", "doctor"):
        assert phrase in CAUTION


def test_another_answer_is_refused() -> None:
    with pytest.raises(BadInput) as caught:
        nickel_gate(alloys=[], answer="maybe")  # type: ignore[arg-type]
    assert caught.value.field == "answer"


@pytest.mark.parametrize("metal", UK_EXEMPT_BELOW_MG)
def test_exempt_means_less_than(metal: str) -> None:
    limit_g = UK_EXEMPT_BELOW_MG[metal] / 1000
    assert hallmark_need(country="gb", metal=metal, metal_mass_g=limit_g).need == "required"
    assert hallmark_need(country="UK", metal=metal, metal_mass_g=limit_g - 0.001).need == "exempt"
    # Binary dust below the threshold is the threshold.
    assert hallmark_need(country="GB", metal=metal, metal_mass_g=limit_g - 1e-9).need == "required"


@pytest.mark.parametrize(
    ("country", "need", "phrase"),
    [
        ("US", "not compulsory", "trademark"),
        ("EU", "not known", "each country differs"),
        ("convention", "not known", "no exemption weight"),
        ("FR", "not known", "not known here"),
        ("NO", "not known", "Norway is a state of the Hallmarking Convention"),
        ("nl", "not known", "The Netherlands is a state"),
        ("", "not known", "this country"),
    ],
)
def test_other_countries(country: str, need: str, phrase: str) -> None:
    found = hallmark_need(country=country, metal="Au", metal_mass_g=3.2)
    assert found.need == need
    assert phrase in found.words
    assert "assay office" in found.caution


def test_twenty_states_of_the_convention() -> None:
    """hallmarkingconvention.org, 19 March 2018: "Croatia ... the 20th Contracting State"."""
    assert len(CONVENTION_STATES) == 20
    assert {"HR", "GB", "IL", "CH"} <= set(CONVENTION_STATES)


def test_mixed_metals_are_sent_to_the_assay_office() -> None:
    found = hallmark_need(country="GB", metal="Au", metal_mass_g=0.5, mixed_metals=True)
    assert found.need == "not known"


def test_edges() -> None:
    assert hallmark_need(country="GB", metal="Au", metal_mass_g=0).need == "exempt"
    for mass in (-0.001, 10_001, float("inf")):
        with pytest.raises(OutOfRange):
            hallmark_need(country="GB", metal="Au", metal_mass_g=mass)
    with pytest.raises(BadInput):
        hallmark_need(country="GB", metal="Ni", metal_mass_g=1)
