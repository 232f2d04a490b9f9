//! What `adopt` found, as text.

use std::fmt::Write;

use retrue::units::{Length, Unit, counted};

use crate::cli::color::{TextPaint, TextTone};
use crate::cli::report::{AdoptReport, FoundOutlineReport};
use crate::cli::rows::{Align, Rows};

/// Lines that are listed for each outline; the rest is in the picture and the JSON report.
const LISTED: usize = 40;

/// What was found.
pub fn text(report: &AdoptReport<'_>, paint: TextPaint, unit: Unit) -> String {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let mut text = format!(
        "{}: {}, {}; scale {} ({:.6} mm in a unit)\n",
        paint.paint(TextTone::Title, report.file),
        counted(report.outlines.len(), "outline"),
        counted(report.lines.len() + report.unlisted, "line"),
        report.scale.source,
        report.scale.mm_per_unit[0],
    );
    let mut styles = Rows::new([Align::Right, Align::Left, Align::Right, Align::Right]);
    for style in &report.styles {
        styles.row([
            format!("style {}", style.number),
            style.look.clone(),
            counted(style.outlines, "outline"),
            counted(style.lines, "line"),
        ]);
    }
    section(&mut text, paint, "kinds of line", &styles);
    let mut outlines = Rows::new([
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Left,
        Align::Left,
        Align::Left,
    ]);
    for outline in &report.outlines {
        outlines.row(outline_row(outline, unit));
    }
    section(&mut text, paint, "outlines", &outlines);
    let mut lines =
        Rows::new([Align::Left, Align::Left, Align::Right, Align::Left, Align::Left, Align::Left]);
    let mut listed = std::collections::HashMap::new();
    let mut left = report.unlisted;
    for line in &report.lines {
        let count = listed.entry(line.inside).or_insert(0);
        *count += 1;
        if *count > LISTED {
            left += 1;
            continue;
        }
        lines.row([
            line.letter.to_string(),
            line.looks_like.to_owned(),
            show(line.runs.length),
            line.inside.map(|outline| format!("in {outline}")).unwrap_or_default(),
            format!("style {}", line.style),
            line.id.unwrap_or_default().to_owned(),
        ]);
    }
    section(&mut text, paint, "lines", &lines);
    if left > 0 {
        let _ = writeln!(text, "  and {}; see --json", counted(left, "more line"));
    }
    text
}

fn section(text: &mut String, paint: TextPaint, title: &str, table: &Rows) {
    if !table.is_empty() {
        let _ = write!(text, "\n{}\n{table}", paint.paint(TextTone::Title, title));
    }
}

fn outline_row(outline: &FoundOutlineReport<'_>, unit: Unit) -> [String; 7] {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let area = format!("{:.1} cm²", outline.area / 100.0);
    let mut about: Vec<String> = Vec::new();
    about.extend(outline.inside.map(|other| format!("in {other}")));
    about.extend((!outline.layer.is_empty()).then(|| format!("layer {}", outline.layer)));
    if outline.joined > 1 {
        about.push(format!("joined from {} lines", outline.joined));
    }
    if outline.flattened > 0 {
        about.push("curves fitted".to_owned());
    }
    let texts = outline.texts.iter().take(6).map(|text| format!("\"{text}\""));
    [
        outline.letter.to_string(),
        format!("{} × {}", show(outline.width), show(outline.height)),
        area,
        counted(outline.corners, "corner"),
        format!("style {}", outline.style),
        about.join(", "),
        texts.collect::<Vec<_>>().join(" "),
    ]
}
