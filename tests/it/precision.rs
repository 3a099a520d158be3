//! astro-float as the judge: how many digits our f64 closed forms keep.
//!
//! Each room's closed forms that cancel strongly or span long stretches of time are recomputed
//! here with at least 128 bits, in their plain textbook form, from the very same f64 inputs. What
//! is asserted is the number of decimal digits that the fast path keeps.

mod optics;

use astro_float::{BigFloat, Consts, Radix, RoundingMode};

/// Bits: 77 decimal digits, enough for any cancellation here but the Zernike sums.
const BITS: usize = 256;

const ROUND: RoundingMode = RoundingMode::ToEven;

/// A number with a fixed number of bits and the plain operators of arithmetic.
#[derive(Debug, Clone)]
struct Exact {
    value: BigFloat,
    bits: usize,
}

impl Exact {
    /// The f64 as it is, not the decimal number it was written as.
    fn of(value: f64) -> Exact {
        Exact::with_bits(value, BITS)
    }

    fn with_bits(value: f64, bits: usize) -> Exact {
        let value = BigFloat::from_f64(value, bits);
        Exact { value, bits }
    }

    fn same(&self, value: BigFloat) -> Exact {
        let bits = self.bits;
        Exact { value, bits }
    }

    fn plus(&self, other: &Exact) -> Exact {
        self.same(self.value.add(&other.value, self.bits, ROUND))
    }

    fn minus(&self, other: &Exact) -> Exact {
        self.same(self.value.sub(&other.value, self.bits, ROUND))
    }

    fn times(&self, other: &Exact) -> Exact {
        self.same(self.value.mul(&other.value, self.bits, ROUND))
    }

    fn over(&self, other: &Exact) -> Exact {
        self.same(self.value.div(&other.value, self.bits, ROUND))
    }

    fn root(&self) -> Exact {
        self.same(self.value.sqrt(self.bits, ROUND))
    }

    fn squared(&self) -> Exact {
        self.times(self)
    }

    /// The nearest f64, by way of decimal digits.
    fn to_f64(&self) -> f64 {
        let mut constants = Consts::new().expect("room for the constants");
        let digits = self.value.format(Radix::Dec, ROUND, &mut constants);
        digits.expect("digits").parse().expect("a finite number")
    }
}

/// Error of `got` as a share of the exact value.
fn relative_error(got: f64, exact: &Exact) -> f64 {
    let miss = Exact::with_bits(got, exact.bits).minus(exact);
    miss.over(exact).to_f64().abs()
}

/// Asserts that `got` keeps that many decimal digits of the exact value.
#[track_caller]
fn keeps(digits: f64, what: &str, got: f64, exact: &Exact) {
    let error = relative_error(got, exact);
    assert!(
        error <= 10f64.powf(-digits),
        "{what}: {got} keeps {:.1} digits, {digits} promised",
        -error.log10()
    );
}

/// The judge itself, against a value computed apart from this project (256 bits): r = 100,
/// R = 2400, paraboloid less sphere.
#[test]
fn the_judge_agrees_with_a_second_judge() {
    let sphere = optics::sagitta(100.0, 2400.0, 0.0);
    let apart = optics::sagitta(100.0, 2400.0, -1.0).minus(&sphere);
    assert_eq!(apart.to_f64(), -9.050103068958679e-4);
}
