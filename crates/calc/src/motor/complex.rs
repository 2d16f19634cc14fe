//! Complex numbers, as far as the equivalent circuit needs them.

use std::ops::{Add, Div, Mul, Sub};

#[derive(Clone, Copy, Debug)]
pub(super) struct Complex {
    pub(super) re: f64,
    pub(super) im: f64,
}

pub(super) const fn complex(re: f64, im: f64) -> Complex {
    Complex { re, im }
}

impl Complex {
    pub(super) fn squared_magnitude(self) -> f64 {
        self.re * self.re + self.im * self.im
    }

    pub(super) fn magnitude(self) -> f64 {
        self.re.hypot(self.im)
    }

    pub(super) fn conjugate(self) -> Self {
        complex(self.re, -self.im)
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        complex(self.re + other.re, self.im + other.im)
    }
}

impl Sub for Complex {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        complex(self.re - other.re, self.im - other.im)
    }
}

impl Mul for Complex {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        complex(self.re * other.re - self.im * other.im, self.re * other.im + self.im * other.re)
    }
}

impl Mul<f64> for Complex {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        complex(self.re * factor, self.im * factor)
    }
}

impl Div for Complex {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        self * other.conjugate() * (1.0 / other.squared_magnitude())
    }
}
