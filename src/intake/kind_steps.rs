//! The kinds of record of the steps below, in and after the slab: a part of the one table of [`super::kind`]. Common practice;
//! no document.

use super::kind::{
    Field, FieldSpec, Holds, Kind, KindSpec, Measure, elsewhere, field, from, lane, mix, placement, remarks, station,
    to, unit,
};

const fn number(wordings: &'static [&'static str]) -> FieldSpec {
    field(Field::Number, Holds::Text, wordings)
}

/// From and to in one cell; a column `Station` alone may hold one station.
const fn stretch() -> FieldSpec {
    field(
        Field::Stations,
        Holds::Stations,
        &[
            "stations",
            "station limits",
            "station range",
            "limits",
            "station to station",
            "from to",
            "station from to",
            "from station to station",
            "extent",
        ],
    )
}

const fn time(wordings: &'static [&'static str]) -> FieldSpec {
    field(Field::Time, Holds::Time, wordings)
}

const fn offset() -> FieldSpec {
    field(
        Field::Offset,
        Holds::Text,
        &[
            "offset",
            "offset from cl",
            "cl offset",
            "offset from edge",
            "offset from centreline",
            "offset from centerline",
        ],
    )
}

const fn by() -> FieldSpec {
    field(
        Field::By,
        Holds::Text,
        &[
            "by",
            "crew",
            "inspector",
            "tech",
            "technician",
            "tested by",
            "measured by",
            "done by",
            "recorded by",
            "taken by",
            "author",
            "foreman",
        ],
    )
}

/// One step of the work on a stretch, or at a joint.
pub(super) const WORK: KindSpec = KindSpec {
    kind: Kind::Work,
    word: "work",
    noun: "step",
    id: Field::Number,
    needs: &[&[Field::Date], &[Field::Lane], &[Field::From, Field::Stations, Field::Station]],
    principal: Field::Depth,
    fields: &[
        number(&["entry no", "entry", "record no", "report no", "no", "id"]),
        field(
            Field::Step,
            Holds::Text,
            &["step", "operation", "activity", "work done", "work performed", "stage", "event", "type of work", "work"],
        ),
        field(
            Field::Date,
            Holds::Date,
            &[
                "date sawn",
                "date sawed",
                "date cured",
                "date sealed",
                "date opened",
                "date closed",
                "date placed",
                "date set",
                "date compacted",
                "date trimmed",
                "date mixed",
                "date done",
                "date of work",
                "work date",
                "date",
                "day",
            ],
        ),
        field(
            Field::Start,
            Holds::Time,
            &[
                "start",
                "start time",
                "time started",
                "begin",
                "begin time",
                "time begun",
                "begun",
                "cure start",
                "time applied",
                "applied",
                "time",
                "time opened",
            ],
        ),
        field(
            Field::Finish,
            Holds::Time,
            &[
                "finish",
                "finish time",
                "time finished",
                "end time",
                "time ended",
                "ended",
                "time sawn",
                "time sawed",
                "completed",
            ],
        ),
        lane(),
        from(),
        to(),
        stretch(),
        field(
            Field::Station,
            Holds::Station,
            &["joint station", "station", "station no", "joint", "location station", "station location"],
        ),
        field(
            Field::Depth,
            Holds::Measure(Measure::Depth),
            &[
                "depth of cut",
                "saw depth",
                "cut depth",
                "depth sawn",
                "depth sawed",
                "depth placed",
                "base depth",
                "depth of base",
                "compacted depth",
                "mixing depth",
                "depth mixed",
                "depth of mixing",
                "tilled depth",
                "depth",
                "thickness",
            ],
        ),
        field(
            Field::Rate,
            Holds::Measure(Measure::Coverage),
            &[
                "coverage",
                "rate of coverage",
                "application rate",
                "coverage rate",
                "spread rate",
                "rate",
                "sf gal",
                "ft2 gal",
                "sq ft gal",
                "m2 l",
            ],
        ),
        field(
            Field::Count,
            Holds::Count,
            &[
                "baskets set",
                "baskets placed",
                "baskets",
                "bars set",
                "bars placed",
                "bars",
                "tie bars",
                "pieces set",
                "pieces",
                "joints",
                "count",
                "no set",
            ],
        ),
        field(
            Field::Material,
            Holds::Text,
            &[
                "compound",
                "curing compound",
                "sealant",
                "material",
                "product",
                "opened to",
                "open to",
                "closed to",
                "traffic",
                "method",
            ],
        ),
        field(
            Field::Accepted,
            Holds::Date,
            &[
                "date accepted",
                "accepted on",
                "accepted",
                "acceptance date",
                "date approved",
                "approved on",
                "approved",
            ],
        ),
        field(Field::Status, Holds::Text, &["result", "status", "passed", "pass", "pass fail", "ok"]),
        by(),
        elsewhere(&["weather", "gallons", "quantity", "length", "area", "equipment", "roller", "saw", "passes"]),
        remarks(),
        unit(),
    ],
};

/// A density and moisture test.
pub(super) const DENSITY: KindSpec = KindSpec {
    kind: Kind::Density,
    word: "density",
    noun: "density test",
    id: Field::Number,
    needs: &[&[Field::Date], &[Field::Station], &[Field::Dry, Field::Wet]],
    principal: Field::Dry,
    fields: &[
        number(&["test no", "density test no", "density test", "test id", "test", "no", "id"]),
        field(Field::Date, Holds::Date, &["test date", "date tested", "date of test", "date", "day"]),
        lane(),
        station(),
        offset(),
        field(Field::Surface, Holds::Text, &["layer", "course", "surface", "tested layer"]),
        field(
            Field::Material,
            Holds::Text,
            &[
                "curve",
                "curve no",
                "proctor",
                "proctor no",
                "material",
                "material no",
                "soil",
                "soil type",
                "compaction curve",
            ],
        ),
        field(Field::Lift, Holds::Text, &["lift", "lift no", "elevation", "depth below grade", "below grade"]),
        field(Field::Method, Holds::Text, &["method", "test method", "gauge", "gauge no", "mode"]),
        field(
            Field::Wet,
            Holds::Measure(Measure::Density),
            &["wet density", "in place wet density", "density wet", "wet unit weight", "wet", "wd"],
        ),
        field(
            Field::Dry,
            Holds::Measure(Measure::Density),
            &["dry density", "in place dry density", "density dry", "dry unit weight", "dry", "dd"],
        ),
        field(
            Field::Moisture,
            Holds::Measure(Measure::Percent),
            &[
                "moisture",
                "moisture content",
                "percent moisture",
                "moisture percent",
                "water content",
                "in place moisture",
                "mc",
            ],
        ),
        field(
            Field::Maximum,
            Holds::Measure(Measure::Density),
            &[
                "maximum dry density",
                "maximum density",
                "proctor maximum",
                "lab maximum",
                "mdd",
                "maximum",
                "proctor density",
            ],
        ),
        field(
            Field::Optimum,
            Holds::Measure(Measure::Percent),
            &["optimum moisture", "optimum moisture content", "optimum", "omc"],
        ),
        field(
            Field::PercentOf,
            Holds::Measure(Measure::Percent),
            &[
                "percent compaction",
                "percent of maximum",
                "percent maximum",
                "compaction percent",
                "compaction",
                "relative compaction",
                "percent comp",
                "comp",
                "percent density",
            ],
        ),
        field(
            Field::RetestOf,
            Holds::Text,
            &["retest of", "retest of no", "retest of test", "retests", "retest", "repeat of"],
        ),
        elsewhere(&[
            "tested by",
            "by",
            "inspector",
            "technician",
            "probe depth",
            "pass fail",
            "result",
            "required",
            "spec",
        ]),
        remarks(),
    ],
};

/// A laboratory's compaction curve.
pub(super) const COMPACTION: KindSpec = KindSpec {
    kind: Kind::Compaction,
    word: "compaction",
    noun: "compaction curve",
    id: Field::Material,
    needs: &[&[Field::Material], &[Field::Maximum], &[Field::Optimum]],
    principal: Field::Maximum,
    fields: &[
        field(
            Field::Material,
            Holds::Text,
            &[
                "curve",
                "curve no",
                "proctor",
                "proctor no",
                "material",
                "material no",
                "soil",
                "soil type",
                "sample no",
                "sample",
            ],
        ),
        field(
            Field::Maximum,
            Holds::Measure(Measure::Density),
            &["maximum dry density", "maximum density", "proctor maximum", "maximum dry unit weight", "mdd", "maximum"],
        ),
        field(
            Field::Optimum,
            Holds::Measure(Measure::Percent),
            &["optimum moisture", "optimum moisture content", "optimum", "omc"],
        ),
        field(
            Field::Gravity,
            Holds::Measure(Measure::Ratio),
            &["specific gravity", "specific gravity of solids", "gs", "sp gr", "sg"],
        ),
        field(Field::Date, Holds::Date, &["date", "report date", "date of report", "date tested", "date sampled"]),
        elsewhere(&["method", "test method", "description", "source", "lab", "laboratory"]),
        remarks(),
    ],
};

/// Where a bar lies.
pub(super) const BARS: KindSpec = KindSpec {
    kind: Kind::Bars,
    word: "bars",
    noun: "bar position",
    id: Field::Number,
    needs: &[&[Field::Date], &[Field::Lane], &[Field::Station], &[Field::Depth, Field::Side, Field::Tilt, Field::Skew]],
    principal: Field::Depth,
    fields: &[
        number(&["check no", "check", "no", "id"]),
        field(Field::Date, Holds::Date, &["date measured", "date scanned", "date checked", "scan date", "date", "day"]),
        lane(),
        field(Field::Station, Holds::Station, &["joint station", "station", "station no", "joint", "joint no"]),
        field(Field::Bar, Holds::Text, &["bar type", "type of bar", "type", "kind"]),
        field(Field::Place, Holds::Text, &["bar no", "bar", "dowel no", "dowel", "tie bar no", "position"]),
        field(
            Field::Depth,
            Holds::Measure(Measure::Depth),
            &["depth to centre", "depth to center", "depth of bar", "bar depth", "dowel depth", "depth"],
        ),
        field(
            Field::Side,
            Holds::Measure(Measure::SignedDepth),
            &["side shift", "longitudinal shift", "shift", "off joint", "off the joint", "centring", "centering"],
        ),
        field(
            Field::Tilt,
            Holds::Measure(Measure::SignedDepth),
            &["vertical tilt", "tilt", "vertical skew", "vertical rotation", "vertical misalignment", "vertical"],
        ),
        field(
            Field::Skew,
            Holds::Measure(Measure::SignedDepth),
            &["horizontal skew", "skew", "horizontal rotation", "horizontal misalignment", "turn", "horizontal"],
        ),
        elsewhere(&["offset", "by", "inspector", "measured by", "device"]),
        remarks(),
    ],
};

/// Weather at a time of day.
pub(super) const WEATHER: KindSpec = KindSpec {
    kind: Kind::Weather,
    word: "weather",
    noun: "weather reading",
    id: Field::Date,
    needs: &[&[Field::Date], &[Field::AirTemperature], &[Field::Humidity, Field::Wind]],
    principal: Field::AirTemperature,
    fields: &[
        field(Field::Date, Holds::Date, &["date", "day", "date measured"]),
        time(&["time", "time of day", "hour", "time measured"]),
        lane(),
        station(),
        field(
            Field::AirTemperature,
            Holds::Measure(Measure::Temperature),
            &["air temperature", "ambient temperature", "temperature air", "ambient", "air"],
        ),
        field(
            Field::Humidity,
            Holds::Measure(Measure::Percent),
            &["relative humidity", "humidity", "rh", "rel humidity"],
        ),
        field(Field::Wind, Holds::Measure(Measure::Speed), &["wind speed", "wind", "wind velocity"]),
        field(
            Field::Temperature,
            Holds::Measure(Measure::Temperature),
            &[
                "concrete temperature",
                "temperature concrete",
                "temperature of concrete",
                "slab temperature",
                "concrete",
            ],
        ),
        field(
            Field::Evaporation,
            Holds::Measure(Measure::Evaporation),
            &["evaporation rate", "evaporation", "rate of evaporation", "evap rate", "evap"],
        ),
        by(),
        elsewhere(&["sky", "conditions", "rain", "precipitation", "wind direction"]),
        remarks(),
    ],
};

/// A reading of a temperature logger.
pub(super) const LOGGER: KindSpec = KindSpec {
    kind: Kind::Logger,
    word: "logger",
    noun: "logger reading",
    id: Field::Sensor,
    needs: &[&[Field::Sensor], &[Field::Date, Field::Moment], &[Field::Time, Field::Moment], &[Field::Temperature]],
    principal: Field::Temperature,
    fields: &[
        field(
            Field::Sensor,
            Holds::Text,
            &["sensor", "sensor no", "sensor id", "logger", "logger no", "logger id", "probe id"],
        ),
        field(Field::Date, Holds::Date, &["date", "day", "date read"]),
        time(&["time", "time of day", "time read", "hour"]),
        field(
            Field::Moment,
            Holds::Moment,
            &["timestamp", "time stamp", "date time", "datetime", "date and time", "reading time"],
        ),
        field(
            Field::Temperature,
            Holds::Measure(Measure::Temperature),
            &["temperature", "concrete temperature", "slab temperature", "internal temperature"],
        ),
        lane(),
        station(),
        placement(),
        mix(),
        elsewhere(&["maturity", "battery", "age", "reading no", "no"]),
        remarks(),
    ],
};

/// A specimen of a strength-maturity curve.
pub(super) const CALIBRATION: KindSpec = KindSpec {
    kind: Kind::Calibration,
    word: "calibration",
    noun: "maturity specimen",
    id: Field::Number,
    needs: &[&[Field::Strength], &[Field::Factor, Field::EquivalentAge]],
    principal: Field::Strength,
    fields: &[
        number(&["specimen", "specimen no", "specimen id", "cylinder", "cylinder no", "no", "id"]),
        field(Field::Date, Holds::Date, &["date tested", "date broken", "test date", "date"]),
        mix(),
        field(
            Field::Factor,
            Holds::Measure(Measure::Maturity),
            &[
                "maturity",
                "maturity index",
                "temperature time factor",
                "time temperature factor",
                "ttf",
                "maturity factor",
            ],
        ),
        field(Field::EquivalentAge, Holds::Measure(Measure::Hours), &["equivalent age", "eq age", "equiv age"]),
        field(
            Field::Strength,
            Holds::Measure(Measure::Strength),
            &["compressive strength", "strength", "flexural strength", "average strength"],
        ),
        elsewhere(&["age", "age days", "load", "diameter", "date cast", "cast"]),
        remarks(),
        unit(),
    ],
};

/// A photograph or paper.
pub(super) const DOCUMENTS: KindSpec = KindSpec {
    kind: Kind::Documents,
    word: "documents",
    noun: "document",
    id: Field::Number,
    needs: &[&[Field::Number], &[Field::Date], &[Field::About, Field::What]],
    principal: Field::About,
    fields: &[
        number(&[
            "photo no",
            "photo",
            "photograph",
            "photograph no",
            "picture",
            "picture no",
            "document no",
            "document",
            "file name",
            "file",
            "image",
            "letter no",
            "certificate no",
        ]),
        field(Field::Date, Holds::Date, &["date taken", "taken", "date", "day", "document date", "date received"]),
        field(Field::What, Holds::Text, &["document type", "type of document", "type", "kind"]),
        field(
            Field::About,
            Holds::Text,
            &["subject", "shows", "description", "about", "caption", "title", "what it shows", "what"],
        ),
        lane(),
        station(),
        from(),
        to(),
        stretch(),
        by(),
        remarks(),
    ],
};
