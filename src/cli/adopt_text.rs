//! What `adopt` found, as text.

use std::fmt::Write;

use retrue::adopt::{Found, NoOutline, ScaleCheck, ScaleSource};
use retrue::units::{Length, Unit, counted};

use crate::cli::color::{TextPaint, TextTone};
use crate::cli::report::{AdoptReport, FoundOutlineReport};
use crate::cli::rows::{Align, Table};

/// Lines that are listed for each outline; the rest is in the picture and the JSON report.
const LISTED: usize = 40;

/// What was found.
pub fn text(report: &AdoptReport, paint: TextPaint, unit: Unit) -> String {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let mut text = format!(
        "{}: {}, {}; scale {} ({:.6} mm in a unit)\n",
        paint.paint(TextTone::Title, &report.file),
        counted(report.outlines.len(), "outline"),
        counted(report.lines.len() + report.unlisted, "line"),
        report.scale.source,
        report.scale.mm_per_unit[0],
    );
    let mut styles = Table::new([Align::Right, Align::Left, Align::Right, Align::Right]);
    for style in &report.styles {
        styles.row([
            format!("style {}", style.number),
            style.look.clone(),
            counted(style.outlines, "outline"),
            counted(style.lines, "line"),
        ]);
    }
    section(&mut text, paint, "kinds of line", &styles);
    let mut outlines = Table::new([
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
        Table::new([Align::Left, Align::Left, Align::Right, Align::Left, Align::Left, Align::Left]);
    let mut listed = std::collections::HashMap::new();
    let mut left = report.unlisted;
    for line in &report.lines {
        let count = listed.entry(line.inside.clone()).or_insert(0);
        *count += 1;
        if *count > LISTED {
            left += 1;
            continue;
        }
        lines.row([
            line.letter.clone(),
            line.looks_like.to_owned(),
            show(line.length),
            line.inside.as_ref().map(|outline| format!("in {outline}")).unwrap_or_default(),
            format!("style {}", line.style),
            line.id.clone().unwrap_or_default(),
        ]);
    }
    section(&mut text, paint, "lines", &lines);
    if left > 0 {
        let _ = writeln!(text, "  and {}; see --json", counted(left, "more line"));
    }
    text
}

fn section(text: &mut String, paint: TextPaint, title: &str, table: &Table) {
    if !table.is_empty() {
        let _ = write!(text, "\n{}\n{table}", paint.paint(TextTone::Title, title));
    }
}

fn outline_row(outline: &FoundOutlineReport, unit: Unit) -> [String; 7] {
    let show = |mm: f64| Length::from_mm(mm).show(unit);
    let area = format!("{:.1} cm²", outline.area / 100.0);
    let mut about: Vec<String> = Vec::new();
    about.extend(outline.inside.as_ref().map(|other| format!("in {other}")));
    about.extend((!outline.layer.is_empty()).then(|| format!("layer {}", outline.layer)));
    if outline.joined > 1 {
        about.push(format!("joined from {} lines", outline.joined));
    }
    if outline.flattened > 0 {
        about.push("curves fitted".to_owned());
    }
    let texts = outline.texts.iter().take(6).map(|text| format!("\"{text}\""));
    [
        outline.letter.clone(),
        format!("{} × {}", show(outline.width), show(outline.height)),
        area,
        counted(outline.corners, "corner"),
        format!("style {}", outline.style),
        about.join(", "),
        texts.collect::<Vec<_>>().join(" "),
    ]
}

/// What is not true of a drawing, in sentences that say the way out.
pub fn untrue(found: &Found, unit: Unit) -> Vec<String> {
    let mut sentences = Vec::new();
    if found.scale.source == ScaleSource::Unknown {
        sentences.push(
            "the drawing does not say how large it is; lengths are told as if a unit were a pixel of 96 to the inch: say \
             --unit mm (or cm, in, px, pt), or how long something is: --known \"A=100mm\""
                .to_owned(),
        );
    }
    let missing = found.pages.iter().flat_map(|pages| pages.missing());
    sentences.extend(missing.map(|page| format!("a page is missing {page}")));
    sentences.extend(found.scale.check().filter(|check| check.is_off()).map(scale_off));
    sentences.extend(found.no_outline.map(|why| no_outline(why, unit)));
    for gap in &found.gaps {
        let show = |mm: f64| Length::from_mm(mm).show(unit);
        sentences.push(format!(
            "an outline is open: a gap of {} between ({:.1}mm, {:.1}mm) and ({:.1}mm, {:.1}mm); draw the two ends \
             together",
            show(gap.width()),
            gap.from.x,
            gap.from.y,
            gap.to.x,
            gap.to.y
        ));
    }
    sentences
}

/// Why there is no outline of a piece, and what can be done.
fn no_outline(why: NoOutline, unit: Unit) -> String {
    match why {
        NoOutline::CutAtPages { lines, pages } => format!(
            "no outline of a piece is whole: {lines} lines are cut off at the edges of {}, where the drawing continues on \
             the next; put the pages together first: lay them side by side by their joining marks in a vector editor, take \
             their frames out, and save all as one SVG; or use the file for large sheets (A0, copy shop), where there is one",
            counted(pages, "page")
        ),
        NoOutline::CutByClips => "no outline of a piece is whole: clip paths cut its lines off, as where a large drawing is \
                                  spread over pages; take the clip paths off in a vector editor, or use the file for large \
                                  sheets (A0, copy shop), where there is one"
            .to_owned(),
        NoOutline::Open { lines } => format!(
            "no outline of a piece was found: of {} none closes; draw the ends of an outline together in a vector \
             editor, to within 0.5 mm",
            counted(lines, "line")
        ),
        NoOutline::TooSmall { largest } => {
            let [width, height] = largest.map(|mm| Length::from_mm(mm).show(unit));
            format!(
                "no outline of a piece was found: the largest closed line is {width} × {height}; look at the scale: \
                 --unit, or --known \"A=100mm\""
            )
        }
        NoOutline::Picture => "there is no line in the drawing, only a picture of one (a scan); trace its lines in a vector \
                               editor, and save it as SVG"
            .to_owned(),
        NoOutline::Writing => "there is no line in the drawing, only writing; it may be a page of instructions: use that on \
                               which the pieces are drawn"
            .to_owned(),
        NoOutline::Empty => "nothing is seen in the drawing; show its layers, and give white lines another colour, in a \
                             vector editor"
            .to_owned(),
    }
}

/// What a thing of known size says of the scale.
pub fn scale_off(check: &ScaleCheck) -> String {
    let nominal = check.nominal;
    let name = format!("{} ({})", nominal, check.letter);
    let [across, down] = check.factors().map(|factor| (1.0 / factor - 1.0) * 100.0);
    let way_out = "say --correct-scale to correct it";
    match (check.across, check.down) {
        (Some(w), Some(h)) if check.is_stretched() => format!(
            "{name} measured {w:.2} across and {h:.2} down: scale off by {across:.2} % and {down:.2} %, the drawing is \
             stretched; {way_out}"
        ),
        (Some(measured), _) | (None, Some(measured)) => {
            format!("{name} measured {measured:.2}: scale off by {:.2} %; {way_out}", across.abs())
        }
        (None, None) => String::new(),
    }
}
