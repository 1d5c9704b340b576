"""`last July`, said in August: this year's July, or that of the year before where nothing stands in this one."""

from __future__ import annotations

import re
from calendar import monthrange

LAST_MONTH = re.compile(
    r"\blast (?:january|february|march|april|may|june|july|august|september|october|november|december"
    r"|jan|feb|mar|apr|jun|jul|aug|sept?|oct|nov|dec)\b"
)


def a_year_earlier(request):
    """The request with its `last MONTH` a year earlier; None where it tells of no such month."""
    period = request.period
    if period is None or not LAST_MONTH.search(period.said.casefold()):
        return None
    year = period.start.year - 1
    end = period.end.replace(day=1).replace(year=year, day=monthrange(year, period.end.month)[1])
    return request._replace(period=period._replace(start=period.start.replace(year=year), end=end, said=""))
