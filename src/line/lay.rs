//! Lays the records on the line: tables first, then loads to their placements, then each lane covered once.

use std::collections::BTreeMap;

use super::extent::{Covered, Piece, cover};
use super::measure::{Run, measure, total};
use super::names::{counted, slug};
use super::proof::{cores_along, stretch_words};
use super::{Ledger, Line, Overlap, PlacementOnLine, Stretch, Unplaced, matching, rows, span};
use crate::contract::Contract;
use crate::figure::Book;
use crate::finding::{Code, Finding, Place};
use crate::intake::{LaneId, Load, Records};
use crate::units::Station;

/// The as-built line of the records, with its record tables and figures in the book. Loads are put in the order of their
/// placements (then day, ticket), those that fit none last, so that row i of the table of loads is `records.loads[i]`.
pub fn lay(contract: &Contract, records: &mut Records, book: &mut Book) -> (Line, Vec<Finding>) {
    let (mut goes_to, mut findings) = matching::matched(contract, records);
    sort_loads(&mut records.loads, &mut goes_to);
    let ledger = rows::take_up(contract, records, &goes_to, book);
    let covered = cover(contract, &records.placements);
    let stretches = stretches(contract, records, ledger, book, &covered);
    let placements = placements(records, book, &stretches, &goes_to);
    let unplaced = gaps(&stretches);
    findings.extend(without_loads(contract, records, &placements));
    findings.extend(twice(contract, records, &covered.overlaps));
    findings.extend(nowhere(contract, records, &covered));
    findings.extend(unplaced.iter().map(|gap| not_placed(contract, gap)));
    let loose = goes_to.partition_point(Option::is_some);
    let line = Line {
        ledger,
        stretches,
        placements,
        unplaced,
        overlaps: covered.overlaps,
        loose_loads: (row(loose), row(goes_to.len())),
        cores_along: cores_along(records),
    };
    (line, findings)
}

fn row(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// Sorts the loads, and what says where they go along with them, in place.
fn sort_loads(loads: &mut [Load], goes_to: &mut [Option<usize>]) {
    let mut order: Vec<usize> = (0..loads.len()).collect();
    order.sort_by(|&a, &b| {
        let group = |i: usize| goes_to[i].map_or((true, 0), |p| (false, p));
        let (la, lb) = (&loads[a], &loads[b]);
        (group(a), la.date.value)
            .cmp(&(group(b), lb.date.value))
            .then_with(|| counted(&la.ticket.value, &lb.ticket.value))
            .then_with(|| la.ticket.at.cmp(&lb.ticket.at))
    });
    let mut moves_to = vec![0; order.len()];
    for (to, &from) in order.iter().enumerate() {
        moves_to[from] = to;
    }
    for i in 0..moves_to.len() {
        while moves_to[i] != i {
            let to = moves_to[i];
            loads.swap(i, to);
            goes_to.swap(i, to);
            moves_to.swap(i, to);
        }
    }
}

fn stretches(
    contract: &Contract,
    records: &Records,
    ledger: Ledger,
    book: &mut Book,
    covered: &Covered,
) -> Vec<Stretch> {
    let mut pieces: BTreeMap<(usize, LaneId), usize> = BTreeMap::new();
    for (_, piece) in &covered.pieces {
        *pieces.entry((piece.placement, piece.lane)).or_default() += 1;
    }
    let mut seen: BTreeMap<(usize, LaneId), usize> = BTreeMap::new();
    let mut stretches = Vec::with_capacity(covered.pieces.len());
    for &(section, piece) in &covered.pieces {
        let of = (piece.placement, piece.lane);
        let n = seen.entry(of).or_default();
        *n += 1;
        let nth = if pieces.get(&of) == Some(&1) { None } else { Some(*n) };
        stretches.push(stretch(contract, records, ledger, book, (section, piece, nth)));
    }
    stretches
}

/// A piece with its figures; `nth` tells the pieces of one placement in one lane apart.
fn stretch(
    contract: &Contract,
    records: &Records,
    ledger: Ledger,
    book: &mut Book,
    (section, piece, nth): (usize, Piece, Option<usize>),
) -> Stretch {
    let placement = &records.placements[piece.placement];
    let (number, lane) = (&placement.number.value, &contract.lane(piece.lane).name);
    let (part, part_key) = nth.map_or_else(Default::default, |n| (format!(", piece {n}"), format!(".piece-{n}")));
    let run = Run {
        lane: piece.lane,
        section,
        from: (piece.from.station, piece.from.proof.leaf(contract, &ledger, book)),
        to: (piece.to.station, piece.to.proof.leaf(contract, &ledger, book)),
        label: format!("placement {number}, {lane}{part}"),
        key: format!("placement-{}.{}{part_key}", slug(number), slug(lane)),
    };
    let [length, area, volume] = measure(contract, book, &run);
    Stretch {
        lane: piece.lane,
        section,
        from: piece.from.station,
        to: piece.to.station,
        proof: (piece.from.proof, piece.to.proof),
        placement: piece.placement,
        date: placement.date.value,
        length,
        area,
        volume,
    }
}

fn placements(
    records: &Records,
    book: &mut Book,
    stretches: &[Stretch],
    goes_to: &[Option<usize>],
) -> Vec<PlacementOnLine> {
    let mut of: Vec<Vec<usize>> = vec![Vec::new(); records.placements.len()];
    for (i, stretch) in stretches.iter().enumerate() {
        of[stretch.placement].push(i);
    }
    of.into_iter()
        .enumerate()
        .map(|(p, own)| {
            let number = &records.placements[p].number.value;
            let (key, label) = (format!("placement-{}", slug(number)), format!("placement {number}"));
            let figures = |of: fn(&Stretch) -> crate::figure::FigureId| -> Vec<_> {
                own.iter().map(|&i| of(&stretches[i])).collect()
            };
            let area = total(book, &format!("{key}.area"), &format!("{label}, area"), "A", &figures(|s| s.area));
            let volume =
                total(book, &format!("{key}.volume"), &format!("{label}, plan volume"), "V", &figures(|s| s.volume));
            let rank = |to: &Option<usize>| to.unwrap_or(usize::MAX);
            let first = goes_to.partition_point(|to| rank(to) < p);
            let after = goes_to.partition_point(|to| rank(to) <= p);
            PlacementOnLine { stretches: own, area, volume, loads: (row(first), row(after)) }
        })
        .collect()
}

/// What lies between two stretches of one section's lane. Before the first and beyond the last, work is still to come.
fn gaps(stretches: &[Stretch]) -> Vec<Unplaced> {
    let pairs = stretches.iter().zip(stretches.iter().skip(1));
    pairs
        .filter(|(a, b)| (a.lane, a.section) == (b.lane, b.section) && a.to.along < b.from.along)
        .map(|(a, b)| Unplaced { lane: a.lane, section: a.section, from: a.to, to: b.from })
        .collect()
}

fn not_placed(contract: &Contract, gap: &Unplaced) -> Finding {
    let lane = &contract.lane(gap.lane).name;
    let at = stretch_words(contract, gap.lane, gap.from, gap.to);
    Finding::new(
        Code::NotPlaced,
        Place::Named(format!("{lane}, {at}")),
        format!("lane {lane} has no placement from {at}, with placements on both sides"),
        "add the missing placement; where the stretch was left out for later, nothing is to be done",
    )
}

fn without_loads<'r>(
    contract: &'r Contract,
    records: &'r Records,
    placements: &'r [PlacementOnLine],
) -> impl Iterator<Item = Finding> + 'r {
    records.placements.iter().zip(placements).filter(|(_, on_line)| on_line.loads.0 == on_line.loads.1).map(
        |(placement, _)| {
            Finding::new(
                Code::PlacementWithoutLoads,
                Place::Row(placement.number.at),
                format!(
                    "placement {} of {} ({}) has no loads, so its yield is not known and the yield account leaves it out",
                    placement.number.value,
                    placement.date.value,
                    span(contract, placement)
                ),
                "add its load tickets, or write its number on the loads that went there",
            )
        },
    )
}

/// One finding for each pair of placements and lane, however many pieces they share.
fn twice<'r>(contract: &'r Contract, records: &'r Records, overlaps: &[Overlap]) -> impl Iterator<Item = Finding> + 'r {
    let mut pairs: BTreeMap<_, Vec<(Station, Station)>> = BTreeMap::new();
    for overlap in overlaps {
        pairs.entry((overlap.placements, overlap.lane)).or_default().push((overlap.from, overlap.to));
    }
    pairs.into_iter().map(move |(((first, second), lane), pieces)| {
        let (a, b) = (&records.placements[first], &records.placements[second]);
        let at: Vec<String> = pieces.iter().map(|&(from, to)| stretch_words(contract, lane, from, to)).collect();
        Finding::new(
            Code::PlacedTwice,
            Place::Row(b.number.at),
            format!(
                "placements {} and {} both cover lane {} from {}; it is counted once, for placement {} of {}",
                a.number.value,
                b.number.value,
                contract.lane(lane).name,
                at.join(" and "),
                a.number.value,
                a.date.value
            ),
            "correct the stations or the lane of one of them",
        )
        .with([Place::Row(a.number.at)])
    })
}

fn nowhere<'r>(
    contract: &'r Contract,
    records: &'r Records,
    covered: &'r Covered,
) -> impl Iterator<Item = Finding> + 'r {
    let finding = |p: usize, message: String| {
        let number = &records.placements[p].number;
        Finding::new(
            Code::PlacedNowhere,
            Place::Row(number.at),
            format!("placement {} {message}", number.value),
            "correct its stations or its lane, or add the section to contract.toml",
        )
    };
    let outside = covered.nowhere.iter().map(move |piece| {
        let at = stretch_words(contract, piece.lane, piece.from.station, piece.to.station);
        let lane = &contract.lane(piece.lane).name;
        finding(piece.placement, format!("lies in no section from {at} of lane {lane}; nothing is counted there"))
    });
    let empty = covered.empty.iter().map(move |&p| {
        let placement = &records.placements[p];
        let typed = placement.from.typed.as_deref().unwrap_or("the same station");
        finding(p, format!("begins and ends at {typed}, so it covers nothing ({})", span(contract, placement)))
    });
    outside.chain(empty).collect::<Vec<_>>().into_iter()
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{self, NB_1, NB_2, NB_S};
    use super::super::{lots, placed_within, within};
    use super::*;
    use crate::figure::{FigureId, check_dimensions};
    use crate::intake::{Outcome, Placement};
    use crate::rules::{Leftover, LotBy, LotRule, RuleNumber};
    use crate::units::Unit;
    use rust_decimal::{Decimal, dec};

    fn value(book: &Book, id: FigureId) -> Decimal {
        book[id].value.decimal().unwrap()
    }

    fn laid(contract: &Contract, placements: Vec<Placement>) -> (Line, Book, Vec<Finding>) {
        let mut book = fixture::book();
        let mut records = fixture::records(placements, vec![]);
        let (line, findings) = lay(contract, &mut records, &mut book);
        for (_, figure) in book.figures() {
            assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
        }
        let findings = findings.into_iter().filter(|f| f.code != Code::PlacementWithoutLoads).collect();
        (line, book, findings)
    }

    /// Geometry: 1,000 ft x 24 ft x 10 in are 2,666.67 yd2 and 740.74 yd3.
    #[test]
    fn two_lanes_of_a_thousand_feet() {
        let contract = fixture::contract();
        let paved = fixture::placement(&contract, "14", "2031-07-01", &[NB_1, NB_2], "20+00", "30+00");
        let (line, book, findings) = laid(&contract, vec![paved]);
        assert!(findings.is_empty());
        assert_eq!(line.stretches.len(), 2);
        let placed = &line.placements[0];
        assert_eq!(value(&book, placed.area.unwrap()), dec!(2666.66), "twice 1,333.33, each rounded as printed");
        assert_eq!(value(&book, placed.volume.unwrap()), dec!(740.74));
        assert_eq!(value(&book, book.by_key("placement-14.nb-1.length").unwrap()), dec!(1000.0));
    }

    /// Geometry, as above, in one lane of 24 ft.
    #[test]
    fn one_lane_of_twenty_four_feet() {
        let mut contract = fixture::contract();
        contract.lanes[0].widths[0].width.value = dec!(24);
        let paved = fixture::placement(&contract, "14", "2031-07-01", &[NB_1], "20+00", "30+00");
        let (line, book, _) = laid(&contract, vec![paved]);
        assert_eq!(value(&book, line.stretches[0].area), dec!(2666.67));
        assert_eq!(value(&book, line.stretches[0].volume), dec!(740.74));
    }

    /// Geometry: 500 m x 3.6 m x 250 mm are 1,800 m2 and 450 m3.
    #[test]
    fn metres_and_millimetres() {
        let contract = fixture::si_contract();
        let paved = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "0+250.000", "0+750.000");
        let (line, book, _) = laid(&contract, vec![paved]);
        assert_eq!(value(&book, line.stretches[0].area), dec!(1800));
        assert_eq!(value(&book, line.stretches[0].volume), dec!(450));
    }

    /// Geometry: 20+00 back = 22+50 ahead skips 250 ft of labels, 20+00 back = 19+00 ahead repeats 100 ft.
    #[test]
    fn lengths_cross_station_equations() {
        for (ahead, to, length) in [(dec!(2250), "24+00", dec!(350)), (dec!(1900), "24+00", dec!(700))] {
            let contract = fixture::contract_with(&[(dec!(2000), ahead)]);
            let paved = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "18+00", to);
            let (line, book, _) = laid(&contract, vec![paved]);
            assert_eq!(value(&book, line.stretches[0].length), length);
        }
    }

    #[test]
    fn what_is_covered_twice_counts_once_and_is_said() {
        let contract = fixture::contract();
        let first = fixture::placement(&contract, "9", "2031-07-01", &[NB_1], "10+00", "12+00");
        let second = fixture::placement(&contract, "10", "2031-07-01", &[NB_1], "11+50", "14+00");
        let (line, book, findings) = laid(&contract, vec![second, first]);
        let lengths: Vec<Decimal> = line.stretches.iter().map(|s| value(&book, s.length)).collect();
        assert_eq!(lengths, [dec!(200), dec!(200)]);
        assert_eq!(line.overlaps.len(), 1);
        assert_eq!(
            findings[0].message,
            "placements 9 and 10 both cover lane NB-1 from 11+50 to 12+00 (50 ft); it is counted once, for placement 9 \
             of 2031-07-01"
        );
    }

    #[test]
    fn a_gap_is_between_placements_only() {
        let contract = fixture::contract();
        let first = fixture::placement(&contract, "1", "2031-07-01", &[NB_1, NB_2], "10+00", "12+00");
        let second = fixture::placement(&contract, "2", "2031-07-02", &[NB_1], "13+00", "14+00");
        let (line, _, findings) = laid(&contract, vec![first, second]);
        assert_eq!(line.unplaced.len(), 1);
        assert_eq!((findings[0].code, findings[0].open), (Code::NotPlaced, false));
        assert_eq!(
            findings[0].message,
            "lane NB-1 has no placement from 12+00 to 13+00 (100 ft), with placements on both sides"
        );
    }

    #[test]
    fn a_placement_without_length_or_section_is_said() {
        let mut contract = fixture::contract();
        contract.sections[0].to = fixture::station(&contract, NB_1, "12+00");
        let beyond = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "11+00", "13+00");
        let empty = fixture::placement(&contract, "2", "2031-07-01", &[NB_1], "11+00", "11+00");
        let (line, book, findings) = laid(&contract, vec![beyond, empty]);
        assert_eq!(value(&book, line.placements[0].area.unwrap()), dec!(133.33));
        assert_eq!(line.placements[1].area, None);
        assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::PlacedNowhere; 2]);
    }

    #[test]
    fn loads_stand_by_placement_day_and_ticket() {
        let contract = fixture::contract();
        let placements = ["1", "2"].map(|n| fixture::placement(&contract, n, "2031-07-01", &[NB_1], "10+00", "12+00"));
        let load = |ticket, placement| fixture::load(ticket, "2031-07-01", dec!(8), placement);
        let mut rejected = load(10, Some("1"));
        rejected.outcome = Outcome::Rejected;
        let loads = vec![load(7, Some("2")), rejected, load(8, None), load(9, Some("1")), load(2, Some("2"))];
        let mut records = fixture::records(placements.to_vec(), loads);
        let mut book = fixture::book();
        let (line, findings) = lay(&contract, &mut records, &mut book);
        let tickets: Vec<&str> = records.loads.iter().map(|l| &*l.ticket.value).collect();
        assert_eq!(tickets, ["9", "10", "2", "7", "8"]);
        let table = book.table(line.ledger.loads);
        assert_eq!((0..5).map(|r| table.row_name(r)).collect::<Vec<_>>(), tickets);
        assert_eq!(line.placements.iter().map(|p| p.loads).collect::<Vec<_>>(), [(0, 2), (2, 4)]);
        assert_eq!(line.loose_loads, (4, 5));
        assert_eq!(findings.iter().filter(|f| f.code == Code::LoadWithoutPlacement).count(), 1);
    }

    #[test]
    fn the_placed_part_of_lots_is_all_that_is_placed() {
        let contract = fixture::contract();
        let placements = vec![
            fixture::placement(&contract, "1", "2031-07-01", &[NB_S], "10+30", "16+00"),
            fixture::placement(&contract, "2", "2031-07-02", &[NB_S], "16+00", "28+12.5"),
        ];
        let (line, mut book, _) = laid(&contract, placements);
        let size = RuleNumber {
            value: dec!(250),
            unit: Unit::SquareYard,
            written: "250 yd2".into(),
            set: "example".into(),
            key: "lot.size".into(),
            clause: String::new(),
        };
        let rule = LotRule { by: LotBy::Area(size), leftover: Leftover::Own };
        super::super::mark_lots(&contract, &rule, &mut book);
        let mut area = Decimal::ZERO;
        for lot in lots(&contract, &rule).iter().filter(|l| l.section == 1) {
            let places = [(NB_S, lot.from, lot.to)];
            if let Some(placed) = placed_within(&line, &contract, &mut book, &places, &lot.key, &lot.name) {
                area += value(&book, placed.area);
            }
        }
        let whole: Decimal = line.stretches.iter().map(|s| value(&book, s.area)).sum();
        assert!((area - whole).abs() < dec!(0.6), "{area} against {whole}: each length is rounded to 0.1 ft");
        assert!(!book.givens().any(|(_, g)| g.label == "station, along the line"), "every cut has its proof");
    }

    #[test]
    fn a_cut_at_a_core_points_at_the_core() {
        let contract = fixture::contract();
        let mut records =
            fixture::records(vec![fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "20+00")], vec![]);
        records.cores = vec![
            fixture::core(&contract, "C-1", NB_1, "12+00", &[dec!(9.5)]),
            fixture::core(&contract, "C-2", NB_1, "14+00", &[dec!(9.5)]),
        ];
        let mut book = fixture::book();
        let (line, _) = lay(&contract, &mut records, &mut book);
        let places = [(NB_1, fixture::station(&contract, NB_1, "12+00"), fixture::station(&contract, NB_1, "13+00"))];
        let placed = placed_within(&line, &contract, &mut book, &places, "zone", "zone").unwrap();
        let (c1, c2) = (line.ledger.core_along(0), line.ledger.core_along(1));
        assert_eq!(book[placed.length].expr, (c1 + c2) / crate::figure::whole(2) - c1);
        assert_eq!(value(&book, placed.length), dec!(100.0));
        assert!(within(&line, NB_2, places[0].1, places[0].2).is_empty());
    }
}
