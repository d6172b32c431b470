//! How much of a material its ground needs.
//!
//! ```text
//! by volume                  (A + b L n) d density        b beyond each of n outer edges
//! by area                    (A + e L n) / coverage       e deep on each of n edges that were free when placed
//! at transverse joints       floor(L / spacing) on each run of a lane, times pieces or the lane's width
//! along longitudinal joints  floor(L / spacing), or L, where both lanes are placed
//! along lanes                count times L
//! ```
//!
//! A joint at the beginning of a run is not counted: it is a header. Common practice.

use super::ground::{Covered, Piece, free_sides, outer_sides};
use crate::contract::{Entered, Material, Need as Needs};
use crate::figure::{Book, Expr, Figure, FigureId, sum, whole};
use crate::intake::LaneId;
use crate::line::{mark_station, placed_within, slug, total, within};
use crate::reconcile::Ground;
use crate::units::{Mode, Rounding, Station, Unit};

/// What is needed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Need {
    pub quantity: FigureId,
    /// Area to be covered, where it is needed by area.
    pub area: Option<FigureId>,
}

struct Desk<'a, 'b> {
    ground: Ground<'a>,
    book: &'b mut Book,
    material: &'a Material,
    key: &'b str,
}

/// What a material's ground needs of it; `None` where there is no ground yet.
pub(super) fn needed(
    ground: Ground<'_>,
    book: &mut Book,
    (material, key): (&Material, &str),
    covered: &Covered,
) -> Option<Need> {
    if covered.pieces().is_empty() {
        return None;
    }
    let material = ground.contract.materials.iter().find(|m| m.line == material.line)?;
    let mut desk = Desk { ground, book, material, key };
    let alone = |quantity| Need { quantity, area: None };
    match &material.need {
        Needs::Volume { depth, density, beyond_edges } => {
            desk.by_volume(covered, (depth, density, beyond_edges.as_ref())).map(alone)
        }
        Needs::Area { covers, edges } => desk.by_area(covered, (covers, edges.as_ref())),
        Needs::TransverseJoints { spacing, pieces } => desk.transverse(covered, (spacing, pieces.as_ref())).map(alone),
        Needs::LongitudinalJoints { joints, spacing } => desk.longitudinal(joints, spacing.as_ref()).map(alone),
        Needs::AlongLanes { count } => desk.along(covered, count).map(alone),
    }
}

impl Desk<'_, '_> {
    fn figure(&self, word: &str, symbol: &str, unit: Unit, expr: impl Into<Expr>) -> Figure {
        let name = &self.material.name;
        Figure::new(format!("{}.{}", self.key, slug(word)), format!("{name}, {word}"), symbol, unit, expr)
    }

    fn add(&mut self, word: &str, symbol: &str, unit: Unit, expr: Expr) -> FigureId {
        let figure = self.figure(word, symbol, unit, expr);
        let rounding = Rounding::to_decimals(unit.decimals().max(if unit == Unit::Each { 0 } else { 2 }));
        self.book.add(figure.rounded(rounding))
    }

    /// A step on the way, not rounded.
    fn step(&mut self, word: &str, symbol: &str, unit: Unit, expr: Expr) -> FigureId {
        let figure = self.figure(word, symbol, unit, expr).shown(unit.decimals().max(2));
        self.book.add(figure)
    }

    fn given(&mut self, of: &Entered, word: &str, symbol: &str) -> Expr {
        let label = format!("{word} of {}", self.material.name);
        self.book.given(of.given(label, symbol)).into()
    }

    fn areas(&mut self, covered: &Covered) -> Option<FigureId> {
        let areas: Vec<FigureId> = covered.pieces().iter().map(|piece| piece.area).collect();
        total(self.book, &format!("{}.ground", self.key), &format!("{}, ground", self.material.name), "A", &areas)
    }

    /// Lengths of edges, each piece as often as it has such sides.
    fn edges(&mut self, covered: &Covered, sides: impl Fn(&Piece) -> i64) -> Option<FigureId> {
        let with: Vec<(i64, FigureId)> = covered.pieces().iter().map(|p| (sides(p), p.length)).collect();
        let parts: Vec<Expr> = with
            .into_iter()
            .filter(|(n, _)| *n > 0)
            .map(|(n, length)| if n == 1 { length.into() } else { length * whole(n) })
            .collect();
        let figure = self.figure("free edges", "L_e", self.ground.contract.system.length(), whole(0));
        let decimals = self.ground.contract.roundings.length.decimals();
        (!parts.is_empty()).then(|| self.book.add_sum(figure.shown(decimals), parts))
    }

    fn by_volume(
        &mut self,
        covered: &Covered,
        (depth, density, beyond): (&Entered, &Entered, Option<&Entered>),
    ) -> Option<FigureId> {
        let system = self.ground.contract.system;
        let ground = self.ground;
        let mut area = Expr::from(self.areas(covered)?);
        if let Some(beyond) = beyond
            && let Some(edges) = self.edges(covered, |piece| outer_sides(ground, piece.lane))
        {
            let reach = self.given(beyond, "reach beyond edges", "b");
            area = area + (edges * reach).to(system.to_area());
        }
        let area = self.step("area", "A", system.area(), area);
        let depth = self.given(depth, "depth", "d");
        let volume = self.step("volume", "V", system.volume(), (area * depth).to(system.to_volume()));
        if self.material.unit == system.volume() {
            return Some(self.add("needed", "Q_n", system.volume(), volume.into()));
        }
        let density = self.given(density, "dry density", "g");
        Some(self.add("needed", "Q_n", system.bulk(), (volume * density).to(system.to_bulk())))
    }

    fn by_area(&mut self, covered: &Covered, (covers, deep): (&Entered, Option<&Entered>)) -> Option<Need> {
        let system = self.ground.contract.system;
        let ground = self.ground;
        let mut area = Expr::from(self.areas(covered)?);
        let free =
            |piece: &Piece| piece.stretch.map_or_else(|| outer_sides(ground, piece.lane), |s| free_sides(ground, s));
        if let Some(deep) = deep
            && let Some(edges) = self.edges(covered, free)
        {
            let depth = self.given(deep, "depth of edges", "e").to(system.depth_to_length());
            area = area + (edges * depth).to(system.to_area());
        }
        let area = self.step("area to cover", "A", system.area(), area);
        let covers = self.given(covers, "coverage", "r");
        let quantity = self.add("needed", "Q_n", system.liquid(), (area / covers).to(system.to_liquid()));
        Some(Need { quantity, area: Some(area) })
    }

    /// Joints on each run of a lane.
    fn transverse(&mut self, covered: &Covered, (spacing, pieces): (&Entered, Option<&Entered>)) -> Option<FigureId> {
        let apart = self.given(spacing, "distance between joints", "s");
        let each = pieces.map(|pieces| self.given(pieces, "pieces at a joint", "k"));
        let system = self.ground.contract.system;
        let mut parts: Vec<FigureId> = Vec::new();
        for run in covered.runs() {
            let name = self.run_name(&run)?;
            let length = sum(run.iter().map(|piece| piece.length).collect::<Vec<_>>());
            let joints = self.figure(
                &format!("joints, {name}"),
                "n",
                Unit::One,
                (length.clone() / apart.clone()).rounded(down()?),
            );
            let joints = self.book.add(joints.shown(0));
            let (expr, unit) = if let Some(each) = each.clone() {
                (joints * each, Unit::Each)
            } else {
                let area = sum(run.iter().map(|piece| piece.area).collect::<Vec<_>>());
                (joints * (area / length).to(system.to_length()), system.length())
            };
            parts.push(self.add(&format!("needed, {name}"), "q", unit, expr));
        }
        self.all(&parts)
    }

    /// What lies along the joints of pairs of lanes, wherever both are placed.
    fn longitudinal(&mut self, joints: &[(LaneId, LaneId)], spacing: Option<&Entered>) -> Option<FigureId> {
        let apart = spacing.map(|spacing| self.given(spacing, "distance between pieces", "s"));
        let mut parts: Vec<FigureId> = Vec::new();
        for &(left, right) in joints {
            for (from, to) in self.both(left, right) {
                let contract = self.ground.contract;
                let name = format!(
                    "{} and {}, {} to {}",
                    contract.lane(left).name,
                    contract.lane(right).name,
                    contract.station(left, from),
                    contract.station(left, to)
                );
                let key = format!("{}.{}", self.key, slug(&name));
                let placed = placed_within(self.ground.line, contract, self.book, &[(left, from, to)], &key, &name)?;
                let (expr, unit) = match apart.clone() {
                    Some(apart) => ((placed.length / apart).rounded(down()?), Unit::Each),
                    None => (placed.length.into(), contract.system.length()),
                };
                parts.push(self.add(&format!("needed, {name}"), "q", unit, expr));
            }
        }
        self.all(&parts)
    }

    /// Where two lanes are both placed, in the material's sections; touching pieces put together.
    fn both(&mut self, left: LaneId, right: LaneId) -> Vec<(Station, Station)> {
        let Ground { contract, line, .. } = self.ground;
        let sections = &self.material.sections;
        let own = line.stretches.iter().filter(|s| s.lane == left && sections.contains(&s.section));
        let mut found: Vec<(Station, Station)> = Vec::new();
        for stretch in own {
            for clip in within(line, right, stretch.from, stretch.to) {
                match found.last_mut().filter(|(_, to)| to.along == clip.from.along) {
                    Some((_, to)) => *to = clip.to,
                    None => found.push((clip.from, clip.to)),
                }
            }
        }
        let ledger = &line.ledger;
        for stretch in line.stretches.iter().filter(|s| s.lane == right) {
            let ends = [
                (stretch.from, ledger.placement_from(stretch.placement)),
                (stretch.to, ledger.placement_to(stretch.placement)),
            ];
            let typed = [ends[0].1, ends[1].1].map(|cell| self.book.table(cell.table).number(cell.row, cell.column));
            for (station, _) in ends {
                // Paving may have run down station: the cell that says this end is the one with its distance.
                let says = typed.iter().position(|along| *along == Some(station.along));
                if let Some(says) = says {
                    mark_station(
                        contract,
                        self.book,
                        (left, station),
                        ends[says].1,
                        ("end of the lane beside", "", None),
                    );
                }
            }
        }
        found
    }

    fn along(&mut self, covered: &Covered, count: &Entered) -> Option<FigureId> {
        let lengths: Vec<FigureId> = covered.pieces().iter().map(|piece| piece.length).collect();
        let (key, label) = (format!("{}.lanes", self.key), format!("{}, length of lanes", self.material.name));
        let length = total(self.book, &key, &label, "L", &lengths)?;
        let count = self.given(count, "how many beside each other", "k");
        Some(self.add("needed", "Q_n", self.ground.contract.system.length(), length * count))
    }

    fn all(&mut self, parts: &[FigureId]) -> Option<FigureId> {
        total(self.book, &format!("{}.needed", self.key), &format!("{}, needed", self.material.name), "Q_n", parts)
    }

    fn run_name(&self, run: &[Piece]) -> Option<String> {
        let (first, last) = (run.first()?, run.last()?);
        let contract = self.ground.contract;
        let station = |at| contract.station(first.lane, at);
        Some(format!("{} {} to {}", contract.lane(first.lane).name, station(first.from), station(last.to)))
    }
}

/// Whole joints and pieces only.
fn down() -> Option<Rounding> {
    Rounding::new(rust_decimal::Decimal::ONE, Mode::Down).ok()
}
