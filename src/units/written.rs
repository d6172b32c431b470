//! Numbers between the machine and the reader: binary to decimal, thousands marked, decimals fixed, minus in front.

use rust_decimal::prelude::FromPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

/// `value` with `decimals` decimals and commas every three digits. The last digit is rounded half away from zero *for
/// showing only*; a figure that pays is rounded before it gets here.
///
/// ```
/// use rust_decimal::dec;
/// use slabtally::units::written;
/// assert_eq!(written(dec!(-21480.649), 1), "-21,480.6");
/// assert_eq!(written(dec!(-0.004), 2), "0.00");
/// ```
#[must_use]
pub fn written(value: Decimal, decimals: u8) -> String {
    let places = u32::from(decimals);
    let mut rounded = value.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
    rounded.rescale(places);
    if rounded.is_zero() {
        rounded.set_sign_positive(true);
    }
    thousands(&rounded.to_string())
}

/// Decimals after which a number that was converted from another unit is not written on.
const FAR: u32 = 6;

/// `value` with the digits it has, to six decimals, trailing zeros dropped, thousands marked.
#[must_use]
pub fn plain(value: Decimal) -> String {
    let value = value.round_dp_with_strategy(FAR, RoundingStrategy::MidpointAwayFromZero);
    thousands(&value.normalize().to_string())
}

/// A floating number to 15 significant digits; `None` if it is not finite or too large for a decimal.
#[must_use]
pub fn decimal_of(real: f64) -> Option<Decimal> {
    if !real.is_finite() {
        return None;
    }
    Decimal::from_scientific(&format!("{real:.14e}")).ok().or_else(|| Decimal::from_f64(real)).map(|d| d.normalize())
}

/// Commas into the whole part of a plain decimal number.
#[must_use]
pub fn thousands(number: &str) -> String {
    let (sign, digits) = number.strip_prefix('-').map_or(("", number), |rest| ("-", rest));
    let (whole, rest) = digits.find('.').map_or((digits, ""), |dot| digits.split_at(dot));
    let mut out = String::with_capacity(number.len() + number.len() / 3);
    out.push_str(sign);
    for (i, c) in whole.chars().enumerate() {
        if i > 0 && (whole.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out.push_str(rest);
    out
}
