"""Smith periods and the Hutton criteria on the seven days of checks-diseases 2.

Sources: Smith 1956 as on the page of a national potato warning service (read); Hutton criteria,
summary of project 11120018, 2017 (read); the variant with 10 and 11 hours on a vendor's manual
(read, not the default). The days are constructed.
"""

from lattermath.science.late_blight_days import hutton_days, smith_days

T_MIN = [11.2, 10.0, 9.9, 12.0, 12.0, 13.0, 10.5]
HOURS = [12, 11, 14, 11, 10, 11, 11]


def test_smith() -> None:
    assert smith_days(T_MIN, HOURS) == [
        "half",
        "full",
        "none",
        "half",
        "near-miss",
        "near-miss",
        "full",
    ]


def test_the_variant_explains_disagreements() -> None:
    assert smith_days(T_MIN, HOURS, ten_then_eleven=True)[5] == "full"


def test_hutton() -> None:
    assert hutton_days(T_MIN, HOURS) == ["none", "met", "none", "none", "met", "met", "met"]
