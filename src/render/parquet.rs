//! A table for databases as Parquet: typed columns, every one of which may be empty, compressed with Snappy.
//!
//! An exact number is `DECIMAL(18, d)` in 64 bits. Where a value of the column has more decimals than `d` the column gets as
//! many, and where eighteen digits are not enough, thirty-eight; nothing is rounded. The same table gives the same bytes.

use std::sync::Arc;

use chrono::NaiveDate;
use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::data_type::{
    BoolType, ByteArray, ByteArrayType, DataType, DoubleType, FixedLenByteArray, FixedLenByteArrayType, Int32Type,
    Int64Type,
};
use parquet::errors::{ParquetError, Result};
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::types::{Type, TypePtr};
use rust_decimal::Decimal;

use super::RenderError;
use crate::dossier::{Datum, Extract, Field, Holds};

/// Digits of an exact number in 64 bits, and in 16 bytes.
const DIGITS: (i32, i32) = (18, 38);

/// Bytes of a number of 38 digits.
const WIDE: i32 = 16;

/// The file of a table. `program` stands in it as its maker.
///
/// # Errors
/// Where a value cannot be held by its column, in words.
pub fn parquet(extract: &Extract, program: &str) -> std::result::Result<Vec<u8>, RenderError> {
    file(extract, program).map_err(|why| RenderError::Parquet { table: extract.name, message: why.to_string() })
}

fn file(extract: &Extract, program: &str) -> Result<Vec<u8>> {
    let columns: Vec<Column<'_>> = extract.fields.iter().enumerate().map(|(i, f)| Column::of(extract, i, *f)).collect();
    let fields = columns.iter().map(Column::schema).collect::<Result<Vec<TypePtr>>>()?;
    let schema = Arc::new(Type::group_type_builder(extract.name).with_fields(fields).build()?);
    let properties = WriterProperties::builder().set_created_by(program.into()).set_compression(Compression::SNAPPY);
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties.build()))?;
    if !extract.rows.is_empty() {
        let mut group = writer.next_row_group()?;
        for column in &columns {
            let into = group.next_column()?.ok_or_else(|| ParquetError::General("a column is missing".into()))?;
            column.write(into)?;
        }
        group.close()?;
    }
    writer.into_inner()
}

/// A column with its values.
struct Column<'a> {
    field: Field,
    values: Vec<&'a Datum>,
    /// Digits and decimals of an exact number.
    exact: (i32, u32),
}

impl<'a> Column<'a> {
    fn of(extract: &'a Extract, at: usize, field: Field) -> Self {
        let values: Vec<&Datum> = extract.rows.iter().map(|row| row.get(at).unwrap_or(&Datum::Nothing)).collect();
        let numbers = || values.iter().filter_map(|datum| exact(datum));
        let least = if let Holds::Exact(decimals) = field.holds { u32::from(decimals) } else { 0 };
        let decimals = numbers().map(|n| n.normalize().scale()).max().unwrap_or(0).max(least);
        let holds = decimals <= DIGITS.0.unsigned_abs();
        let narrow = holds && numbers().all(|n| scaled(n, decimals).is_some_and(|n| n.abs() < 10_i128.pow(18)));
        Self { field, values, exact: (if narrow { DIGITS.0 } else { DIGITS.1 }, decimals) }
    }

    fn is_narrow(&self) -> bool {
        self.exact.0 == DIGITS.0
    }

    fn schema(&self) -> Result<TypePtr> {
        let (physical, logical) = match self.field.holds {
            Holds::Text => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
            Holds::Day => (Physical::INT32, Some(LogicalType::Date)),
            Holds::Whole => (Physical::INT64, None),
            Holds::Truth => (Physical::BOOLEAN, None),
            Holds::Real => (Physical::DOUBLE, None),
            Holds::Exact(_) => (if self.is_narrow() { Physical::INT64 } else { Physical::FIXED_LEN_BYTE_ARRAY }, {
                let (precision, scale) = (self.exact.0, i32::try_from(self.exact.1).unwrap_or_default());
                Some(LogicalType::decimal(scale, precision))
            }),
        };
        let mut field = Type::primitive_type_builder(self.field.name, physical)
            .with_repetition(Repetition::OPTIONAL)
            .with_logical_type(logical);
        if let Holds::Exact(_) = self.field.holds {
            field = field.with_precision(self.exact.0).with_scale(i32::try_from(self.exact.1).unwrap_or_default());
        }
        if physical == Physical::FIXED_LEN_BYTE_ARRAY {
            field = field.with_length(WIDE);
        }
        Ok(Arc::new(field.build()?))
    }

    fn write(&self, to: SerializedColumnWriter<'_>) -> Result<()> {
        match self.field.holds {
            Holds::Text => self.put::<ByteArrayType>(to, |datum| match datum {
                Datum::Text(text) => Some(ByteArray::from(text.as_str())),
                _ => None,
            }),
            Holds::Day => self.put::<Int32Type>(to, |datum| match datum {
                Datum::Day(day) => Some(days(*day)),
                _ => None,
            }),
            Holds::Whole => self.put::<Int64Type>(to, |datum| match datum {
                Datum::Whole(n) => Some(*n),
                _ => None,
            }),
            Holds::Truth => self.put::<BoolType>(to, |datum| match datum {
                Datum::Truth(truth) => Some(*truth),
                _ => None,
            }),
            Holds::Real => self.put::<DoubleType>(to, |datum| match datum {
                Datum::Real(n) => Some(*n),
                _ => None,
            }),
            Holds::Exact(_) if self.is_narrow() => self.put::<Int64Type>(to, |datum| {
                exact(datum).and_then(|n| scaled(n, self.exact.1)).and_then(|n| i64::try_from(n).ok())
            }),
            Holds::Exact(_) => self.put::<FixedLenByteArrayType>(to, |datum| {
                let wide = exact(datum).and_then(|n| scaled(n, self.exact.1));
                wide.map(|n| FixedLenByteArray::from(n.to_be_bytes().to_vec()))
            }),
        }
    }

    /// Values that are there, and for each row whether it has one.
    fn put<T: DataType>(
        &self,
        mut to: SerializedColumnWriter<'_>,
        value: impl Fn(&Datum) -> Option<T::T>,
    ) -> Result<()> {
        let (mut values, mut there) = (Vec::new(), Vec::with_capacity(self.values.len()));
        for datum in &self.values {
            let value = value(datum);
            if value.is_none() && **datum != Datum::Nothing {
                return Err(ParquetError::General(format!("{} cannot hold {datum:?}", self.field.name)));
            }
            there.push(i16::from(value.is_some()));
            values.extend(value);
        }
        to.typed::<T>().write_batch(&values, Some(&there), None)?;
        to.close()
    }
}

fn exact(datum: &Datum) -> Option<Decimal> {
    if let Datum::Exact(n) = datum { Some(*n) } else { None }
}

/// The number without its decimal point, at so many decimals; `None` where it has more than 38 digits.
fn scaled(number: Decimal, decimals: u32) -> Option<i128> {
    let number = number.normalize();
    let more = 10_i128.checked_pow(decimals.checked_sub(number.scale())?)?;
    number.mantissa().checked_mul(more).filter(|n| n.unsigned_abs() < 10_u128.pow(38))
}

/// Days since 1970-01-01.
fn days(day: NaiveDate) -> i32 {
    let since = day.signed_duration_since(NaiveDate::default()).num_days();
    i32::try_from(since).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::Field as Read;
    use rust_decimal::dec;

    use super::*;

    const FIELDS: [Field; 6] = [
        Field { name: "words", holds: Holds::Text, means: "" },
        Field { name: "day", holds: Holds::Day, means: "" },
        Field { name: "n", holds: Holds::Whole, means: "" },
        Field { name: "truth", holds: Holds::Truth, means: "" },
        Field { name: "amount", holds: Holds::Exact(2), means: "" },
        Field { name: "real", holds: Holds::Real, means: "" },
    ];

    fn table(rows: Vec<Vec<Datum>>) -> Extract {
        Extract { name: "table", fields: FIELDS.to_vec(), rows }
    }

    fn full(amount: Decimal) -> Vec<Datum> {
        vec![
            Datum::Text("kerb, \u{202e} \"left\"".into()),
            Datum::Day(NaiveDate::from_ymd_opt(2031, 7, 31).unwrap()),
            Datum::Whole(-3),
            Datum::Truth(true),
            Datum::Exact(amount),
            Datum::Real(0.1),
        ]
    }

    /// The file opened by the library.
    fn opened(bytes: &[u8]) -> SerializedFileReader<std::fs::File> {
        let mut file = tempfile::tempfile().unwrap();
        file.write_all(bytes).unwrap();
        SerializedFileReader::new(file).unwrap()
    }

    /// Every value as the library reads it back.
    fn read(bytes: &[u8]) -> Vec<Vec<(String, Read)>> {
        let reader = opened(bytes);
        let rows = reader.get_row_iter(None).unwrap();
        rows.map(|row| row.unwrap().get_column_iter().map(|(n, f)| (n.clone(), f.clone())).collect()).collect()
    }

    #[test]
    fn values_and_blanks_come_back_as_they_were() {
        let rows = read(&parquet(&table(vec![full(dec!(-3398.02)), vec![Datum::Nothing; 6]]), "test").unwrap());
        let first: Vec<String> = rows[0].iter().map(|(_, value)| value.to_string()).collect();
        let expected = ["\"kerb, \u{202e} \"left\"\"", "2031-07-31", "-3", "true", "-3398.02", "0.1"];
        assert_eq!(first, expected);
        assert!(rows[1].iter().all(|(_, value)| *value == Read::Null));
    }

    #[test]
    fn an_exact_number_is_never_rounded() {
        for (amount, text) in [
            (dec!(0.125), "0.125"),
            (dec!(12), "12.00"),
            (dec!(999999999999999.99), "999999999999999.99"),
            (dec!(99999999999999999.99), "99999999999999999.99"),
            (dec!(-0.0000000000000000000000000001), "-0.0000000000000000000000000001"),
        ] {
            let rows = read(&parquet(&table(vec![full(amount)]), "test").unwrap());
            assert_eq!(rows[0][4].1.to_string(), text);
        }
    }

    #[test]
    fn numbers_that_no_column_holds_are_refused_and_not_cut() {
        let rows = vec![full(Decimal::MAX), full(dec!(0.0000000000000000000000000001))];
        let refused = parquet(&table(rows), "test").unwrap_err();
        assert!(refused.to_string().contains("amount cannot hold"), "{refused}");
    }

    #[test]
    fn a_table_without_rows_still_has_its_columns() {
        let bytes = parquet(&table(Vec::new()), "test").unwrap();
        let reader = opened(&bytes);
        let schema = reader.metadata().file_metadata().schema_descr().num_columns();
        assert_eq!(schema, 6);
        assert_eq!(reader.metadata().file_metadata().num_rows(), 0);
    }

    #[test]
    fn the_same_table_gives_the_same_bytes() {
        let one = || parquet(&table(vec![full(dec!(1.5)); 1000]), "test").unwrap();
        assert_eq!(one(), one());
    }
}
