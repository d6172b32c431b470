//! One to one: which core belongs to which drawn location.
//!
//! The pairing with the least total cost of all (Hungarian method), so that neither the order of a sheet nor the numbers of
//! cores decide it. Of several equally good ones, always the same is taken.

use rust_decimal::Decimal;

/// For each row of costs the column paired with it, or for fewer columns than rows `None` for the rows left over; every row
/// has one cost for each column.
#[must_use]
pub(super) fn pairing(costs: &[Vec<Decimal>]) -> Vec<Option<usize>> {
    let columns = costs.first().map_or(0, Vec::len);
    if costs.len() <= columns {
        return least(costs).into_iter().map(Some).collect();
    }
    let turned: Vec<Vec<Decimal>> =
        (0..columns).map(|c| costs.iter().filter_map(|row| row.get(c).copied()).collect()).collect();
    let mut paired = vec![None; costs.len()];
    for (column, row) in least(&turned).into_iter().enumerate() {
        paired[row] = Some(column);
    }
    paired
}

/// The column of each row, with the least total cost; there are at least as many columns as rows.
fn least(costs: &[Vec<Decimal>]) -> Vec<usize> {
    let (rows, columns) = (costs.len(), costs.first().map_or(0, Vec::len));
    // Places count from 1; 0 is the row being taken up, and "no row yet" of a column.
    let (mut of_row, mut of_column) = (vec![Decimal::ZERO; rows + 1], vec![Decimal::ZERO; columns + 1]);
    let mut taken = vec![0; columns + 1];
    for row in 1..=rows {
        taken[0] = row;
        let mut column = 0;
        let (mut smallest, mut from) = (vec![Decimal::MAX; columns + 1], vec![0; columns + 1]);
        let mut done = vec![false; columns + 1];
        while taken[column] != 0 {
            done[column] = true;
            let (mut next, mut step) = (0, Decimal::MAX);
            for c in (1..=columns).filter(|&c| !done[c]) {
                let r = taken[column];
                let reduced = costs[r - 1][c - 1] - of_row[r] - of_column[c];
                if reduced < smallest[c] {
                    (smallest[c], from[c]) = (reduced, column);
                }
                if smallest[c] < step {
                    (step, next) = (smallest[c], c);
                }
            }
            for c in 0..=columns {
                if done[c] {
                    of_row[taken[c]] += step;
                    of_column[c] -= step;
                } else if c > 0 {
                    smallest[c] -= step;
                }
            }
            column = next;
        }
        while column != 0 {
            taken[column] = taken[from[column]];
            column = from[column];
        }
    }
    let mut paired = vec![0; rows];
    for (column, row) in taken.into_iter().enumerate().skip(1).filter(|(_, row)| *row != 0) {
        paired[row - 1] = column - 1;
    }
    paired
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn total(costs: &[Vec<Decimal>], paired: &[Option<usize>]) -> Decimal {
        costs.iter().zip(paired).filter_map(|(row, c)| c.map(|c| row[c])).sum()
    }

    /// The least total by trying every pairing.
    fn by_trying(costs: &[Vec<Decimal>], used: &mut Vec<usize>, pairs: usize) -> Decimal {
        let Some((row, rest)) = costs.split_first() else {
            return if pairs == 0 { Decimal::ZERO } else { Decimal::from(1_000_000) };
        };
        let mut best = if rest.len() >= pairs { by_trying(rest, used, pairs) } else { Decimal::from(1_000_000) };
        for (c, cost) in row.iter().enumerate() {
            if pairs > 0 && !used.contains(&c) {
                used.push(c);
                best = best.min(cost + by_trying(rest, used, pairs - 1));
                used.pop();
            }
        }
        best
    }

    proptest! {
        #[test]
        fn no_other_pairing_is_cheaper(
            rows in 1_usize..5,
            columns in 1_usize..5,
            numbers in proptest::collection::vec(0_i64..40, 16),
        ) {
            let costs: Vec<Vec<Decimal>> =
                (0..rows).map(|r| (0..columns).map(|c| Decimal::from(numbers[r * 4 + c])).collect()).collect();
            let paired = pairing(&costs);
            let mut columns_used: Vec<usize> = paired.iter().flatten().copied().collect();
            columns_used.sort_unstable();
            columns_used.dedup();
            prop_assert_eq!(columns_used.len(), rows.min(columns));
            prop_assert_eq!(total(&costs, &paired), by_trying(&costs, &mut Vec::new(), rows.min(columns)));
        }
    }

    #[test]
    fn nothing_is_paired_with_nothing() {
        assert_eq!(pairing(&[]), []);
        assert_eq!(pairing(&[vec![], vec![]]), [None, None]);
    }
}
