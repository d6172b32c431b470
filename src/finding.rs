//! Rank 2. Something a reader must see.
//!
//! A finding says where, what was found, what was expected and what to do about it. Every code stands once in [`Code`];
//! from that list come the workbook's legend and the check that each code has its example under `tests/findings`.

use std::borrow::Cow;
use std::fmt;

use serde::Serialize;

use crate::legible::legible;
use crate::source::CellRef;

/// What sort of thing a reader must see.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// A row, sheet or file could not be read.
    Reject,
    /// Records contradict each other.
    Conflict,
    /// A test fails its rule.
    Deficiency,
    /// Something required is missing.
    Gap,
    /// Read and used, but a reader should know.
    Note,
}

/// Where a finding points.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Place {
    /// A cell of a field sheet.
    Cell(CellRef),
    /// A row of a field sheet.
    Row(CellRef),
    /// A line of a file: contract or rule set.
    Line {
        /// File name inside the contract folder.
        file: String,
        /// From 1.
        line: u32,
        /// From 1.
        column: u32,
    },
    /// A whole file, or a sheet of it.
    File(String),
    /// A stretch, lot, item or ticket, in words.
    Named(String),
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Which finding.
    pub code: Code,
    /// Where.
    pub place: Place,
    /// What was found and what was expected.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// Other records concerned.
    pub related: Vec<Place>,
    /// True where the amount due can change once it is settled: the reports are then not final.
    pub open: bool,
}

macro_rules! codes {
    ($($name:ident $word:literal $kind:ident $open:literal $meaning:literal;)*) => {
        /// Every finding the program can raise.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Code { $(#[doc = $meaning] $name,)* }

        impl Code {
            /// All codes, in the order they are listed to readers.
            pub const ALL: &'static [Code] = &[$(Code::$name,)*];

            /// The code as printed.
            #[must_use]
            pub fn word(self) -> &'static str { match self { $(Code::$name => $word,)* } }

            /// Which kind it is.
            #[must_use]
            pub fn kind(self) -> Kind { match self { $(Code::$name => Kind::$kind,)* } }

            /// What it means, in a sentence.
            #[must_use]
            pub fn meaning(self) -> &'static str { match self { $(Code::$name => $meaning,)* } }

            /// Whether it keeps the reports from being final.
            #[must_use]
            pub fn keeps_open(self) -> bool { match self { $(Code::$name => $open,)* } }
        }
    };
}

codes! {
    FileUnreadable "file-unreadable" Reject true "A file could not be read, or is not the kind its name says.";
    FilePassedOver "file-passed-over" Note false "A file in the field folder is not a spreadsheet by its name, so it was not opened.";
    EncodingAssumed "encoding-assumed" Note false "A text file does not say its encoding and is not UTF-8; it was read as windows-1252.";
    SheetUnrecognised "sheet-unrecognised" Reject true "A sheet holds rows but no headings that this program knows.";
    UnitUnknown "unit-unknown" Reject true "Nothing says in which unit a column is written.";
    CellUnreadable "cell-unreadable" Reject true "A cell does not hold what its column needs.";
    CellMissing "cell-missing" Reject true "A row lacks a value that its kind of record needs.";
    CellError "cell-error" Reject true "A cell holds a spreadsheet error instead of a value.";
    FormulaUnstored "formula-unstored" Reject true "A formula has no stored value, so nothing was computed when the sheet was saved.";
    DateAmbiguous "date-ambiguous" Reject true "A date can be read two ways.";
    StationUnplaced "station-unplaced" Reject true "A station is not on the alignment, or stands on it twice.";
    LaneUnknown "lane-unknown" Reject true "A lane is named that the contract does not have.";
    ItemUnknown "item-unknown" Reject true "An item is named that the contract does not have.";
    TotalMismatch "total-mismatch" Conflict true "A total on a field sheet differs from the sum of its rows.";
    Duplicate "duplicate" Conflict true "The same record stands in two places with different values.";
    Repeated "repeated" Note false "The same record stands in two places with the same values; it is counted once.";
    CarriedDown "carried-down" Note false "A day or lane written once for each group of rows was taken for the rows below it.";
    HiddenRows "hidden-rows" Note false "Rows hidden on the sheet were read.";
    SetAside "set-aside" Note false "Rows were set aside by the contract file.";
    EntryUnmet "entry-unmet" Note false "An entry of the contract file about sheets or rows fits nothing in the field folder.";
    RowCorrected "row-corrected" Note false "A refused row is read with a corrected value.";
    CorrectionUnfit "correction-unfit" Reject true "A correction of a refused row is incomplete, or fits no refused row.";
    ColumnUnused "column-unused" Note false "A column of a recognised table was not used.";
    PlacedTwice "placed-twice" Conflict true "Two placements cover the same stretch of a lane.";
    PlacedNowhere "placed-nowhere" Conflict true "A placement lies outside every section of the contract.";
    NotPlaced "not-placed" Gap false "A stretch between placements has none.";
    LoadWithoutPlacement "load-without-placement" Conflict true "A load fits no placement, or more than one.";
    LoadContradicts "load-contradicts" Conflict false "A load names a placement of another day, lane or mix.";
    PlacementWithoutLoads "placement-without-loads" Gap true "A placement has no loads.";
    PlacedUnderTheory "placed-under-theory" Deficiency false "Less concrete was placed than the plan volume needs: the slab may be thin.";
    OverLimit "over-limit" Note false "More concrete was placed than the contract's limit for its theoretical volume.";
    OverActLimit "over-act-limit" Deficiency false "More concrete was placed than the contract lets pass before something is done.";
    YieldLeftLimit "yield-left-limit" Note false "Concrete placed to date went over the contract's limit with this placement.";
    YieldUnlikeOthers "yield-unlike-others" Note false "A placement took far more or less than the others make likely.";
    MixUnderYields "mix-under-yields" Note false "Loads of a mix yield less by density than their tickets say, by more than chance.";
    GradeLow "grade-low" Note false "The surface under the slab lies below its design by more than the contract lets pass.";
    CoreUnplaced "core-unplaced" Conflict true "A core stands where nothing was placed.";
    CorePurpose "core-purpose" Conflict true "A core's remarks contradict what its sheet says it is for.";
    CoreVoid "core-void" Note false "A core is void and counts nowhere; its remarks say why.";
    CoreUndrawn "core-undrawn" Gap false "No place of a stratum is clear of edges and ends, so no core is drawn in it.";
    CoreMoved "core-moved" Conflict false "A core was not taken where it was drawn.";
    CoreLate "core-late" Conflict false "A core was taken later than the contract has it due.";
    CoreMissing "core-missing" Gap true "A lot has fewer cores than its rule needs.";
    ThicknessDeficient "thickness-deficient" Deficiency false "Measured thickness is deficient under the rule.";
    ThicknessUnresolved "thickness-unresolved" Deficiency true "A very thin core needs exploratory cores and the engineer's decision.";
    StrengthMissing "strength-missing" Gap false "A strength test is outstanding.";
    StrengthOverdue "strength-overdue" Gap true "A strength test is overdue.";
    StrengthUnplaced "strength-unplaced" Conflict true "A specimen belongs to no placement, or its section has no specified strength.";
    StrengthAge "strength-age" Conflict true "A specimen's age contradicts its dates, or cannot be told.";
    SettlesUnknown "settles-unknown" Conflict true "A result is to settle another that cannot be told, so it counts nowhere.";
    Outlier "outlier" Note false "A result stands apart from the others of its lot by more than chance explains.";
    VerificationMissing "verification-missing" Gap true "The contractor's results count only once the agency's verify them, and there are too few.";
    VerificationDiffers "verification-differs" Conflict false "The contractor's results differ from the agency's by more than chance, so only the agency's count.";
    StrengthLow "strength-low" Deficiency false "Strength is below what the rule allows.";
    CombinedRejected "combined-rejected" Deficiency true "What several properties pay together is below what the rule accepts.";
    FreshOutside "fresh-outside" Deficiency false "A fresh-concrete test is outside its limits.";
    FreshUnplaced "fresh-unplaced" Conflict true "A fresh-concrete test stands for no placed concrete that can be told.";
    SmoothnessUnplaced "smoothness-unplaced" Conflict true "A smoothness segment or a straightedge deviation lies where nothing was placed.";
    SmoothnessTwice "smoothness-twice" Conflict true "Two smoothness segments cover the same stretch of a lane.";
    SmoothnessIndex "smoothness-index" Conflict false "A smoothness segment has another index than the one its rule judges.";
    SmoothnessMissing "smoothness-missing" Gap false "Smoothness was not measured on a stretch, or with fewer passes than its rule needs.";
    SmoothnessRough "smoothness-rough" Deficiency false "A segment is rougher than its rule pays in full, or needs correction.";
    StraightedgeMissing "straightedge-missing" Gap true "A lot has no straightedge measurements.";
    StraightedgeOver "straightedge-over" Deficiency false "Straightedge deviations exceed what the rule pays in full, or need correction.";
    BilledTwice "billed-twice" Conflict false "An invoice bills a ticket that was billed before.";
    BilledNotReceived "billed-not-received" Conflict false "An invoice bills a ticket that stands on no load sheet.";
    BilledRejected "billed-rejected" Conflict false "An invoice bills a load that was rejected.";
    BilledVolume "billed-volume" Conflict false "An invoice bills more concrete than the ticket says.";
    BilledPrice "billed-price" Conflict false "An invoice bills another price than the agreed one.";
    BilledMix "billed-mix" Conflict false "An invoice bills another mix than the ticket says.";
    BilledAmount "billed-amount" Conflict false "The amount of an invoice line is not its quantity times its price.";
    BilledShortLoad "billed-short-load" Conflict false "An invoice charges a short load that is none, or more for it than was agreed.";
    BilledWaiting "billed-waiting" Conflict false "An invoice bills more waiting than the ticket's times bear out, or more for it than was agreed.";
    ReceivedNotBilled "received-not-billed" Note false "Loads were received that stand on no invoice.";
    NotAdjusted "not-adjusted" Note false "Pay by a rule is not the full price, but no item is adjusted by it.";
    ItemWithoutRecords "item-without-records" Gap false "A contract item has no supporting records.";
    LoadTwice "load-twice" Conflict false "Two tickets say the same load: one truck, one time, one volume.";
    TruckOverlap "truck-overlap" Conflict false "A truck was batched again before it had discharged.";
    RoundTooShort "round-too-short" Note false "A truck was batched again sooner than the contract's shortest round.";
    DischargeLate "discharge-late" Deficiency false "A load was discharged later after batching than the contract allows.";
    RevolutionsOver "revolutions-over" Deficiency false "The drum turned more often before discharge than the contract allows.";
    WaterOver "water-over" Deficiency false "More water was added to a load than the plant had withheld.";
    WaterCementOver "water-cement-over" Deficiency false "A load has more water to its cementitious material than its mix may have.";
    MixUnknown "mix-unknown" Conflict false "Loads name a mix that the contract does not have.";
    MixWrong "mix-wrong" Conflict false "A mix went where the contract does not have it.";
    LoadHours "load-hours" Note false "A load was batched outside the contract's working day.";
    BatchOutside "batch-outside" Deficiency false "A batch weight is off its target by more than the contract's tolerance.";
    BatchSum "batch-sum" Conflict false "Batch weights do not add up to the total beside them.";
    BatchWithoutLoad "batch-without-load" Note false "Batch weights name tickets that are no load.";
    TicketGap "ticket-gap" Gap false "Numbers are missing among tickets that are numbered through.";
    LooksCopied "looks-copied" Note false "Batch weights repeat each other, or end in digits, as chance would hardly have it.";
    MaterialMissing "material-missing" Gap false "A material is needed for what is placed, and nothing on record says that any came.";
    MaterialOver "material-over" Note false "More of a material was used than its ground needs, beyond the contract's limit.";
    MaterialUnder "material-under" Deficiency false "Less of a material was used than its ground needs, beyond the contract's limit.";
    MaterialUnknown "material-unknown" Reject true "A material is named that the contract keeps no account of.";
    DensityOutside "density-outside" Deficiency false "A density test is outside what its rule asks of its layer, and no retest passed.";
    MoistureOutside "moisture-outside" Deficiency false "A density test was taken outside the moisture window of its rule.";
    DensityImpossible "density-impossible" Conflict false "A density is above what its moisture leaves room for: more than solids and water can weigh.";
    DensityPrinted "density-printed" Conflict false "A printed percent of maximum density differs from the one that its own row makes.";
    DensityTurns "density-turns" Conflict false "Whether a density test passes turns on the last digit of what its sheet prints.";
    CompactionMissing "compaction-missing" Gap false "Nothing on record says how dense a tested material can be made.";
    RetestUnknown "retest-unknown" Conflict false "A density test repeats one that is not on record, or that lies elsewhere.";
    LevelOutside "level-outside" Deficiency false "A surface lies off its design by more than its rule allows.";
    DepthOutside "depth-outside" Deficiency false "Base or mixed grade is not as deep as its rule asks.";
    BarOutside "bar-outside" Deficiency false "A dowel or tie bar lies off its place by more than its rule allows.";
    BasketsShort "baskets-short" Gap false "Fewer baskets were set on a stretch than it has joints.";
    JointSpacing "joint-spacing" Deficiency false "Joints are farther apart than the slab's thickness allows.";
    SawLate "saw-late" Deficiency false "Joints were sawn later than their rule allows.";
    SawShallow "saw-shallow" Deficiency false "A saw cut is shallower than its rule asks.";
    CureLate "cure-late" Deficiency false "Curing began later than its rule allows.";
    CureThin "cure-thin" Deficiency false "Curing compound was spread thinner than its rule allows.";
    TemperatureOutside "temperature-outside" Deficiency false "Concrete or air was outside its temperature limits.";
    EvaporationHigh "evaporation-high" Deficiency false "Water could evaporate from the fresh slab faster than its rule lets pass without precautions.";
    EvaporationPrinted "evaporation-printed" Conflict false "A printed rate of evaporation differs from the one that its own row makes.";
    StepOutOfOrder "step-out-of-order" Conflict false "A step was done before one that has to come first.";
    CoveredUntested "covered-untested" Conflict false "Ground was covered before it was tested or accepted.";
    StepMissing "step-missing" Gap false "A step is on record for some of the pavement and not for all of it.";
    ProofMissing "proof-missing" Gap false "Fewer tests are on record than a rule requires.";
    MaturityUnplaced "maturity-unplaced" Conflict false "A temperature logger lies in no placement that can be told.";
    MaturityGap "maturity-gap" Gap false "A temperature logger has no readings for longer than its rule reckons through.";
    MaturityCurve "maturity-curve" Gap false "A mix has no strength-maturity curve, or one from too few specimens.";
    OpenedEarly "opened-early" Deficiency false "Pavement was opened before the records say that it might be.";
    ReasonMissing "reason-missing" Gap true "The final estimate has an item that was built otherwise than agreed, and no reason is given.";
    QuantityUnitWrong "quantity-unit-wrong" Conflict true "A hand-measured row does not give what its item is paid by.";
    PercentFalls "percent-falls" Conflict true "An item is less complete by a later row than by one before it.";
    StoredUnpaid "stored-unpaid" Gap true "A stored material is paid for, and its own paid invoice is overdue.";
    QuantityVaries "quantity-varies" Note false "A quantity is so far from the one planned that either side may ask for another price.";
    IndexMissing "index-missing" Gap true "A month lacks the published price that the pay of an item follows.";
    BeforeChange "before-change" Conflict true "An item that a change adds was measured before the change holds.";
    QuantityDiffers "quantity-differs" Conflict true "A hand-measured quantity differs from the dimensions beside it.";
    CheckedBySelf "checked-by-self" Conflict false "Whoever measured a quantity is named as having checked it.";
    QuantityUnchecked "quantity-unchecked" Gap true "The contract wants a second person to check quantities, and nobody did.";
    PaperMissing "paper-missing" Gap false "A paper that pay depends on is due and not on record.";
    PaperAmbiguous "paper-ambiguous" Conflict true "A document could be either of several papers that the contract asks for.";
    RuleFromMemory "rule-from-memory" Note false "A rule set in use is an example or was written from memory.";
    RuleReplaced "rule-replaced" Note false "A rule set of the contract folder stands in place of a shipped one of the same id.";
    ClosingAltered "closing-altered" Reject true "A closed period is not as it was closed.";
    ClosingInterrupted "closing-interrupted" Note false "A closing was interrupted; what it left behind counts nowhere.";
    ClosingStray "closing-stray" Note false "Something that belongs to no closing lies among the closings.";
    PeriodNotClosed "period-not-closed" Gap true "A period before this one is not closed, though an earlier one is.";
    NotClosable "not-closable" Reject true "A period cannot be closed as it stands.";
    RecordLate "record-late" Note false "Records of a closed period came in after it was closed; they are paid as corrections.";
    RecordChanged "record-changed" Note false "Records of a closed period say something else now; the difference is a correction.";
    RecordGone "record-gone" Note false "Records of a closed period are no longer counted; the difference is a correction.";
    ContractInvalid "contract-invalid" Reject true "The contract file says something this program cannot follow.";
    RenderFailed "render-failed" Reject true "A report could not be made.";
    NotWritten "not-written" Reject true "The reports could not be written.";
    FigureUnknown "figure-unknown" Reject true "A figure was asked for that is not among the results.";
    LotUnknown "lot-unknown" Reject true "A lot was asked for that the contract does not have.";
    FormUnknown "form-unknown" Reject true "A form was asked for that there is none of, or that the contract has no use for.";
    RuleInvalid "rule-invalid" Reject true "A rule set is not complete or contradicts itself.";
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// Findings quote what was typed, and are printed in terminals: what a terminal would obey is shown as a mark.
fn shown(words: String) -> String {
    let words =
        if words.contains(['\r', '\t']) { words.replace("\r\n", "\n").replace(['\r', '\t'], " ") } else { words };
    match legible(&words) {
        Cow::Borrowed(_) => words,
        Cow::Owned(marked) => marked,
    }
}

impl Finding {
    /// A finding with its message and remedy.
    #[must_use]
    pub fn new(code: Code, place: Place, message: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            code,
            place,
            message: shown(message.into()),
            remedy: shown(remedy.into()),
            related: Vec::new(),
            open: code.keeps_open(),
        }
    }

    /// The same, naming the other records concerned.
    #[must_use]
    pub fn with(mut self, related: impl IntoIterator<Item = Place>) -> Self {
        self.related.extend(related);
        self
    }

    /// Which kind it is.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.code.kind()
    }
}

/// Findings of a whole run, in one order whatever the order they came in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Findings(Vec<Finding>);

impl Findings {
    /// None yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes one up.
    pub fn add(&mut self, finding: Finding) {
        self.0.push(finding);
    }

    /// Takes up many.
    pub fn extend(&mut self, more: impl IntoIterator<Item = Finding>) {
        self.0.extend(more);
    }

    /// Kind, code, place, message: the order of every list.
    pub fn sort(&mut self) {
        self.0.sort_by(|a, b| (a.kind(), a.code, &a.place, &a.message).cmp(&(b.kind(), b.code, &b.place, &b.message)));
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Finding> {
        self.0.iter()
    }

    /// How many are of a kind.
    #[must_use]
    pub fn count(&self, kind: Kind) -> usize {
        self.0.iter().filter(|f| f.kind() == kind).count()
    }

    /// True where any keeps the reports from being final.
    #[must_use]
    pub fn keep_open(&self) -> bool {
        self.0.iter().any(|f| f.open)
    }

    /// None at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl IntoIterator for Findings {
    type Item = Finding;
    type IntoIter = std::vec::IntoIter<Finding>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}
