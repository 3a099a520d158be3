"""What another library reads in the calendar file tests/golden/session.ics.

    pip install icalendar==6.3.1
    python tests/reference/make_session_calendar.py

Writes tests/reference/session_calendar.tsv: each event's uid, start and end in UTC, summary, number of
alarms, stamp, sequence.
"""

from datetime import timezone
from pathlib import Path

from icalendar import Calendar

HERE = Path(__file__).parent
HEAD = """\
# What:     events of tests/golden/session.ics as another library reads them
# Source:   icalendar 6.3.1 (PyPI)
# Obtained: python tests/reference/make_session_calendar.py
# Licence:  the project's own
uid\tstart_utc\tend_utc\tsummary\talarms\tstamp_utc\tsequence
"""


def utc(event, name):
    instant = event.decoded(name)
    assert instant.tzinfo is not None, name
    return instant.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")


def row(event):
    alarms = [part for part in event.walk() if part.name == "VALARM"]
    cells = [event["UID"], utc(event, "DTSTART"), utc(event, "DTEND"), event["SUMMARY"], len(alarms)]
    cells += [utc(event, "DTSTAMP"), event["SEQUENCE"]]
    return "\t".join(str(cell) for cell in cells)


calendar = Calendar.from_ical((HERE.parent / "golden" / "session.ics").read_bytes())
assert not calendar.errors and calendar["VERSION"] == "2.0"
rows = [row(event) for event in calendar.walk("VEVENT")]
(HERE / "session_calendar.tsv").write_text(HEAD + "\n".join(rows) + "\n")
