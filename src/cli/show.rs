//! `show`: what is on a pattern sheet.

use std::fmt::Write;

use clap::Args;
use retrue::canvas::clean;
use retrue::pattern::{Cut, Finish, PieceName, Twins};
use retrue::truing::{self, Account, GirthPart};
use retrue::units::{Length, Unit, counted, rounded};

use crate::cli::color::{ColorChoice, TextPaint, TextTone};
use crate::cli::errors::Failure;
use crate::cli::exit::Exit;
use crate::cli::io;
use crate::cli::ledger_text;
use crate::cli::messages::Messages;
use crate::cli::next::NextCommand;
use crate::cli::options::{
    FormOptions, JudgedPattern, PatternArgument, ReadingOptions, ReportForm, UnitOptions,
};
use crate::cli::report::{self, DartReport, EdgeReport, JudgedReport, PieceReport, ShowReport};
use crate::cli::rows::{Align, Rows};

/// Show the pieces, edges, lengths, darts, seams and girths of a pattern.
#[derive(Clone, Debug, Args)]
pub struct ShowCommand {
    #[command(flatten)]
    input: PatternArgument,
    /// Only this piece, and the seams that join it.
    #[arg(long, value_name = "PIECE")]
    piece: Option<PieceName>,
    /// Only the ledger: what was measured before the first step, against now.
    #[arg(long, conflicts_with = "piece")]
    ledger: bool,
    #[command(flatten)]
    reading: ReadingOptions,
    #[command(flatten)]
    unit: UnitOptions,
    #[command(flatten)]
    form: FormOptions,
}

impl ShowCommand {
    /// Shows the pattern.
    ///
    /// # Errors
    ///
    /// The pattern cannot be read, or does not have the piece.
    pub fn run(&self, messages: &Messages, color: ColorChoice) -> Result<Exit, Failure> {
        let read = self.reading.read_judged(&self.input.pattern, messages, self.unit.unit())?;
        let report = match &self.piece {
            None if self.ledger => return self.show_ledger(&read, messages),
            Some(piece) => ShowReport::of_piece(&read.pattern, piece),
            None => ShowReport::of(&read.pattern),
        };
        let report = report.map_err(|refusal| Failure::refused(&read.name, &refusal))?;
        match self.form.form() {
            ReportForm::Json => {
                report::print_json("show", &JudgedReport::of(&read, &report, self.unit.unit()))?;
            }
            ReportForm::Text => {
                let page = TextReport { paint: color.paint_on(&std::io::stdout()), unit: self.unit.unit() };
                io::print_to_read(&page.of(&read, &report))?;
                messages.next(self.next());
            }
        }
        Ok(Exit::True)
    }

    fn next(&self) -> Option<NextCommand> {
        NextCommand::on("check", [&self.input.pattern]).map(|next| self.reading.carried(next))
    }

    fn show_ledger(&self, read: &JudgedPattern, messages: &Messages) -> Result<Exit, Failure> {
        let ledger = truing::account(&read.pattern);
        match (self.form.form(), &ledger) {
            (ReportForm::Json, _) => {
                let found = LedgerOnly { ledger };
                report::print_json("show", &JudgedReport::of(read, &found, self.unit.unit()))?;
            }
            (ReportForm::Text, ledger) => {
                io::print_to_read(&match ledger {
                    Some(ledger) => ledger_text::text(ledger, self.unit.unit()),
                    None => "no step was done: the pattern is as it was drawn\n".to_owned(),
                })?;
                messages.next(self.next());
            }
        }
        Ok(Exit::True)
    }
}

/// The ledger of a file, without the rest.
#[derive(serde::Serialize)]
struct LedgerOnly {
    ledger: Option<Account>,
}

/// How a report is laid out as text.
struct TextReport {
    paint: TextPaint,
    unit: Unit,
}

impl TextReport {
    fn of(&self, read: &JudgedPattern, report: &ShowReport) -> String {
        let mut sections = vec![self.heading(read, report)];
        sections.extend(report.pieces.iter().map(|piece| self.piece(piece)));
        sections.extend([self.seams(report), self.girths(report), self.steps(report)]);
        sections.extend(report.ledger.as_ref().map(|ledger| ledger_text::text(ledger, self.unit)));
        sections.retain(|section| !section.is_empty());
        sections.join("\n")
    }

    fn show(&self, mm: f64) -> String {
        Length::from_mm(mm).show(self.unit)
    }

    fn titled(&self, title: &str, body: &Rows) -> String {
        if body.is_empty() {
            String::new()
        } else {
            format!("{}\n{body}", self.paint.paint(TextTone::Title, title))
        }
    }

    fn heading(&self, read: &JudgedPattern, report: &ShowReport) -> String {
        let mut text = format!(
            "{}: {}, {}\n",
            self.paint.paint(TextTone::Title, &read.name),
            counted(report.pieces.len(), "piece"),
            counted(report.seams.len(), "seam")
        );
        for line in report.title.iter().chain(&read.pattern.about.lines(|length| length.show(self.unit))) {
            let _ = writeln!(text, "  {}", clean(line));
        }
        text
    }

    fn piece(&self, piece: &PieceReport) -> String {
        let twins = if piece.mirrored { Twins::Mirrored } else { Twins::Same };
        let hands = Cut { copies: piece.copies, twins }.hands();
        let cut = hands.map_or_else(String::new, |hands| format!(", {hands}"));
        let cut = format!("cut {}{cut}", piece.copies);
        let half = if piece.half { ", on the fold" } else { "" };
        let opened = if piece.half { " opened out" } else { "" };
        let width = piece.cut_width.map_or_else(String::new, |width| {
            format!("; as cut {} wide{opened}, allowances included", self.show(width))
        });
        let derived = piece.derived.as_ref().map_or_else(String::new, |of| format!("; {}", clean(of)));
        let uncut = piece.uncut.as_ref().map_or_else(String::new, |why| format!("  cannot be cut: {why}\n"));
        let mut text = format!(
            "{}  {cut}{half}, {} cloth, {} × {}{width}{derived}\n{uncut}",
            self.paint.paint(TextTone::Title, &piece.name),
            clean(&piece.cloth),
            self.show(piece.width),
            self.show(piece.height)
        );
        let mut edges = Rows::new([Align::Left, Align::Right, Align::Left, Align::Left, Align::Left]);
        piece.edges.iter().for_each(|edge| edges.row(self.edge(edge)));
        let mut darts = Rows::new([Align::Left, Align::Left, Align::Left]);
        piece.darts.iter().for_each(|dart| darts.row(self.dart(dart)));
        let _ = write!(text, "{edges}{darts}");
        let levels: Vec<&str> = piece.levels.iter().map(|level| level.name.as_str()).collect();
        let lists = [
            ("levels", levels.join(", ")),
            ("points", piece.points.join(", ")),
            ("style lines", piece.style_lines.join(", ")),
        ];
        for (what, names) in lists.iter().filter(|(_, names)| !names.is_empty()) {
            let _ = writeln!(text, "  {what}: {}", clean(names));
        }
        text
    }

    fn edge(&self, edge: &EdgeReport) -> [String; 5] {
        let sewn = if rounded(edge.length - edge.sewn_length).abs() > 0.0 {
            format!("{} sewn of {}", self.show(edge.sewn_length), self.show(edge.length))
        } else {
            self.show(edge.length)
        };
        let finish = edge.finish.word();
        let allowance = match (edge.finish, edge.selvedge) {
            (Finish::Fold, _) => String::new(),
            (_, true) => format!("{}, on the selvedge", self.show(edge.allowance)),
            (_, false) => format!("allowance {}", self.show(edge.allowance)),
        };
        let mut sewn_to = match edge.sewn_to.as_slice() {
            [] => String::new(),
            layers => format!("sewn to {}", layers.join("; ")),
        };
        if let Some(open) = edge.open {
            let _ = write!(sewn_to, ", left open for a {}", open.word());
        }
        match edge.lap {
            Some(lap) if lap > 0.0 => {
                let _ = write!(sewn_to, ", on top, stitched {} inside", self.show(lap));
            }
            Some(_) => sewn_to.push_str(", edge to edge"),
            None => {}
        }
        [edge.name.clone(), sewn, finish.to_owned(), allowance, sewn_to]
    }

    fn dart(&self, dart: &DartReport) -> [String; 3] {
        let [first, second] = dart.legs;
        let shape = match (&dart.edge, dart.mouth, dart.angle) {
            (Some(edge), Some(mouth), Some(angle)) => {
                format!("on {edge}, mouth {}, {angle:.1}°", self.show(mouth))
            }
            _ => "double dart".to_owned(),
        };
        let legs = format!("legs {} and {}", self.show(first), self.show(second));
        [format!("{} {}", dart.kind, dart.name), shape, legs]
    }

    fn seams(&self, report: &ShowReport) -> String {
        let mut seams = Rows::new([Align::Right, Align::Left, Align::Right, Align::Left]);
        for seam in &report.seams {
            let ease = match rounded(seam.ease) {
                ease if ease > 0.0 => format!("; {} eased in {}", seam.first, self.show(ease)),
                ease if ease < 0.0 => format!("; {} eased in {}", seam.second, self.show(-ease)),
                _ => String::new(),
            };
            let sewn = format!("{} + {}{ease}", seam.first, seam.second);
            let [first, second] = [seam.first_length, seam.second_length].map(|length| self.show(length));
            seams.row([first, "to".to_owned(), second, sewn]);
        }
        self.titled("seams, as sewn", &seams)
    }

    fn girths(&self, report: &ShowReport) -> String {
        let mut girths = Rows::new([Align::Left, Align::Right, Align::Left]);
        for girth in &report.girths {
            let part =
                |part: &GirthPart| format!("{} {} × {}", part.piece, part.times, part.width.show(self.unit));
            let parts: Vec<String> = girth.parts.iter().map(part).collect();
            girths.row([girth.level.to_string(), girth.around.show(self.unit), parts.join(", ")]);
        }
        self.titled("girths of the whole garment", &girths)
    }

    fn steps(&self, report: &ShowReport) -> String {
        let mut steps = Rows::new([Align::Right, Align::Left]);
        for (i, step) in report.steps.iter().enumerate() {
            steps.row([(i + 1).to_string(), step.line()]);
        }
        self.titled("steps done", &steps)
    }
}
