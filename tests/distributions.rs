//! Percent within limits, Student's t and Fisher's F a second time, each as the integral of a power of sine and cosine.
//!
//! Beta(a, b), t and F are, after the substitution x = sin^2, t = sqrt(df) tan, F = df2/df1 tan^2, areas under
//! sin^i cos^k between two angles. The areas are taken by Simpson's rule and turned round by halving the interval.

use std::f64::consts::{FRAC_PI_2, PI};

use slabtally::figure::Distribution;

pub(crate) fn value(which: Distribution, of: &[f64]) -> f64 {
    match (which, of) {
        (Distribution::WithinLimits, &[q, n]) => within_limits(q, n),
        (Distribution::Student, &[tail, df]) => student(tail, df),
        (Distribution::Fisher, &[tail, df1, df2]) => fisher(tail, df1, df2),
        _ => panic!("{which:?} of {of:?}"),
    }
}

/// With cos(u) = -Q sqrt(n) / (n - 1), the share within is the area under sin^(n-3) from 0 to u, of that from 0 to pi.
fn within_limits(q: f64, n: f64) -> f64 {
    let u = (-q * n.sqrt() / (n - 1.0)).clamp(-1.0, 1.0).acos();
    100.0 * area(0.0, u, n - 3.0, 0.0) / area(0.0, PI, n - 3.0, 0.0)
}

/// t = sqrt(df) tan(u): the share beyond is the area under cos^(df-1) from u to pi/2, of twice that from 0 to pi/2.
fn student(tail: f64, df: f64) -> f64 {
    let whole = 2.0 * area(0.0, FRAC_PI_2, 0.0, df - 1.0);
    df.sqrt() * angle(|u| area(u, FRAC_PI_2, 0.0, df - 1.0) / whole > tail).tan()
}

/// F = df2/df1 tan^2(u): the share beyond is the area under sin^(df1-1) cos^(df2-1) from u, of that from 0.
fn fisher(tail: f64, df1: f64, df2: f64) -> f64 {
    let whole = area(0.0, FRAC_PI_2, df1 - 1.0, df2 - 1.0);
    df2 / df1 * angle(|u| area(u, FRAC_PI_2, df1 - 1.0, df2 - 1.0) / whole > tail).tan().powi(2)
}

/// The angle from 0 to pi/2 at which `before` ceases to hold.
fn angle(before: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    for _ in 0..54 {
        let middle = f64::midpoint(low, high);
        if before(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Area under sin^i(u) cos^k(u), by Simpson's rule.
fn area(from: f64, to: f64, i: f64, k: f64) -> f64 {
    const PANELS: u32 = 1_000;
    let h = (to - from) / f64::from(2 * PANELS);
    let height = |j: u32| {
        let u = from + h * f64::from(j);
        u.sin().max(0.0).powf(i) * u.cos().abs().powf(k)
    };
    let inner: f64 = (1..2 * PANELS).map(|j| if j % 2 == 1 { 4.0 * height(j) } else { 2.0 * height(j) }).sum();
    (height(0) + inner + height(2 * PANELS)) * h / 3.0
}
