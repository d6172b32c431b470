//! Charts over a table of the page: points and lines told apart by shape and dash as well as tone, axes with their units,
//! and no decoration.

use rust_xlsxwriter::{
    Chart as Drawn, ChartAxis, ChartAxisLabelPosition, ChartFont, ChartFormat, ChartLegendPosition, ChartLine,
    ChartLineDashType, ChartMarker, ChartMarkerType, ChartPatternFill, ChartPatternFillType, ChartSeries,
    ChartSolidFill, ChartType,
};

use super::style::{MUTED, TYPEFACE};
use super::waterfall::{self, Cells};
use crate::dossier::{Chart, Series, SeriesStyle};
use crate::render::account::CUT;

/// Height of a chart in pixels.
pub(super) const HEIGHT: u32 = 320;
const NARROWEST: f64 = 480.0;
const WIDEST: f64 = 900.0;
const INK: u32 = 0x22_2222;
const GRID: u32 = 0xE2_E6E8;

/// Tone, mark, dash and ground of the first, second, ... series. The tones differ for colour-blind readers and in grey.
const LOOKS: [(u32, ChartMarkerType, ChartLineDashType, ChartPatternFillType); 5] = [
    (0x1F_4E5F, ChartMarkerType::Circle, ChartLineDashType::Solid, ChartPatternFillType::DiagonalStripesWideUpwards),
    (0xD5_5E00, ChartMarkerType::Square, ChartLineDashType::Dash, ChartPatternFillType::Dotted20Percent),
    (0x00_72B2, ChartMarkerType::Diamond, ChartLineDashType::SquareDot, ChartPatternFillType::HorizontalStripesDark),
    (0x33_3333, ChartMarkerType::Triangle, ChartLineDashType::LongDash, ChartPatternFillType::VerticalStripesLight),
    (0xB0_6090, ChartMarkerType::X, ChartLineDashType::DashDot, ChartPatternFillType::DiagonalStripesWideDownwards),
];

/// Where a table stands: its lines, and the column that holds the values of each of its columns.
#[derive(Clone, Debug)]
pub(super) struct Ranges {
    pub(super) first: u32,
    pub(super) last: u32,
    pub(super) columns: Vec<u16>,
    /// Columns that hold days.
    pub(super) days: Vec<bool>,
}

/// The chart, ready to be put on its sheet.
pub(super) fn draw(chart: &Chart, sheet: &str, at: &Ranges, [along, values]: &[Vec<f64>; 2], pixels: f64) -> Drawn {
    let mut drawn = if chart.numeric { scatter(chart, sheet, at) } else { columns(chart, sheet, at) };
    axes(&mut drawn, chart);
    if chart.numeric {
        limits(drawn.x_axis(), along);
        limits(drawn.y_axis(), values);
    } else if !chart.series.iter().any(|s| s.style == SeriesStyle::Points) {
        limits(drawn.y_axis(), values);
    }
    if !chart.numeric {
        drawn.x_axis().set_label_position(ChartAxisLabelPosition::Low);
    }
    if !chart.numeric && at.days.get(chart.along).is_some_and(|days| *days) {
        drawn.x_axis().set_text_axis(true).set_num_format("yyyy-mm-dd");
    }
    sized(drawn, chart, pixels)
}

/// An account over its cells. A cut axis has the range of the heights when the file was written.
pub(super) fn draw_account(chart: &Chart, sheet: &str, cells: &Cells, pixels: f64) -> Drawn {
    let mut drawn = waterfall::columns(sheet, cells);
    axes(&mut drawn, chart);
    if let Some(heights) = cells.cut() {
        limits(drawn.y_axis(), &heights);
        drawn.y_axis().set_name(&format!("{}{CUT}", chart.y_title));
    }
    drawn.x_axis().set_label_position(ChartAxisLabelPosition::Low);
    sized(drawn, chart, pixels)
}

fn sized(mut drawn: Drawn, chart: &Chart, pixels: f64) -> Drawn {
    drawn.set_name(&chart.title).set_alt_text(&chart.title).set_width(whole(pixels)).set_height(HEIGHT);
    drawn
}

/// Points and lines over a numeric bottom axis.
fn scatter(chart: &Chart, sheet: &str, at: &Ranges) -> Drawn {
    let mut drawn = Drawn::new(ChartType::ScatterStraightWithMarkers);
    let control = is_control(chart);
    for (n, series) in chart.series.iter().enumerate() {
        let mut one = series_of(chart, series, sheet, at);
        style(&mut one, series.style, if control && series.style == SeriesStyle::Line { 0 } else { n });
        drawn.push_series(&one);
    }
    drawn
}

/// Columns over names or days, with plain lines across them.
fn columns(chart: &Chart, sheet: &str, at: &Ranges) -> Drawn {
    let (mut bars, mut lines) = (Drawn::new_column(), Drawn::new_line());
    let control = is_control(chart);
    for (n, series) in chart.series.iter().enumerate() {
        let mut one = series_of(chart, series, sheet, at);
        if series.style == SeriesStyle::Points {
            ground(&mut one, n);
            bars.push_series(&one);
            continue;
        }
        style(&mut one, series.style, if control && series.style == SeriesStyle::Line { 0 } else { n });
        if series.style == SeriesStyle::Line && !control {
            one.set_marker(marker(n, 6).set_format(&mut filled(n)));
        }
        // A series that is pushed to a chart of lines loses its marks; one that is put in place keeps them.
        *lines.add_series() = one;
    }
    let [some_bars, some_lines] =
        [true, false].map(|bars| chart.series.iter().any(|s| (s.style == SeriesStyle::Points) == bars));
    if some_bars && some_lines {
        bars.combine(&lines);
    }
    if some_bars { bars } else { lines }
}

fn series_of(chart: &Chart, series: &Series, sheet: &str, at: &Ranges) -> ChartSeries {
    let column = |n: usize| at.columns.get(n).copied().unwrap_or(0);
    let (along, values) = (column(chart.along), column(series.column));
    let mut one = ChartSeries::new();
    one.set_name(&series.name)
        .set_categories((sheet, at.first, along, at.last, along))
        .set_values((sheet, at.first, values, at.last, values));
    one
}

fn look(n: usize) -> (u32, ChartMarkerType, ChartLineDashType, ChartPatternFillType) {
    LOOKS[n % LOOKS.len()]
}

fn marker(n: usize, size: u8) -> ChartMarker {
    let mut marker = ChartMarker::new();
    marker.set_type(look(n).1).set_size(size);
    marker
}

fn filled(n: usize) -> ChartFormat {
    let mut format = ChartFormat::new();
    format.set_solid_fill(ChartSolidFill::new().set_color(look(n).0)).set_border(ChartLine::new().set_color(look(n).0));
    format
}

fn is_control(chart: &Chart) -> bool {
    chart.series.iter().any(|s| s.style.of_control())
}

/// The centre line of a control chart is solid; other plain lines have the dash of their place.
fn style(series: &mut ChartSeries, style: SeriesStyle, n: usize) {
    match style {
        SeriesStyle::Points => marks(series, n),
        SeriesStyle::Line => line(series, n),
        SeriesStyle::Joined => joined(series),
        SeriesStyle::Limit => limit(series, 1.25, ChartLineDashType::Dash),
        SeriesStyle::ContractLimit => limit(series, 2.0, ChartLineDashType::LongDashDot),
        SeriesStyle::Outside => outside(series),
    }
}

/// Results in their order: dark marks on a thin line.
fn joined(series: &mut ChartSeries) {
    let mut format = ChartFormat::new();
    format.set_line(ChartLine::new().set_color(MUTED).set_width(0.75));
    series.set_format(&mut format).set_marker(marker(0, 6).set_format(&mut filled(0)));
}

fn limit(series: &mut ChartSeries, width: f64, dash: ChartLineDashType) {
    let mut format = ChartFormat::new();
    format.set_line(ChartLine::new().set_color(INK).set_width(width).set_dash_type(dash));
    let mut none = ChartMarker::new();
    none.set_none();
    series.set_format(&mut format).set_marker(&none);
}

/// A large open mark around a point.
fn outside(series: &mut ChartSeries) {
    let (mut none, mut open) = (ChartFormat::new(), ChartFormat::new());
    none.set_no_line();
    open.set_no_fill().set_border(ChartLine::new().set_color(INK).set_width(1.5));
    series.set_format(&mut none).set_marker(marker(1, 12).set_format(&mut open));
}

fn marks(series: &mut ChartSeries, n: usize) {
    let mut none = ChartFormat::new();
    none.set_no_line();
    series.set_format(&mut none).set_marker(marker(n, 7).set_format(&mut filled(n)));
}

fn line(series: &mut ChartSeries, n: usize) {
    let mut format = ChartFormat::new();
    format.set_line(ChartLine::new().set_color(look(n).0).set_width(1.75).set_dash_type(look(n).2));
    let mut none = ChartMarker::new();
    none.set_none();
    series.set_format(&mut format).set_marker(&none);
}

/// The first columns are solid, the others hatched.
fn ground(series: &mut ChartSeries, n: usize) {
    let mut format = ChartFormat::new();
    let (tone, _, _, hatch) = look(n);
    format.set_border(ChartLine::new().set_color(tone).set_width(0.75));
    if n == 0 {
        format.set_solid_fill(ChartSolidFill::new().set_color(0x9D_B7C1));
    } else {
        let mut fill = ChartPatternFill::new();
        fill.set_pattern(hatch).set_foreground_color(tone).set_background_color(0xFF_FFFF);
        format.set_pattern_fill(&fill);
    }
    series.set_format(&mut format).set_gap(60);
}

fn font(size: u8, bold: bool) -> ChartFont {
    let mut font = ChartFont::new();
    font.set_name(TYPEFACE).set_size(f64::from(size)).set_color(MUTED);
    if bold {
        font.set_bold()
    } else {
        font.unset_bold()
    };
    font
}

fn axes(drawn: &mut Drawn, chart: &Chart) {
    let (mut grid, mut axis) = (ChartLine::new(), ChartLine::new());
    grid.set_color(GRID).set_width(0.5);
    axis.set_color(MUTED).set_width(0.75);
    let mut drawn_axis = ChartFormat::new();
    drawn_axis.set_line(&axis);
    drawn.title().set_name(&chart.title).set_font(font(10, true).set_color(0x22_2222));
    drawn.x_axis().set_name(&chart.x_title).set_name_font(&font(9, false)).set_font(&font(8, false));
    drawn.x_axis().set_format(&mut drawn_axis).set_major_gridlines(false);
    drawn.y_axis().set_name(&chart.y_title).set_name_font(&font(9, false)).set_font(&font(8, false));
    drawn.y_axis().set_format(&mut drawn_axis).set_major_gridlines(true).set_major_gridlines_line(&grid);
    drawn.legend().set_position(ChartLegendPosition::Bottom).set_font(&font(9, false));
    let mut open = ChartFormat::new();
    open.set_no_border();
    drawn.chart_area().set_format(&mut open);
}

/// An axis that begins and ends at round numbers around the values.
fn limits(axis: &mut ChartAxis, values: &[f64]) {
    let Some([low, high, step]) = round_limits(values) else { return };
    axis.set_min(low).set_max(high).set_major_unit(step);
    axis.set_num_format(if step < 0.1 {
        "#,##0.00"
    } else if step < 1.0 {
        "#,##0.0"
    } else {
        "#,##0"
    });
}

/// Lower end, upper end and step; `None` where there are no values or they do not differ.
fn round_limits(values: &[f64]) -> Option<[f64; 3]> {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let wide = high - low;
    if !wide.is_finite() || wide <= 0.0 {
        return None;
    }
    let power = 10_f64.powf((wide / 6.0).log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|n| n * power).find(|s| wide / s <= 8.0)?;
    let tidy = |n: f64| (n * step * 1e6).round() / 1e6;
    let below = (low / step).floor();
    let above = (high / step).ceil();
    let near = |end: f64, value: f64| (end * step - value).abs() < step / 1e3;
    let low_end = if near(below, low) && low.abs() > step / 1e3 { below - 1.0 } else { below };
    let high_end = if near(above, high) { above + 1.0 } else { above };
    Some([tidy(low_end), tidy(high_end), tidy(1.0)])
}

/// Pixels between the narrowest and the widest chart.
fn whole(pixels: f64) -> u32 {
    let wanted = pixels.clamp(NARROWEST, WIDEST);
    (0..=9).map(|n| 480 + n * 45).take_while(|w| f64::from(*w) <= wanted + 0.5).last().unwrap_or(480)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_begin_and_end_at_round_numbers() {
        assert_eq!(round_limits(&[8.58, 9.12, 8.64]), Some([8.5, 9.2, 0.1]));
        assert_eq!(round_limits(&[14_112.0, 14_260.0]), Some([14_100.0, 14_280.0, 20.0]));
        assert_eq!(round_limits(&[0.0, 12.0]), Some([0.0, 14.0, 2.0]));
        assert_eq!(round_limits(&[9.0]), None);
    }

    #[test]
    fn a_chart_is_as_wide_as_its_page_within_limits() {
        assert_eq!([whole(100.0), whole(700.0), whole(5_000.0)], [480, 660, 885]);
    }
}
