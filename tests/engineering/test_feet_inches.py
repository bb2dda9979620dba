"""Lengths as tradesmen write them."""

from math import inf, isfinite, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engineering.errors import OutOfRange
from engineering.feet_inches import format_feet_inches, format_inches, parse_inches

READ = {
    "12'-6 1/2\"": 150.5,
    "12 ft 6-1/2 in": 150.5,
    "12ft6in": 150,
    "12 ft. 6 in.": 150,
    "5 feet 3 inches": 63,
    '6.5"': 6.5,
    "150.5 in": 150.5,
    "12'": 144,
    "12.5'": 150,
    "12 1/2 ft": 150,
    "6 1/2": 6.5,
    "6-1/2": 6.5,
    "1/2": 0.5,
    "12'6": 150,
    "12' 6 1/2": 150.5,
    "12' - 6 1/2\"": 150.5,
    "12'-0 1/2\"": 144.5,
    "6''": 6,
    '0"': 0,
    "12′ 6½″": 150.5,
    "12’-6 ½”": 150.5,
    "6-½ in": 6.5,
    "½″": 0.5,
    "1⁄2 in": 0.5,
    "12\N{NO-BREAK SPACE}ft": 144,
    "-12'-6 1/2\"": -150.5,
    '−6 1/2"': -6.5,
}
REFUSED = [
    *("12", "0", "6.5", "12 6", "12-6", "12-6 1/2", "12 6 1/2"),  # no mark: feet or inches?
    *("12'-13\"", "12'-12\"", "12.5' 6\"", "12 1/2' 6\""),  # the inches do not fit the feet
    *('1/0"', '5/4"', '61/2"', '6 5/4"', "1½½″"),  # no fraction below 1
    *("12'--6\"", "--6\"", "+6\"", "- 6\"", "12' -6 -1/2"),  # whose sign?
    *("6\" 12'", "6'6'", "12''6'", "12'-6'", "12'\"", '6""', "6 in 1/2", "12 3'"),
    *("", "   ", "abc", "12,5\"", "1e3 in", "nan in", "inf", "²″", "٣ in", "6 1 / 2\"", "9" * 60 + '"'),
]  # fmt: skip


@pytest.mark.parametrize(("text", "inches"), READ.items(), ids=repr)
def test_reads_what_tradesmen_write(text, inches):
    assert parse_inches(text) == inches


@pytest.mark.parametrize("text", REFUSED, ids=repr)
def test_refuses_what_can_be_read_two_ways(text):
    with pytest.raises(OutOfRange) as problem:
        parse_inches(text)
    assert (problem.value.field, problem.value.value) == ("length", text)
    assert "feet and inches with their marks" in problem.value.allowed


def test_refuses_what_is_not_text():
    with pytest.raises(OutOfRange, match="length"):
        parse_inches(6)


@pytest.mark.parametrize(
    ("inches", "feet_text", "inch_text"),
    [
        (150.5, "12'-6 1/2\"", '150 1/2"'),
        (0.75, "0'-3/4\"", '3/4"'),
        (144, "12'-0\"", '144"'),
        (0, "0'-0\"", '0"'),
        (11.99, "1'-0\"", '12"'),
        (1 / 32, "0'-1/16\"", '1/16"'),
        (-6.5, "-0'-6 1/2\"", '-6 1/2"'),
        (-0.01, "0'-0\"", '0"'),
    ],
)
def test_writes_to_the_nearest_sixteenth(inches, feet_text, inch_text):
    assert (format_feet_inches(inches), format_inches(inches)) == (feet_text, inch_text)


@pytest.mark.parametrize("length", [nan, inf])
def test_refuses_to_write_what_is_no_length(length):
    with pytest.raises(OutOfRange, match="length"):
        format_inches(length)


@given(st.integers(-200_000, 200_000))
def test_a_written_length_reads_back_as_itself(sixteenths):
    assert parse_inches(format_feet_inches(sixteenths / 16)) == sixteenths / 16
    assert parse_inches(format_inches(sixteenths / 16)) == sixteenths / 16


@given(st.floats(-1e5, 1e5))
def test_writing_moves_a_length_by_a_thirty_second_at_most(inches):
    assert abs(parse_inches(format_feet_inches(inches)) - inches) <= 1 / 32


@given(st.text(alphabet="0123456789 '\"-./½ftin", max_size=12))
def test_any_text_is_a_length_or_refused(text):
    try:
        inches = parse_inches(text)
    except OutOfRange:
        return
    assert isfinite(inches)
