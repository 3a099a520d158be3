"""Write data/leap_seconds.tsv from the IERS list that astropy-iers-data carries; check it against ERFA.

    python -m pip install -r data/build/requirements.txt
    python data/build/leap_seconds.py
"""

import pathlib
import re

import astropy_iers_data
import erfa

OUT = pathlib.Path(__file__).resolve().parents[1] / "leap_seconds.tsv"

HEAD = """\
# What:       TAI minus UTC, whole seconds, from 0h UTC of each date until the next. TT = TAI + 32.184 s.
# Source:     IERS Earth Orientation Centre, leap second list after {bulletin}, valid to {expires}.
# Obtained:   written by data/build/leap_seconds.py from astropy-iers-data 0.2026.11.2.0.34.55.
# Licence:    facts published by the IERS for free use.
# Checked by: the script, against dat of ERFA 2.0.1 (pyerfa 2.0.1.5); the time-scale tests of src/sky.
"""


def main():
    text = pathlib.Path(astropy_iers_data.IERS_LEAP_SECOND_FILE).read_text()
    bulletin = re.search(r"(Bulletin) (\d+ issued in \w+ \d+)", text)
    expires = re.search(r"expires on ([^\n]+)", text).group(1).strip()
    rows = []
    for line in text.splitlines():
        if line.strip() and not line.startswith("#"):
            _, day, month, year, seconds = line.split()
            assert erfa.dat(int(year), int(month), int(day), 0.0) == float(seconds), line
            rows.append(f"{int(year):04}-{int(month):02}-{int(day):02}\t{seconds}")
    assert rows[0] == "1972-01-01\t10" and rows[-1] == "2017-01-01\t37" and len(rows) == 28
    head = HEAD.format(bulletin=f"Bulletin C {bulletin.group(2)}", expires=expires)
    OUT.write_text(head + "\n".join(["date_utc\ttai_minus_utc_s", *rows]) + "\n")
    print(len(rows), "rows")


if __name__ == "__main__":
    main()
