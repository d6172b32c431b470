//! Numbers of invoice lines in words, with what they are measured in.

use chrono::NaiveTime;
use rust_decimal::Decimal;

use crate::contract::Contract;
use crate::intake::Billed;
use crate::units::{plain, written};

/// Writes amounts in the contract's currency and volumes in its unit.
#[derive(Clone, Copy)]
pub(super) struct Words<'c>(pub &'c Contract);

/// Decimals that money has at least.
const CENTS: u32 = 2;

impl Words<'_> {
    /// `$118.50`, `-$32.00`; a price of a tenth of a cent keeps it.
    pub(super) fn money(self, amount: Decimal) -> String {
        let decimals = u8::try_from(amount.normalize().scale().max(CENTS)).unwrap_or(u8::MAX);
        let sign = if amount < Decimal::ZERO { "-" } else { "" };
        format!("{sign}{}{}", self.0.currency, written(amount.abs(), decimals))
    }

    /// `8.5 yd3`.
    pub(super) fn volume(self, volume: Decimal) -> String {
        format!("{} {}", plain(volume), self.0.system.volume())
    }

    /// `$27.00 more`, `$2.50 less`.
    pub(super) fn difference(self, found: Decimal, expected: Decimal) -> String {
        let more = if found > expected { "more" } else { "less" };
        format!("{} {more}", self.money((found - expected).abs()))
    }
}

/// `22 min`.
pub(super) fn minutes(minutes: Decimal) -> String {
    format!("{} min", plain(minutes))
}

/// `10:05`.
pub(super) fn clock(time: NaiveTime) -> String {
    time.format("%H:%M").to_string()
}

/// `ticket 88213`; of a line that names none, `no ticket`.
pub(super) fn ticket(billed: &Billed) -> String {
    billed.ticket.as_ref().map_or_else(|| "no ticket".into(), |ticket| format!("ticket {}", ticket.value))
}
