//! Three-vectors and rotations as plain arrays: the few lines every file of this room needs.

/// Cartesian vector.
pub type Vec3 = [f64; 3];

/// Rotation matrix, by rows.
pub type Mat3 = [[f64; 3]; 3];

/// `a + b`.
pub fn sum(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// `a - b`.
pub fn difference(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `factor * a`.
pub fn scaled(a: Vec3, factor: f64) -> Vec3 {
    [a[0] * factor, a[1] * factor, a[2] * factor]
}

/// Scalar product.
pub fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Vector product.
pub fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// Length.
pub fn length(a: Vec3) -> f64 {
    dot(a, a).sqrt()
}

/// Unit vector along `a`, which must not be zero.
pub fn unit(a: Vec3) -> Vec3 {
    scaled(a, 1.0 / length(a))
}

/// Angle between two directions, radians, accurate at all angles (no arc cosine near 1).
pub fn angle_rad(a: Vec3, b: Vec3) -> f64 {
    length(cross(a, b)).atan2(dot(a, b))
}

/// `matrix * a`.
pub fn rotated(matrix: &Mat3, a: Vec3) -> Vec3 {
    [dot(matrix[0], a), dot(matrix[1], a), dot(matrix[2], a)]
}

/// `transpose(matrix) * a`: the rotation undone.
pub fn unrotated(matrix: &Mat3, a: Vec3) -> Vec3 {
    sum(
        sum(scaled(matrix[0], a[0]), scaled(matrix[1], a[1])),
        scaled(matrix[2], a[2]),
    )
}

/// The axes turned by `angle_rad` about the third one: what a longitude loses when its origin
/// moves east by that angle.
pub fn turned_about_z(a: Vec3, angle_rad: f64) -> Vec3 {
    let (sin, cos) = angle_rad.sin_cos();
    [cos * a[0] + sin * a[1], cos * a[1] - sin * a[0], a[2]]
}

/// Longitude in `[0, 360)` and latitude of a direction, degrees.
pub fn longitude_latitude_deg(a: Vec3) -> (f64, f64) {
    let longitude_deg = crate::units::wrap_360_deg(a[1].atan2(a[0]).to_degrees());
    (longitude_deg, a[2].atan2(a[0].hypot(a[1])).to_degrees())
}

/// Unit vector of a longitude and latitude, degrees.
pub fn direction(longitude_deg: f64, latitude_deg: f64) -> Vec3 {
    let (sin_lon, cos_lon) = longitude_deg.to_radians().sin_cos();
    let (sin_lat, cos_lat) = latitude_deg.to_radians().sin_cos();
    [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]
}

/// Position angle at `from` of the direction `toward`, from north through east, `[0, 360)` degrees.
/// Both in a frame whose third axis is celestial north.
pub fn position_angle_deg(from: Vec3, toward: Vec3) -> f64 {
    let from = unit(from);
    let east = [-from[1], from[0], 0.0];
    let north = cross(from, east);
    crate::units::wrap_360_deg(dot(toward, east).atan2(dot(toward, north)).to_degrees())
}
