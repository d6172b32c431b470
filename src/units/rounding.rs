//! Rounding is never implicit: a step, a mode and nothing else.
//!
//! Modes follow what agencies print: half up (away from zero, as money and most manuals do), half to even (ASTM E29),
//! up, down. `"0.01 half up"` is how a rule set or a contract writes it.

use std::fmt;
use std::str::FromStr;

use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};

/// What happens to the part below the step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mode {
    /// An exact half goes away from zero.
    HalfUp,
    /// An exact half goes to the even neighbour (ASTM E29, section 6.4).
    HalfEven,
    /// Always away from zero.
    Up,
    /// Always toward zero.
    Down,
}

impl Mode {
    const WORDS: [(Mode, &'static str); 4] =
        [(Mode::HalfUp, "half up"), (Mode::HalfEven, "half even"), (Mode::Up, "up"), (Mode::Down, "down")];

    /// The mode in words.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(m, _)| *m == self).map_or("", |(_, w)| w)
    }
}

/// Round to a multiple of `to`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Rounding {
    to: Decimal,
    mode: Mode,
}

impl Rounding {
    /// A rounding to multiples of `to`, which must be positive.
    ///
    /// # Errors
    /// When `to` is zero or negative.
    pub fn new(to: Decimal, mode: Mode) -> Result<Self, String> {
        if to > Decimal::ZERO {
            Ok(Self { to: to.normalize(), mode })
        } else {
            Err(format!("a rounding step must be above zero (found {to})"))
        }
    }

    /// To so many decimals, half up: how a value is rounded that is only shown, in a unit with its usual decimals.
    #[must_use]
    pub fn to_decimals(decimals: u8) -> Self {
        Self { to: Decimal::new(1, u32::from(decimals.min(12))), mode: Mode::HalfUp }
    }

    /// The step.
    #[must_use]
    pub fn to(self) -> Decimal {
        self.to
    }

    /// The mode.
    #[must_use]
    pub fn mode(self) -> Mode {
        self.mode
    }

    /// Decimals needed to write a multiple of the step.
    #[must_use]
    pub fn decimals(self) -> u8 {
        u8::try_from(self.to.scale()).unwrap_or(u8::MAX)
    }

    /// `value` rounded; `None` only where the arithmetic overflows.
    ///
    /// ```
    /// use rust_decimal::dec;
    /// use slabtally::units::Rounding;
    /// let cent: Rounding = "0.01 half up".parse().unwrap();
    /// assert_eq!(cent.apply(dec!(-2.675)), Some(dec!(-2.68)));
    /// let e29: Rounding = "0.1 half even".parse().unwrap();
    /// assert_eq!(e29.apply(dec!(4.65)), Some(dec!(4.6)));
    /// ```
    #[must_use]
    pub fn apply(self, value: Decimal) -> Option<Decimal> {
        let strategy = match self.mode {
            Mode::HalfUp => RoundingStrategy::MidpointAwayFromZero,
            Mode::HalfEven => RoundingStrategy::MidpointNearestEven,
            Mode::Up => RoundingStrategy::AwayFromZero,
            Mode::Down => RoundingStrategy::ToZero,
        };
        let steps = value.checked_div(self.to)?.round_dp_with_strategy(0, strategy);
        let mut rounded = steps.checked_mul(self.to)?;
        rounded.rescale(self.to.scale());
        Some(rounded)
    }
}

impl fmt::Display for Rounding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.to, self.mode.word())
    }
}

impl FromStr for Rounding {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let expected = || {
            format!(
                "'{text}' is not a rounding (write a step and a mode, such as '0.01 half up'; modes: half up, half even, up, down)"
            )
        };
        let (step, word) = text.trim().split_once(char::is_whitespace).ok_or_else(expected)?;
        let mode = Mode::WORDS.iter().find(|(_, w)| *w == word.trim()).ok_or_else(expected)?.0;
        Self::new(step.parse().map_err(|_| expected())?, mode)
    }
}

impl From<Rounding> for String {
    fn from(rounding: Rounding) -> Self {
        rounding.to_string()
    }
}

impl TryFrom<String> for Rounding {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn modes_differ_only_below_the_step() {
        let round = |rule: &str, v| rule.parse::<Rounding>().unwrap().apply(v).unwrap();
        // M51: the digit before an exact 5 stays if even and goes up if odd.
        assert_eq!(round("0.1 half even", dec!(4.75)), dec!(4.8));
        assert_eq!(round("0.1 half up", dec!(4.65)), dec!(4.7));
        assert_eq!(round("10 half up", dec!(2895.2)), dec!(2900));
        assert_eq!(round("0.5 down", dec!(-1.9)), dec!(-1.5));
        assert_eq!(round("0.01 up", dec!(0.001)), dec!(0.01));
    }

    #[test]
    fn a_step_of_zero_is_refused() {
        assert!("0 half up".parse::<Rounding>().is_err());
        assert!("0.01 bankers".parse::<Rounding>().is_err());
    }
}
