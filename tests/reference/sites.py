"""Places for the outside figures: invented names on round coordinates, from -55 to +68 degrees and both poles."""

# name, latitude_deg, longitude_deg (east), elevation_m
SITES = [
    ("South Spit", -54.8, -66.4, 12.0),
    ("Long Strand", -41.3, 174.2, 30.0),
    ("Dry Terrace", -30.25, -70.6, 1900.0),
    ("Evening Reef", -16.8, 179.95, 3.0),
    ("Palm Steps", -8.35, 115.1, 60.0),
    ("Middle Yard", 0.15, -78.4, 2850.0),
    ("Lantern Roof", 19.1, 99.0, 310.0),
    ("Old Mill", 40.35, -3.8, 650.0),
    ("Canal House", 52.3, 4.9, 0.0),
    ("North Quay", 68.2, 17.5, 20.0),
]
POLES = [("Top of the Axis", 90.0, 0.0, 0.0), ("Foot of the Axis", -90.0, 0.0, 2800.0)]
