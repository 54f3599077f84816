"""Times of the invented consoles, as numbers and as the reading shows them."""

from datetime import datetime, timedelta

EPOCH = datetime(2000, 1, 1)
NOT_SET_BELOW = 0x01000000
ABSENT = 0xFFFFFFFF


def number(when):
    """Seconds since 2000 for `2016-05-02 07:41:10`; a number stays; None is absent."""
    if when is None:
        return ABSENT
    if isinstance(when, int):
        assert 0 <= when < NOT_SET_BELOW
        return when
    n = int((datetime.strptime(when, "%Y-%m-%d %H:%M:%S") - EPOCH).total_seconds())
    assert NOT_SET_BELOW <= n < ABSENT
    return n


def fields(n):
    """The four time fields of a reading for a counted time."""
    if n == ABSENT:
        return {"time_utc": None, "time_local": None, "time_rel_s": None, "clock": "absent"}
    if n < NOT_SET_BELOW:
        return {"time_utc": None, "time_local": None, "time_rel_s": n, "clock": "not set"}
    utc = (EPOCH + timedelta(seconds=n)).strftime("%Y-%m-%dT%H:%M:%SZ")
    return {"time_utc": utc, "time_local": None, "time_rel_s": None, "clock": "set"}
