"""The fixed list at packing: everything must be *yes* before a parcel leaves."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Check:
    """One line of the list: its key, the question, and what is missing in words while it is not *yes*."""

    key: str
    question: str
    words: str


CHECKS = [
    Check(
        key="contents",
        question="Contents compared with the papers?",
        words="The contents are not compared with the papers.",
    ),
    Check(
        key="weight",
        question="Ring weighed, and within 0.02 g of the check sheet?",
        words="The weight of the ring does not agree with the check sheet.",
    ),
    Check(key="count", question="Every stone counted?", words="The stones are not counted."),
    Check(
        key="inner",
        question="Inner box taped, with a neutral return address and the tracking number?",
        words="The inner box is not closed and labelled.",
    ),
    Check(
        key="outer",
        question="Outer box plain, filled, no trade word in either name, no printed tape?",
        words="The outer box is not plain and filled.",
    ),
    Check(
        key="value",
        question="Insured value within the policy's limit for one parcel?",
        words="The insured value is above the policy's limit.",
    ),
    Check(
        key="terms",
        question="Carrier's terms checked for this value and these contents?",
        words="The carrier's terms are not checked.",
    ),
    Check(
        key="signature",
        question="Adult signature asked for, nothing left without one?",
        words="No adult signature is asked for.",
    ),
]
"""Source: practice (carriers' and insurers' published advice differs: your policy comes first)."""

SHOTS = [
    ("contents", "The contents beside the papers"),
    ("inner", "The inner box, closed and labelled"),
    ("outer", "The outer box, closed and sealed"),
]
"""Photographs that a parcel leaves with; common practice, no source."""
