//! A rule for thickness: which cores count, what of them is averaged, how far a bad one reaches, and what is paid.

use super::keys::{CLAUSE, OWN_CLAUSE, alone, count_of, is, number_of};
use super::lotting::{LotBy, LotRule, lot};
use super::measure::{Measure, measure, within};
use super::model::{Compares, RuleNumber};
use super::pay::{Fed, Gives, Pay, pay};
use super::quality::{Outliers, Verification, outliers, verification};
use super::source::Source;
use crate::keyed::{Form, Group, Key, Measure as Kind, Reader};
use crate::units::{Rounding, Unit};

/// What an average is taken over, and priced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judged {
    /// The whole lot; very thin cores are left out of its average and their section is settled apart.
    Lot,
    /// The deficient section around thin cores; the rest of the lot is paid in full.
    Section,
}

/// What becomes of the section around cores left out of a lot's average.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apart {
    /// The engineer decides.
    Decision,
    /// It is priced at its own average.
    OwnAverage,
}

/// What stands for a lot or section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// The mean of its cores.
    Mean,
    /// Its thinnest core.
    Thinnest,
}

/// How far a bad core reaches.
#[derive(Clone, Debug, PartialEq)]
pub enum Reach {
    /// To the neighbouring good core in the same lane, or the lot's end.
    ToGoodCore,
    /// Half way to it, or the lot's end.
    HalfWay,
    /// To the lot's ends, whatever good cores stand there.
    LotEnd,
    /// So far each way, at most to the lot's ends.
    Length(RuleNumber),
}

/// What of the width a section takes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// The lane of the bad core.
    Lane,
    /// All lanes that the same placement placed there.
    Placed,
}

/// Thick cores that may be dropped at the contractor's choice.
#[derive(Clone, Debug, PartialEq)]
pub struct ThickOption {
    /// So many standard deviations over the target.
    pub beyond: RuleNumber,
    /// No more than so many percent of the cores.
    pub most: RuleNumber,
}

/// Where exploratory cores are drilled around a bad core.
#[derive(Clone, Debug, PartialEq)]
pub struct Exploring {
    /// Distances from the bad core, in order, nearest first.
    pub at: Vec<RuleNumber>,
    /// Then every so far.
    pub every: RuleNumber,
    /// Distances count from the bad core (true) or each from the core before (false).
    pub from_bad_core: bool,
    /// Where what is placed is wider than this, a core across as well, half way to the farther edge.
    pub across_beyond: Option<RuleNumber>,
}

/// A rule for thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct ThicknessRule {
    /// Lots.
    pub lot: LotRule,
    /// Unit in which thickness is judged.
    pub depth: Unit,
    /// Cores a lot needs.
    pub cores_per_lot: RuleNumber,
    /// Cores it needs as soon as one of them is not good.
    pub cores_if_deficient: Option<RuleNumber>,
    /// Rounding of a core's length, the mean of its readings.
    pub core: Rounding,
    /// Rounding of the average.
    pub average: Rounding,
    /// A core thicker than design plus this counts as design plus this; a depth or a percentage of the design.
    pub thick_cap: Option<RuleNumber>,
    /// A core deficient by more than this is left out of the average and needs exploratory cores; a depth or a percentage
    /// of the design.
    pub thin_exclusion: Option<RuleNumber>,
    /// What becomes of the section around cores left out.
    pub apart: Apart,
    /// Thick cores the contractor may drop.
    pub thick_option: Option<ThickOption>,
    /// Flagging of outliers.
    pub outliers: Option<Outliers>,
    /// When the contractor's cores count.
    pub verification: Option<Verification>,
    /// Exploratory cores.
    pub exploring: Option<Exploring>,
    /// What is averaged and priced.
    pub judged: Judged,
    /// What stands for it.
    pub taken: Taken,
    /// For [`Judged::Section`]: a core deficient by more than this starts a section, one within it is good. For
    /// [`Judged::Lot`] the thin exclusion does. A depth or a percentage of the design.
    pub tolerance: RuleNumber,
    /// How far a bad core reaches along.
    pub reach: Reach,
    /// And across.
    pub across: Across,
    /// What enters the pay table.
    pub measure: Measure,
    /// Depth credited above design where pay is by the volume measured; `None` where it is not.
    pub volume_credit: Option<RuleNumber>,
    /// What is paid.
    pub pay: Pay,
}

pub(super) const CORES: &[Key] = &[
    Key::required("per_lot", count_of(), "3", "cores a lot needs"),
    Key::optional(
        "if_deficient",
        count_of(),
        "3",
        "cores a lot needs as soon as one of them is deficient by more than the tolerance; else as many as without",
    ),
    Key::required("round", Form::Rounding, "\"0.01 half up\"", "rounding of a core's length, the mean of its readings"),
    Key::optional(
        "depth_in",
        Form::Unit,
        "\"ft\"",
        "unit in which thickness is judged and this file gives depths; else the usual one of its system",
    ),
    Key::optional(
        "thick_cap",
        number_of(&SHARE, &SHARE_ALONE),
        "\"0.20 in\"",
        "a core thicker than design by more than this counts as design plus this; a deficient section has none",
    ),
    Key::optional(
        "thin_exclusion",
        number_of(&SHARE, &SHARE_ALONE),
        "\"1.00 in\"",
        "a core deficient by more than this is left out of the average and needs exploratory cores",
    ),
    Key::optional(
        "thick_option",
        Form::Table(THICK_OPTION),
        "{ beyond = 3, most = \"10 percent\" }",
        "thick cores that may be dropped where the contract says that the contractor chooses so",
    ),
    CLAUSE,
];

const THICK_OPTION: &[Key] = &[
    Key::required(
        "beyond",
        Form::Number,
        "3",
        "thicker than design by more than so many standard deviations of all cores",
    ),
    Key::required(
        "most",
        Form::Quantity(Kind::Percent),
        "\"10 percent\"",
        "no more than this share of the cores, thickest first",
    ),
];

pub(super) const AVERAGE: &[Key] = &[
    Key::required(
        "judged",
        Form::Choice(&["lot", "section"]),
        "\"lot\"",
        "what is averaged and priced: the whole lot, or the deficient section around thin cores",
    ),
    Key::optional(
        "of",
        Form::Choice(&["mean", "thinnest"]),
        "\"thinnest\"",
        "what stands for it: the mean of its cores, or its thinnest core; else the mean",
    ),
    Key::required(
        "tolerance",
        number_of(&SHARE, &SHARE_ALONE),
        "\"0.20 in\"",
        "a core deficient by no more than this is good",
    ),
    Key::required(
        "reach",
        Form::Choice(&["to the good core", "half way", "to the lot's end", "length"]),
        "\"to the good core\"",
        "how far a deficient section reaches along its lane: to the neighbouring good core, half way to it, \
         to the lot's ends, or so far each way as `reach_length` says; a lot without `thin_exclusion` has no such section",
    ),
    Key::optional("reach_length", number_of(&LENGTH, &LENGTH_ALONE), "\"50 ft\"", "see `reach`"),
    Key::optional(
        "across",
        Form::Choice(&["lane", "placed width"]),
        "\"placed width\"",
        "what it takes in across: its lane, or all lanes that were placed with it; else its lane",
    ),
    Key::optional(
        "apart",
        Form::Choice(&["decision", "own average"]),
        "\"own average\"",
        "what becomes of the section around cores left out: the engineer decides, or it is priced at its own average by \
         the same table; else the engineer decides",
    ),
    Key::required("round", Form::Rounding, "\"0.01 half up\"", "rounding of the average"),
    CLAUSE,
];

pub(super) const EXPLORE: &[Key] = &[
    Key::required(
        "at",
        Form::Text,
        "\"5 50\"",
        "distances from a bad core, each way along its lane, in the unit of lengths",
    ),
    Key::required("then_every", Form::Number, "100", "and on, every so far, until a core is good"),
    Key::required(
        "from",
        Form::Choice(&["bad core", "core before"]),
        "\"bad core\"",
        "where those distances are measured from: the bad core, or each from the core before it",
    ),
    Key::optional(
        "across_beyond",
        number_of(&LENGTH, &LENGTH_ALONE),
        "\"12 ft\"",
        "where what was placed is wider, also a core across, half way from the bad core to the farther edge",
    ),
    CLAUSE,
];

pub(super) const VOLUME: &[Key] = &[
    Key::required(
        "credit",
        number_of(&DEPTH, &DEPTH_ALONE),
        "\"0.04 ft\"",
        "pay is by the volume measured; a depth above design plus this counts as design plus this",
    ),
    CLAUSE,
];

pub(super) const WITHIN_DEPTH: &[Key] = &within(&DEPTH, &DEPTH_ALONE);

const LENGTH: Form = Form::Quantity(Kind::Length);
const DEPTH: Form = Form::Quantity(Kind::DepthAsWritten);
/// A depth, or a percentage of the design thickness.
const SHARE: Form = Form::Quantity(Kind::DepthOrPercent);
const LENGTH_ALONE: Form = alone(&[is(LENGTH, "\"50 ft\""), OWN_CLAUSE]);
const DEPTH_ALONE: Form = alone(&[is(DEPTH, "\"0.20 in\""), OWN_CLAUSE]);
const SHARE_ALONE: Form = alone(&[is(SHARE, "\"0.20 in\""), OWN_CLAUSE]);

/// The rule of a file; `None` once its mistakes are reported.
pub(super) fn thickness(
    reader: &mut Reader<'_>,
    root: &Group,
    source: &Source,
    compares: Compares,
) -> Option<ThicknessRule> {
    let lot = root.group("lot").and_then(|table| lot(reader, table, source, false));
    let measure = measure(reader, root, source, false);
    let (cores, average) = (root.group("cores")?, root.group("average")?);
    let depth = depth_in(reader, cores)?;
    let fed = measure.as_ref().map(|measure| fed(measure, depth, compares));
    let pay = root.group("pay").and_then(|table| pay(reader, table, source, fed?));
    let pay = pay.filter(|pay| pay.gives != Gives::MoneyPerSegment);
    let exploring = match root.group("explore") {
        Some(table) => Some(exploring(reader, table, source)?),
        None => None,
    };
    let rule = ThicknessRule {
        lot: lot?,
        depth,
        cores_per_lot: source.count(cores, "per_lot")?,
        cores_if_deficient: source.count(cores, "if_deficient"),
        core: cores.rounding("round")?.value,
        average: average.rounding("round")?.value,
        thick_cap: source.number(cores, "thick_cap"),
        thin_exclusion: source.number(cores, "thin_exclusion"),
        apart: apart(reader, average, cores)?,
        thick_option: cores.group("thick_option").and_then(|table| thick_option(table, source)),
        outliers: outliers(root, source),
        verification: verification(root, source),
        exploring,
        judged: if average.text("judged")?.value == "section" { Judged::Section } else { Judged::Lot },
        taken: if average.text("of").is_some_and(|of| of.value == "thinnest") { Taken::Thinnest } else { Taken::Mean },
        tolerance: source.number(average, "tolerance")?,
        reach: reach(reader, average, source)?,
        across: if average.text("across").is_some_and(|word| word.value == "placed width") {
            Across::Placed
        } else {
            Across::Lane
        },
        measure: measure?,
        volume_credit: root.group("volume").and_then(|table| source.number(table, "credit")),
        pay: pay?,
    };
    sound(reader, root, &rule).then_some(rule)
}

fn fed(measure: &Measure, depth: Unit, compares: Compares) -> Fed {
    let (unit, rounding) = measure.fed(depth, compares);
    Fed {
        unit,
        rounding,
        signed: matches!(measure, Measure::Index { .. }),
        has_ratio: matches!(measure, Measure::Deficiency { .. }),
        has_segment: false,
    }
}

/// The unit in which thickness is judged; all depths of the file are in it.
fn depth_in(reader: &mut Reader<'_>, cores: &Group) -> Option<Unit> {
    let usual = reader.system()?.depth();
    let Some(unit) = cores.unit("depth_in") else { return Some(usual) };
    if [usual, reader.system()?.length()].contains(&unit.value) {
        return Some(unit.value);
    }
    let message = format!("'{}' is \"{}\", in which no depth is judged here", unit.key, unit.written);
    reader.mistake(unit.at, message, format!("write {usual} or {}", reader.system()?.length()));
    None
}

/// What no single key can say.
fn sound(reader: &mut Reader<'_>, root: &Group, rule: &ThicknessRule) -> bool {
    let depths =
        [Some(&rule.tolerance), rule.thick_cap.as_ref(), rule.thin_exclusion.as_ref(), rule.volume_credit.as_ref()];
    let limits = match &rule.measure {
        Measure::Within(within) => [&within.lower, &within.upper],
        _ => [&None, &None],
    };
    let limits = limits.into_iter().flatten().filter_map(|limit| match limit {
        super::LimitFrom::By(number) => Some(number),
        super::LimitFrom::Percent(_) => None,
    });
    let shares = [Unit::Percent, rule.depth];
    let other = depths.into_iter().flatten().chain(limits).find(|number| !shares.contains(&number.unit));
    if let Some(other) = other {
        let message = format!("'{}' is \"{}\", but thickness is judged in {}", other.key, other.written, rule.depth);
        reader.mistake(root.at, message, format!("give it in {}, or write 'depth_in' under [cores]", rule.depth));
        return false;
    }
    if rule.across == Across::Placed && matches!(rule.lot.by, LotBy::Length(_)) {
        let message = "a section takes in all lanes placed with it, but a lot is of one lane";
        reader.mistake(root.at, message, "give the lot's area, volume or 'by', or write across = \"lane\"");
        return false;
    }
    if rule.judged == Judged::Section && !matches!(rule.measure, Measure::Deficiency { .. }) {
        let message = "a deficient section has too few cores for an index or a percent within limits";
        reader.mistake(root.at, message, "write judged = \"lot\" under [average], or measure a [deficiency]");
        return false;
    }
    all_used(reader, root, rule)
}

/// Nothing stands in the file that this rule would pass over without a word.
fn all_used(reader: &mut Reader<'_>, root: &Group, rule: &ThicknessRule) -> bool {
    let by_section = rule.judged == Judged::Section;
    let at = |table: &str, key: &str| root.group(table).map_or(root.at, |table| table.at(key));
    let mut sound = true;
    let mut unused = |is: bool, at, message: &str, remedy: &str| {
        if is {
            reader.mistake(at, message, remedy);
            sound = false;
        }
    };
    unused(
        by_section && rule.thick_option.is_some(),
        at("cores", "thick_option"),
        "a deficient section has no thick cores that could be dropped",
        "take 'thick_option' out, or write judged = \"lot\" under [average]",
    );
    unused(
        by_section && rule.volume_credit.is_some(),
        at("volume", "credit"),
        "the volume measured is that of a whole lot, and this rule pays sections",
        "take [volume] out, or write judged = \"lot\" under [average]",
    );
    unused(
        rule.thick_cap.is_some() && rule.volume_credit.is_some(),
        at("volume", "credit"),
        "'thick_cap' and the credit of [volume] both say what a thick core counts as",
        "keep one of the two",
    );
    unused(
        rule.exploring.is_some() && !by_section && rule.thin_exclusion.is_none(),
        at("explore", "at"),
        "a whole lot is averaged with all its cores, so none calls for exploratory cores",
        "add 'thin_exclusion' under [cores], or take [explore] out",
    );
    unused(
        rule.taken == Taken::Thinnest && !matches!(rule.measure, Measure::Deficiency { .. }),
        at("average", "of"),
        "the thinnest core alone has no spread, so it makes no index and no percent within limits",
        "take 'of' out, or measure a [deficiency]",
    );
    sound
}

fn apart(reader: &mut Reader<'_>, average: &Group, cores: &Group) -> Option<Apart> {
    let Some(word) = average.text("apart") else { return Some(Apart::Decision) };
    let by_lot = average.text("judged").is_some_and(|judged| judged.value == "lot");
    if !by_lot || !cores.has("thin_exclusion") {
        let message = format!("'{}' is for a lot whose thin cores are left out, and none are", word.key);
        reader.mistake(word.at, message, "take it out, or write judged = \"lot\" and a 'thin_exclusion' under [cores]");
        return None;
    }
    Some(if word.value == "own average" { Apart::OwnAverage } else { Apart::Decision })
}

fn thick_option(table: &Group, source: &Source) -> Option<ThickOption> {
    Some(ThickOption { beyond: source.plain(table, "beyond", Unit::One)?, most: source.number(table, "most")? })
}

fn reach(reader: &mut Reader<'_>, average: &Group, source: &Source) -> Option<Reach> {
    let word = average.text("reach")?;
    if average.has("reach_length") != (word.value == "length") {
        let message = "'reach' and 'reach_length' do not go together";
        reader.mistake(word.at, message, "write reach = \"length\" and its 'reach_length', or neither");
        return None;
    }
    Some(match word.value.as_str() {
        "half way" => Reach::HalfWay,
        "to the lot's end" => Reach::LotEnd,
        "length" => Reach::Length(source.number(average, "reach_length")?),
        _ => Reach::ToGoodCore,
    })
}

fn exploring(reader: &mut Reader<'_>, table: &Group, source: &Source) -> Option<Exploring> {
    let unit = reader.system()?.length();
    let at = table.text("at")?;
    let one = |word: &str| {
        let value = word.parse().ok()?;
        Some(RuleNumber {
            value,
            unit,
            written: format!("{word} {unit}"),
            set: source.id.clone(),
            key: at.key.clone(),
            clause: source.clause(table),
        })
    };
    let Some(distances) = at.value.split_whitespace().map(one).collect::<Option<Vec<_>>>() else {
        let message = format!("'{}' is \"{}\"", at.key, at.written);
        reader.mistake(at.at, message, "write distances with blanks between them, such as \"5 50\"");
        return None;
    };
    if distances.is_empty() || distances.windows(2).any(|pair| pair[0].value >= pair[1].value) {
        reader.mistake(at.at, "distances do not grow", "write them from the nearest on");
        return None;
    }
    Some(Exploring {
        at: distances,
        every: source.plain(table, "then_every", unit)?,
        from_bad_core: table.text("from")?.value == "bad core",
        across_beyond: source.number(table, "across_beyond"),
    })
}
