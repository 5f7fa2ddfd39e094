"""
A bank statement of the form camt.053.001.08, valid by the schema that ISO 20022 publishes (as it comes inside
the package camt053), read by us.
"""

import datetime
from importlib.metadata import distribution

import pytest
from lxml import etree

from commissions.money.statements import read_camt

SAMPLE = b"""<?xml version="1.0" encoding="UTF-8"?>
<Document xmlns="urn:iso:std:iso:20022:tech:xsd:camt.053.001.08"><BkToCstmrStmt>
<GrpHdr><MsgId>M-1</MsgId><CreDtTm>2026-09-03T06:00:00Z</CreDtTm></GrpHdr>
<Stmt><Id>S-1</Id><ElctrncSeqNb>1</ElctrncSeqNb><CreDtTm>2026-09-03T06:00:00Z</CreDtTm>
<Acct><Id><IBAN>GB33BUKB20201555555555</IBAN></Id><Ccy>GBP</Ccy></Acct>
<Bal><Tp><CdOrPrtry><Cd>OPBD</Cd></CdOrPrtry></Tp><Amt Ccy="GBP">0.00</Amt><CdtDbtInd>CRDT</CdtDbtInd><Dt>
<Dt>2026-09-02</Dt></Dt></Bal>
<Bal><Tp><CdOrPrtry><Cd>CLBD</Cd></CdOrPrtry></Tp><Amt Ccy="GBP">1984.36</Amt><CdtDbtInd>CRDT</CdtDbtInd><Dt>
<Dt>2026-09-02</Dt></Dt></Bal>
<Ntry><Amt Ccy="GBP">1794.36</Amt><CdtDbtInd>CRDT</CdtDbtInd><Sts><Cd>BOOK</Cd></Sts><BookgDt><Dt>2026-09-02</Dt>
</BookgDt><AcctSvcrRef>BR-77</AcctSvcrRef><BkTxCd><Prtry><Cd>IN</Cd></Prtry></BkTxCd>
<NtryDtls><TxDtls><Refs><EndToEndId>NOTPROVIDED</EndToEndId></Refs><RltdPties><Dbtr><Pty><Nm>T Mulvennon</Nm></Pty>
</Dbtr></RltdPties><RmtInf><Ustrd>Ring T5C-6JP first part</Ustrd></RmtInf></TxDtls></NtryDtls></Ntry>
<Ntry><Amt Ccy="GBP">200.00</Amt><CdtDbtInd>CRDT</CdtDbtInd><Sts><Cd>BOOK</Cd></Sts><BookgDt><Dt>2026-09-02</Dt>
</BookgDt><AcctSvcrRef>BR-78</AcctSvcrRef><BkTxCd><Prtry><Cd>IN</Cd></Prtry></BkTxCd>
<NtryDtls><TxDtls><Refs><EndToEndId>ONE</EndToEndId></Refs><Amt Ccy="GBP">120.00</Amt><CdtDbtInd>CRDT</CdtDbtInd>
</TxDtls><TxDtls><Refs><EndToEndId>TWO</EndToEndId></Refs><Amt Ccy="GBP">80.00</Amt><CdtDbtInd>CRDT</CdtDbtInd>
</TxDtls></NtryDtls></Ntry>
<Ntry><Amt Ccy="GBP">10.00</Amt><CdtDbtInd>DBIT</CdtDbtInd><Sts><Cd>BOOK</Cd></Sts><BookgDt><Dt>2026-09-02</Dt>
</BookgDt><AcctSvcrRef>BR-79</AcctSvcrRef><BkTxCd><Prtry><Cd>FEE</Cd></Prtry></BkTxCd>
<AddtlNtryInf>Account fee</AddtlNtryInf></Ntry>
<Ntry><Amt Ccy="GBP">99.00</Amt><CdtDbtInd>CRDT</CdtDbtInd><Sts><Cd>PDNG</Cd></Sts><BookgDt><Dt>2026-09-02</Dt>
</BookgDt><BkTxCd><Prtry><Cd>IN</Cd></Prtry></BkTxCd></Ntry>
</Stmt></BkToCstmrStmt></Document>
"""


@pytest.fixture(scope="module")
def schema():
    path = distribution("camt053").locate_file("camt053/templates/camt.053.001.08/camt.053.001.08.xsd")
    return etree.XMLSchema(etree.fromstring(path.read_bytes()))


def test_the_sample_is_valid_by_the_published_schema(schema):
    schema.assertValid(etree.fromstring(SAMPLE))


def test_the_schema_refuses_what_is_not_a_statement(schema):
    broken = SAMPLE.replace(b"<CdtDbtInd>DBIT</CdtDbtInd>", b"<CdtDbtInd>BOTH</CdtDbtInd>")
    assert not schema.validate(etree.fromstring(broken))


def test_booked_entries_are_read_and_pending_ones_are_not():
    rows = read_camt(content=SAMPLE)
    assert [(row.minor, row.currency, row.reference, row.counterpart) for row in rows] == [
        (179436, "GBP", "Ring T5C-6JP first part", "T Mulvennon"),
        (12000, "GBP", "ONE", ""),
        (8000, "GBP", "TWO", ""),
        (-1000, "GBP", "Account fee", ""),
    ]
    assert {row.on for row in rows} == {datetime.date(2026, 9, 2)}
    assert len({row.key for row in rows}) == 4
    assert [row.key for row in read_camt(content=SAMPLE)] == [row.key for row in rows]


@pytest.mark.parametrize("version", ["02", "04", "08", "13"])
def test_other_versions_of_the_form_are_read(version):
    content = SAMPLE.replace(b"camt.053.001.08", f"camt.053.001.{version}".encode())
    if version == "02":
        content = content.replace(b"<Sts><Cd>BOOK</Cd></Sts>", b"<Sts>BOOK</Sts>").replace(
            b"<Dbtr><Pty><Nm>T Mulvennon</Nm></Pty></Dbtr>", b"<Dbtr><Nm>T Mulvennon</Nm></Dbtr>"
        )
    assert [row.minor for row in read_camt(content=content)] == [179436, 12000, 8000, -1000]
