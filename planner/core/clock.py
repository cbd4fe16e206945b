"""Campaign time: whole minutes after 00:00 local on the first day.

The only module that knows about daylight saving.  A local time that occurs twice is read as
the first, one that does not occur is read with the offset before the change
(contract, conventions); both are what ``fold=0`` means in :pep:`495`.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

MINUTES_PER_HOUR = 60
MINUTES_PER_DAY = 24 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """Convert between civil time of the site and campaign minutes.

    Parameters
    ----------
    time_zone
        IANA name of the site's time zone.
    first_day, last_day
        First and last civil day of the campaign, both included.

    Raises
    ------
    ValueError
        If the last day lies before the first.
    zoneinfo.ZoneInfoNotFoundError
        If the time zone is unknown.
    """

    time_zone: str
    first_day: date
    last_day: date
    _zone: ZoneInfo = field(init=False, repr=False, compare=False)
    _epoch: datetime = field(init=False, repr=False, compare=False)
    _midnights: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.last_day < self.first_day:
            msg = f"the last day {self.last_day} lies before the first day {self.first_day}"
            raise ValueError(msg)
        zone = ZoneInfo(self.time_zone)
        epoch = datetime.combine(self.first_day, time(), zone).astimezone(UTC)
        object.__setattr__(self, "_zone", zone)
        object.__setattr__(self, "_epoch", epoch)
        count = (self.last_day - self.first_day).days + 1
        midnights = tuple(
            self.minute(datetime.combine(self.first_day + timedelta(days=k), time()))
            for k in range(count + 1)
        )
        object.__setattr__(self, "_midnights", midnights)

    @property
    def epoch_utc(self) -> datetime:
        """Return campaign minute 0 as a time in UTC."""
        return self._epoch

    @property
    def horizon_min(self) -> int:
        """Return the minute at which the last day ends [min]."""
        return self._midnights[-1]

    @property
    def days(self) -> int:
        """Return the number of civil days of the campaign [1]."""
        return len(self._midnights) - 1

    def minute(self, moment: datetime) -> int:
        """Return the campaign minute of a local (naive) or aware time, seconds cut off [min]."""
        return int(self.exact_minute(moment) // 1)

    def exact_minute(self, moment: datetime) -> float:
        """Return the campaign minute of a local (naive) or aware time, with fractions [min]."""
        aware = moment.replace(tzinfo=self._zone) if moment.tzinfo is None else moment
        return (aware.astimezone(UTC) - self._epoch).total_seconds() / 60.0

    def local(self, minute: int) -> datetime:
        """Return the civil time, with its UTC offset, of a campaign minute."""
        return (self._epoch + timedelta(minutes=minute)).astimezone(self._zone)

    def text(self, minute: int) -> str:
        """Return a campaign minute as RFC 3339 text, with its UTC offset."""
        return self.local(minute).isoformat(timespec="seconds")

    def day_start(self, day: date) -> int:
        """Return the campaign minute of 00:00 local on any civil day [min]."""
        return self.minute(datetime.combine(day, time()))

    def day_end(self, day: date) -> int:
        """Return the campaign minute at which a civil day ends [min]."""
        return self.day_start(day + timedelta(days=1))

    def day(self, minute: int) -> date:
        """Return the civil day on which a campaign minute lies."""
        if 0 <= minute < self.horizon_min:
            return self.first_day + timedelta(days=bisect_right(self._midnights, minute) - 1)
        return self.local(minute).date()

    def day_index(self, minute: int) -> int:
        """Return how many civil days after the first day a campaign minute lies [1]."""
        return (self.day(minute) - self.first_day).days

    def calendar(self) -> list[date]:
        """Return every civil day of the campaign, in order."""
        return [self.first_day + timedelta(days=k) for k in range(self.days)]

    def daily(self, day: date, *, start_tod: int, end_tod: int) -> tuple[int, int]:
        """Return the span of a daily stretch that begins on ``day`` [min].

        Parameters
        ----------
        day
            Civil day on which the stretch starts.
        start_tod, end_tod
            Local time of day of start and end [minutes after midnight]; an end at or before
            the start lies on the next day, so equal values mean a whole day.
        """
        start = self._at(day, start_tod)
        end_day = day if end_tod > start_tod else day + timedelta(days=1)
        return start, self._at(end_day, end_tod)

    def _at(self, day: date, tod_min: int) -> int:
        days, minutes = divmod(tod_min, MINUTES_PER_DAY)
        moment = time(*divmod(minutes, MINUTES_PER_HOUR))
        return self.minute(datetime.combine(day + timedelta(days=days), moment))

    def day_lengths(self) -> list[int]:
        """Return the length of each civil day; 1380 or 1500 at a clock change [min]."""
        return [b - a for a, b in pairwise(self._midnights)]
