"""
Words that would give a surprise away.

Common practice, no source: the list was made by us from the trade's vocabulary, English and German.
It errs on the side of holding a letter back, since somebody looks at it then.
"""

from __future__ import annotations

import re

# The thing, its stones and metals.
_THING = """
    ring rings band bands halo solitaire jewel* gold golden goldsmith* platinum palladium silver rhodium
    alloy* diamond* sapphire* ruby rubies emerald* gem gems gemstone* stone stones carat* karat* ct melee
    moissanite* pearl* hallmark*
"""
# How it is made.
_MAKING = """
    bench casting* mount mounted mounting setter setting claw claws prong* bezel* engrav* polish* finger
    fingers workshop*
"""
# The occasion.
_OCCASION = """
    engage* propos* wedding* marry marri* fianc* anniversar* bride* groom* surprise* gift* birthday* love
"""
# Money.
_MONEY = """
    price* quotation* quote* invoice* deposit* instalment* installment* pay paid payment* cost costs
    balance refund* valuation* insur*
"""
# The same in German.
_GERMAN = """
    ringe ringes trauring* verlobung* verlob* hochzeit* heirat* antrag schmuck* juwel* goldschmied* platin
    silber* diamant* brillant* saphir* rubin* smaragd* edelstein* stein steine steinen fassung* gravur*
    finger* werkstatt* überrasch* geschenk* jahrestag* liebe preis* angebot* rechnung* anzahlung* zahlung*
    bezahl* kosten
"""
FORBIDDEN = " ".join([_THING, _MAKING, _OCCASION, _MONEY, _GERMAN]).split()
"""Forbidden words; an asterisk stands for any ending."""

_WORDS = re.compile(
    r"(?<![^\W_])(?:"
    + "|".join(
        re.escape(word.rstrip("*")) + (r"[^\W\d_]*" if word.endswith("*") else "") for word in FORBIDDEN
    )
    + r")(?![^\W_])",
    re.IGNORECASE,
)
_CODES = "GBP|EUR|USD|CHF|CAD|AUD|JPY"
_SUM = re.compile(rf"[£$€¥]\s?\d|\d\s?[£$€¥]|\b(?:{_CODES})\s?\d|\d\s?(?:{_CODES})\b")
_NAME_IN_ADDRESS = re.compile(
    r"[\w.+-]*(?:jewel|goldsmith|diamond|engage|wedding|platinum|rings?(?=[\d.@-])|schmuck|juwel)"
    r"[\w.+-]*[@.][\w.-]+",
    re.IGNORECASE,
)
_TAG = re.compile(r"<[^>]*>")
_ADDRESS_IN_TAG = re.compile(r"(?:href|src)=\"([^\"]*)\"", re.IGNORECASE)


def discreet_words(text: str) -> list[str]:
    """
    Words, sums and telling addresses in *text* that must not stand in a discreet letter, each once.

    HTML is read as the reader sees it: tags are no words, the addresses that they lead to are. A word inside
    another (string, during) does not count; a web or mail address does (``brackwater-rings.example``).

    >>> discreet_words("During spring we string things together.")
    []
    >>> discreet_words("Your ring: GBP 6,127.20 is due.")
    ['ring', 'GBP 6']
    """
    seen = " ".join(_ADDRESS_IN_TAG.findall(text)) + " " + _TAG.sub(" ", text)
    patterns = (_WORDS, _SUM, _NAME_IN_ADDRESS)
    return list(dict.fromkeys(match.group(0) for pattern in patterns for match in pattern.finditer(seen)))
