//! What a reader must see: more used than the contract lets pass, less, or nothing on record where pavement stands.

use super::MaterialAccount;
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::reconcile::Ground;
use crate::units::conversions::RATIO_TO_PERCENT;

/// What must be seen of an account: the whole of it, and days that fall short.
pub(super) fn warnings(ground: Ground<'_>, book: &Book, account: &MaterialAccount) -> Vec<Finding> {
    warning(ground, book, account).into_iter().chain(short_days(ground, book, account)).collect()
}

/// Days on whose ground less was used than it needs, beyond the contract's limit.
fn short_days(ground: Ground<'_>, book: &Book, account: &MaterialAccount) -> Vec<Finding> {
    let material = &ground.contract.materials[account.material];
    let Some(limit) = &material.warn_under else { return Vec::new() };
    let written = |id: FigureId| format!("{} {}", book[id].text(), book[id].unit);
    let short = account.days.iter().filter_map(|day| {
        let (needed, percent) = day.needed?;
        let (used, need) = (book[day.used].value.decimal()?, book[needed].value.decimal()?);
        let share = RATIO_TO_PERCENT.apply((used - need).checked_div(need)?)?;
        (-share > limit.value).then(|| {
            Finding::new(
                Code::MaterialUnder,
                Place::Named(format!("material {} on {}", material.name, day.date)),
                format!(
                    "{} were used on {} where the ground of that day needs {} ({} %), beyond the contract's limit of {}",
                    written(day.used),
                    day.date,
                    written(needed),
                    book[percent].text(),
                    limit.written
                ),
                "look for tickets of the day that are missing, and on the ground whether all of it was placed",
            )
        })
    });
    short.collect()
}

fn warning(ground: Ground<'_>, book: &Book, account: &MaterialAccount) -> Option<Finding> {
    let material = &ground.contract.materials[account.material];
    let needed = account.needed?;
    let place = || Place::Named(format!("material {}", material.name));
    let written = |id: FigureId| format!("{} {}", book[id].text(), book[id].unit);
    let (Some(used), Some(difference)) = (account.used, account.difference) else {
        return Some(Finding::new(
            Code::MaterialMissing,
            place(),
            format!("{} are needed for what is placed, and no sheet says that any was received", written(needed)),
            "put its tickets or the day's counts into field/, or take the material out of contract.toml",
        ));
    };
    let share = book[difference].value.decimal()?.checked_div(book[needed].value.decimal()?)?;
    let percent = RATIO_TO_PERCENT.apply(share)?;
    let over = material.warn_over.as_ref().filter(|limit| percent > limit.value);
    let under = material.warn_under.as_ref().filter(|limit| -percent > limit.value);
    let (code, word, limit, remedy) = match (over, under) {
        (Some(limit), _) => (
            Code::MaterialOver,
            "more",
            limit,
            "look for low grade, a stretch measured short, waste that is not noted, and tickets of another job",
        ),
        (_, Some(limit)) => (
            Code::MaterialUnder,
            "less",
            limit,
            "look for tickets that are missing, and on the ground whether all of it was placed",
        ),
        _ => return None,
    };
    let size = book[difference].text();
    let worth = account.money.map_or_else(String::new, |money| {
        format!(", {}{}", ground.contract.currency, book[money].text().trim_start_matches('-'))
    });
    let rate = account.rate.map_or_else(String::new, |rate| format!(", at {}", written(rate)));
    let basis = match account.without_ground {
        0 => String::new(),
        1 => "; one delivery does not say its ground, so the need is that of the pavement placed".into(),
        n => format!("; {n} deliveries do not say their ground, so the need is that of the pavement placed"),
    };
    Some(Finding::new(
        code,
        place(),
        format!(
            "{} were used where {} are needed: {} {word} ({} %{worth}){rate}, beyond the contract's limit of {}{basis}",
            written(used),
            written(needed),
            size.trim_start_matches('-'),
            book[account.percent?].text(),
            limit.written
        ),
        remedy,
    ))
}
