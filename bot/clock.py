"""The one seam through which the house learns what time it is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

Clock = Callable[[], datetime]


def system_clock() -> datetime:
    """Return the present moment, aware, UTC."""
    return datetime.now(UTC)


def fixed_day(day: date) -> Clock:
    """Return a clock that stands at noon UTC of `day`, for `--today` and tests."""
    moment = datetime.combine(day, time(12), UTC)
    return lambda: moment


def local(moment: datetime, tz: str) -> datetime:
    """Return `moment` in an IANA time zone; an unknown zone gives UTC."""
    try:
        return moment.astimezone(ZoneInfo(tz))
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return moment.astimezone(UTC)
