"""Sources of the house-level rules by code family. Not their values."""

from __future__ import annotations

from functools import cache
from typing import Final

from engineering.inputs import CodeFamily
from engineering.sources import Source

# Where the ASCE 7-16 provisions were read: public permit records and a code page that reproduce them.
BASE_SHEAR_READ: Final = "https://lfportal.everettwa.gov/WebLink/0/doc/1926471/Page50.aspx"
REDUNDANCY_READ: Final = "https://publicdocs.santa-ana.org/BuildingWeblink/0/doc/370584/Page135.aspx"
DISTRIBUTION_READ: Final = "https://publicdocs.santa-ana.org/BuildingWeblink/0/doc/548648/Page109.aspx"
CAP_READ: Final = "http://lacounty-ca.elaws.us/code/coor_title26_ch_sec1613.7.4"
SEISMIC_WEIGHT_READ: Final = "https://iisee.kenken.go.jp/net/seismic_design_code/usa/usa.html"
STATICS: Final = Source("Statics", "", "", "common practice")
LIGHT_FRAME_ANCHORS: Final = Source("IBC", "2021", "1905.1.8 exception 1")
TOENAIL_LIMIT: Final = Source("AWC SDPWS", "2021", "4.1.7")
UNIT_SHEAR: Final = Source("AWC SDPWS", "2021", "4.3.2")
ASPECT_RATIO: Final = Source("AWC SDPWS", "2021", "4.3.3")
BEARING: Final = Source("AWC NDS", "2018", "3.10.2")


@cache
def asce(family: CodeFamily, clause: str, read: str = "from memory") -> Source:
    """The ASCE 7 edition of the family; `read` is where the 7-16 text was read, the 7-22 text is from memory."""
    return Source("ASCE", "7-16", clause, read) if family == "2021" else Source("ASCE", "7-22", clause)


@cache
def convention(number: int, subject: str) -> Source:
    """One of the conventions where two engineers could differ, as printed on the sheets."""
    return Source("Convention", str(number), subject, "common practice")
