"""The fixed list at packing: everything must be *yes* before a parcel leaves."""

from __future__ import annotations

from dataclasses import dataclass

from commissions.record.models import Commission


@dataclass(frozen=True, kw_only=True)
class Check:
    """One line of the list: its key, the question, and what to do while it is not *yes*."""

    key: str
    question: str
    words: str
    only_surprise: bool = False


CHECKS = [
    Check(
        key="contents",
        question="Contents compared with the papers?",
        words="The contents are not compared with the papers: lay them side by side and tick each off.",
    ),
    Check(
        key="weight",
        question="Ring weighed, and within 0.02 g of the check sheet?",
        words="The weight of the ring does not agree with the check sheet: clean and dry it, and weigh it again; "
        "if it still differs, it goes back to Checking.",
    ),
    Check(
        key="count",
        question="Every stone counted?",
        words="The stones are not counted: count halo and shoulders under the loupe.",
    ),
    Check(
        key="marks",
        question="Marks read inside the ring, and as the ring record says?",
        words="The marks are not read: compare fineness and maker's mark with the ring record before it leaves.",
    ),
    Check(
        key="disclosure",
        question="Origin and treatments named on the papers as they are known?",
        words="Origin or treatments are not named on the papers: write what is known under “What the papers say”.",
    ),
    Check(
        key="customs",
        question="Papers for customs filled in, or none needed for this address?",
        words="The papers for customs are not ready: make the sheet for customs and let your agent confirm it.",
    ),
    Check(
        key="inner",
        question="Inner box taped, with a neutral return address and the tracking number?",
        words="The inner box is not closed and labelled: tape it, write the return address without a trade word.",
    ),
    Check(
        key="outer",
        question="Outer box plain, filled, no trade word in either name, no printed tape?",
        words="The outer box is not plain and filled: another box, filled so that nothing moves when it is shaken.",
    ),
    Check(
        key="value",
        question="Insured value within the policy's limit for one parcel?",
        words="The insured value is above the policy's limit: ask your insurer before it leaves the house.",
    ),
    Check(
        key="terms",
        question="Carrier's terms checked for this value and these contents?",
        words="The carrier's terms are not checked: read whether rings of this value are carried, and keep the limit.",
    ),
    Check(
        key="signature",
        question="Adult signature asked for, nothing left without one?",
        words="No adult signature is asked for: book the service that asks for one.",
    ),
    Check(
        key="surprise",
        question="Surprise: nothing on or in the parcel names the piece, and it goes where the client said?",
        words="The parcel of a surprise is not neutral: take out every paper but the delivery note, and look at the "
        "ways of contact that the client allows.",
        only_surprise=True,
    ),
]
"""Source: practice (carriers' and insurers' published advice differs: your policy comes first)."""

SHOTS = [
    ("contents", "The contents beside the papers"),
    ("inner", "The inner box, closed and labelled"),
    ("outer", "The outer box, closed and sealed"),
]
"""Photographs that a parcel leaves with; common practice, no source."""


def checks_for(*, commission: Commission) -> list[Check]:
    """The lines that are asked for this ring."""
    return [check for check in CHECKS if commission.discreet or not check.only_surprise]
