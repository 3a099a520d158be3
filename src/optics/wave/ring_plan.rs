//! Rings that fade into each other over a raster of lags.

/// Which lag counts for which rings.
pub(super) struct RingPlan {
    /// By lag in `y`, then in `x`, as far as the cutoff.
    pub lines: Vec<Vec<Place>>,
    /// Of every ring, from 0 to one beyond the cutoff.
    pub shares: Vec<RingShare>,
}

/// Where a lag of the quarter plane lies, between two whole radii.
pub(super) struct Place {
    pub inner: u16,
    /// Lines of the whole plane that this one stands for: the half below is its mirror image.
    pub weight: f32,
    /// The part of the weight that goes to the outer radius.
    pub outward: f32,
}

/// What a ring gathers.
#[derive(Clone, Copy, Default)]
pub(super) struct RingShare {
    /// Lags in it, in all.
    pub weight: f64,
    /// Their mean radius, close to the ring's number.
    pub radius: f64,
}

impl RingPlan {
    pub(super) fn new(samples: usize) -> RingPlan {
        let mut shares = vec![RingShare::default(); samples + 2];
        let mut line = |y: usize| {
            let weight = if y == 0 { 1.0 } else { 2.0 };
            let mut places = Vec::with_capacity(samples + 1);
            for x in 0..=samples {
                let radius = ((x * x + y * y) as f64).sqrt();
                let inner = radius as usize;
                if inner > samples {
                    break;
                }
                let place = Place {
                    inner: u16::try_from(inner).expect("no raster is that wide"),
                    weight,
                    outward: weight * (radius - inner as f64) as f32,
                };
                let lags = if x == 0 { 1.0 } else { 2.0 };
                for (ring, part) in [(inner, weight - place.outward), (inner + 1, place.outward)] {
                    shares[ring].weight += lags * f64::from(part);
                    shares[ring].radius += lags * f64::from(part) * radius;
                }
                places.push(place);
            }
            places
        };
        let lines = (0..=samples).map(&mut line).collect();
        for share in &mut shares {
            share.radius /= share.weight;
        }
        RingPlan { lines, shares }
    }
}
