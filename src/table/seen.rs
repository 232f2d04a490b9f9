//! What of the table a person is shown: the pieces, and sentences. The page adds nothing to them.

use serde::Serialize;

use crate::cloth::Stock;
use crate::cloth::fit::{Fit, PieceFit, fit, lying_nowhere};
use crate::pattern::{EdgeRef, LevelName, OffThread, Pattern, Suggestion, Thread};
use crate::plan::on_selvedge;
use crate::recipe::fitted::given_width;
use crate::recipe::{OnOrOff, value_as_step};
use crate::recut::{Notice, Step};
use crate::show::report::{ChangedPieces, capital, of_step};
use crate::table::cloth_drawn::{ClothSeen, Views, around};
use crate::table::drawn::{PieceSeen, pieces};
use crate::table::hand::{BeneathHand, Held};
use crate::table::holds::WidthHold;
use crate::table::lying::LyingPattern;
use crate::table::made::MadeStep;
use crate::table::on_table::{OnTable, Outside};
use crate::table::places::PlaceSeen;
use crate::table::product::Product;
use crate::table::recipe_text::reason;
use crate::table::said::{Refused, Remark, StepToPress, advised};
use crate::table::snap::SnapSeen;
use crate::table::words::read;
use crate::truing::{LevelResized, Limits, SizeKept, Verdict, girths, walk_seam};
use crate::units::{Angle, Length, Unit, counted};

/// The three answers that stand above the table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Verdicts {
    /// Whether the pieces fit the cloth.
    pub fits: Remark,
    /// Whether the seams are true.
    pub is_true: Remark,
    /// Whether the garment is still of the same size.
    pub same_size: Remark,
    /// All that is not true and all that is to be looked at twice, where that is more than one thing or a step mends it.
    pub findings: Vec<Remark>,
}

/// A girth before and now.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GirthSeen {
    /// The level.
    pub level: String,
    /// Around the whole garment now.
    pub now: String,
    /// By how much it changed.
    pub change: Remark,
}

/// A step of the recipe.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepSeen {
    /// Its number, from 1.
    pub number: usize,
    /// What it does.
    pub sentence: String,
    /// Whether it is left out.
    pub left_out: bool,
    /// What is written beside that: why it could not be done, or what a person wrote.
    pub reason: Option<String>,
    /// Why it cannot be done.
    pub refused: Option<Refused>,
    /// What it told.
    pub told: Vec<Remark>,
}

/// All that lies on the table.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TableSeen {
    /// How often it changed.
    pub revision: u64,
    /// What is cut.
    pub title: String,
    /// The three answers.
    pub verdicts: Verdicts,
    /// The pieces.
    pub pieces: Vec<PieceSeen>,
    /// The cloth.
    pub cloths: Vec<ClothSeen>,
    /// What is shown of it.
    pub views: Views,
    /// The girths.
    pub girths: Vec<GirthSeen>,
    /// What has been done.
    pub steps: Vec<StepSeen>,
    /// Whether something can be taken back.
    pub can_undo: bool,
    /// Whether something taken back can be done again.
    pub can_do_again: bool,
    /// What others did to the files, and whether theirs can be put aside.
    pub outside: Option<OutsideSeen>,
    /// What happened that nobody here did.
    pub news: Option<String>,
}

/// What lies there where a step is meant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LyingSeen {
    /// The pieces.
    pub pieces: Vec<PieceSeen>,
    /// The cloth.
    pub cloths: Vec<ClothSeen>,
    /// What is shown of it.
    pub views: Views,
}

impl LyingSeen {
    pub(super) fn of(ground: BeneathHand<'_>, unit: Unit) -> LyingSeen {
        let pattern = ground.pattern;
        let found = fitted(pattern, ground.stock);
        let (cloths, views) = around(pattern, ground.stock, unit);
        LyingSeen { pieces: pieces(pattern, pattern.pieces(), found.as_ref(), unit), cloths, views }
    }
}

/// What others did to the files.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OutsideSeen {
    /// In a sentence.
    pub sentence: String,
    /// Whether it can be put aside.
    pub can_be_put_aside: bool,
}

/// How the table stands beside what lies on it.
pub(super) struct TableStands<'a> {
    pub(super) revision: u64,
    pub(super) can_undo: bool,
    pub(super) can_do_again: bool,
    pub(super) outside: &'a Outside,
    pub(super) news: Option<&'a str>,
}

impl TableSeen {
    pub(super) fn of(laid: &OnTable, standing: TableStands<'_>) -> TableSeen {
        let (pattern, lying) = (laid.pattern(), laid.as_it_lies());
        let found = fitted(pattern, laid.stock.as_deref());
        let pieces = pieces(lying, lying.pieces(), found.as_ref(), laid.unit);
        let (cloths, views) = around(lying, laid.stock.as_deref(), laid.unit);
        let steps = laid.made.steps.iter().enumerate();
        TableSeen {
            revision: standing.revision,
            title: title(laid),
            verdicts: verdicts(pattern, found.as_ref(), laid.unit),
            pieces,
            cloths,
            views,
            girths: girths_seen(&laid.made.base.pattern, pattern, laid.unit),
            steps: steps.map(|(i, step)| step_seen(i + 1, step, laid)).collect(),
            can_undo: standing.can_undo,
            can_do_again: standing.can_do_again,
            outside: outside(standing.outside),
            news: standing.news.map(str::to_owned),
        }
    }
}

fn outside(outside: &Outside) -> Option<OutsideSeen> {
    let seen = |sentence: String, can_be_put_aside| Some(OutsideSeen { sentence, can_be_put_aside });
    match outside {
        Outside::Nothing => None,
        Outside::Sheet => seen(
            format!(
                "Another program changed {}. Nothing more is kept until one of the two is chosen.",
                Product::Sheet.file()
            ),
            true,
        ),
        Outside::Unwritten(why) => seen(
            format!(
                "The steps are kept in {}, the other files are not: {why}. It is tried again by itself.",
                Product::Recipe.file()
            ),
            false,
        ),
        Outside::Recipe(why) => seen(format!("The recipe on disk cannot be gone on with: {why}."), false),
    }
}

fn title(laid: &OnTable) -> String {
    let of_file = || laid.made.base.file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    laid.made.base.pattern.about.title.clone().unwrap_or_else(of_file)
}

fn step_seen(number: usize, made: &MadeStep, laid: &OnTable) -> StepSeen {
    let unit = laid.unit;
    let fitted = made.fitted.iter().flat_map(|fitted| {
        let warned = fitted.warning.as_ref().map(|(warning, way_out)| still_wider(warning, way_out.as_ref()));
        [Some(Remark::plain(&fitted.sentence)), warned]
    });
    let by_hand = made.fitted.is_none().then(|| wider_than_its_cloth(made, laid));
    let fitted = fitted.chain(by_hand);
    StepSeen {
        number,
        sentence: read(&capital(&of_step(&made.step))),
        left_out: made.turn == OnOrOff::Off,
        reason: reason(&laid.text, &made.place).filter(|_| made.turn == OnOrOff::Off).map(str::to_owned),
        refused: made.refused.as_ref().map(|refusal| Refused::of(refusal, Some(&made.step))),
        told: fitted.flatten().chain(made.notices.iter().map(|notice| line_to_press(notice, unit))).collect(),
    }
}

/// What is to be looked at twice of a width, with the way out to press where there is one.
fn still_wider(warning: &str, way_out: Option<&Suggestion>) -> Remark {
    let presses = way_out.into_iter().filter_map(StepToPress::suggested).collect();
    Remark { presses, ..Remark::bad(warning) }
}

/// What is to be looked at twice of a seam moved by hand, where the piece is wider than its cloth though it would fit with its
/// edge there on the selvedge.
fn wider_than_its_cloth(made: &MadeStep, laid: &OnTable) -> Option<Remark> {
    let Step::MoveSeam(moved) = &made.step else { return None };
    if made.turn == OnOrOff::Off || made.refused.is_some() {
        return None;
    }
    let pattern = laid.pattern();
    let width = given_width(pattern, laid.stock.as_deref()?, &moved.from).ok()?;
    let way_out = on_selvedge(&made.step, pattern, width.gives())?;
    Some(still_wider(&width.warning(pattern, laid.unit)?, Some(&way_out)))
}

/// What a step that is kept told, with the ways out that are steps to press.
fn line_to_press(notice: &Notice, unit: Unit) -> Remark {
    line_of(notice, unit).mended_by(notice.way_out().as_ref())
}

fn line_of(notice: &Notice, unit: Unit) -> Remark {
    let way_out = notice.way_out().map_or_else(String::new, |advice| format!("; {}", advised(&advice)));
    let sentence = format!("{}{way_out}", notice.sentence(unit));
    if notice.is_warning() { Remark::bad(sentence) } else { Remark::plain(sentence) }
}

fn fitted(pattern: &Pattern, stock: Option<&Stock>) -> Option<Fit> {
    fit(pattern, stock?, Angle::ZERO).ok()
}

pub(super) fn verdicts(pattern: &Pattern, found: Option<&Fit>, unit: Unit) -> Verdicts {
    let verdict = Verdict::of(pattern);
    let walked = counted(pattern.seams().len(), "seam");
    let is_true = match verdict.sentence(unit) {
        None => Remark::good(format!("True: {walked} walked{}.", twice(&verdict, unit))),
        Some(sentence) => Remark::bad(format!("Not true: {sentence}.")),
    };
    let findings = findings(pattern, &verdict, unit);
    Verdicts { fits: fits(found, unit), is_true, same_size: same_size(pattern, unit), findings }
}

/// What is not true, or to be looked at twice, each with its way out; nothing where one alone is told above, and no step mends
/// it.
fn findings(pattern: &Pattern, verdict: &Verdict, unit: Unit) -> Vec<Remark> {
    let lines: Vec<Remark> =
        verdict.findings().iter().map(|finding| Remark::of_finding(finding, pattern, unit)).collect();
    if lines.len() < 2 && lines.iter().all(|line| line.presses.is_empty()) { Vec::new() } else { lines }
}

/// What is to be looked at twice of a pattern that is true.
fn twice(verdict: &Verdict, unit: Unit) -> String {
    match verdict.findings() {
        [] => String::new(),
        [one] => format!("; look twice at {}", one.sentence(unit)),
        [first, more @ ..] => format!("; look twice at {}, and {} more", first.sentence(unit), more.len()),
    }
}

/// Whether all fits, and else all that hinders it: what has no cloth at all would be read of what is only too wide.
fn fits(found: Option<&Fit>, unit: Unit) -> Remark {
    let Some(found) = found else { return Remark::plain("No cloth is laid out.") };
    let missing: Vec<&PieceFit> = found.pieces.iter().filter(|piece| !piece.fits).collect();
    let nowhere = lying_nowhere(&found.without_cloth);
    let too_large = match missing.as_slice() {
        [] => None,
        [one] => Some(one.missing(unit)),
        [first, more @ ..] => Some(format!("{}, and {} more", first.missing(unit), more.len())),
    };
    let short = found.cloths.iter().find(|cloth| !cloth.fits);
    let short = short
        .filter(|_| missing.is_empty())
        .map(|cloth| format!("there is too little cloth: {}", cloth.cloth));
    let hinders: Vec<String> = too_large.into_iter().chain(short).collect();
    match (hinders.is_empty(), nowhere) {
        (true, None) => Remark::good("Fits: every piece by itself."),
        (true, Some(nowhere)) => Remark::bad(format!("Fits in part: {nowhere}.")),
        (false, nowhere) => {
            let all: Vec<String> = hinders.into_iter().chain(nowhere).collect();
            Remark::bad(format!("Does not fit: {}.", all.join("; ")))
        }
    }
}

/// Whether the girths are as before the first step, or as the steps say.
fn same_size(pattern: &Pattern, unit: Unit) -> Remark {
    let change = |change: &LevelResized| {
        format!("{} {}", change.level, read(&change.by.to_tenths().show_change(unit)))
    };
    match SizeKept::since_first_step(pattern) {
        None => Remark::good("Same size: nothing was done yet."),
        Some(SizeKept::Unknown) => Remark::plain("No level tells the size."),
        Some(SizeKept::Same(_)) => Remark::good("Same size: every girth is as before."),
        Some(SizeKept::AsPlanned(most)) => Remark::good(format!("Size as planned: {}.", change(&most))),
        Some(SizeKept::Another(most)) => Remark::bad(format!("Another size: {}.", change(&most))),
    }
}

fn girths_seen(before: &Pattern, now: &Pattern, unit: Unit) -> Vec<GirthSeen> {
    let declared = |of: &Pattern, level: &LevelName| of.record.declared_girth(level);
    let then = girths(before);
    let was = |level: &LevelName| then.iter().find(|girth| girth.level == *level);
    let seen = girths(now).into_iter().map(|girth| {
        let level = &girth.level;
        let change = was(level).map(|was| LevelResized {
            level: level.to_string(),
            by: Length::from_mm(girth.around.mm() - was.around.mm()),
            declared: Length::from_mm(declared(now, level) - declared(before, level)),
        });
        let told = |change: &LevelResized| read(&change.by.to_tenths().show_change(unit));
        let change = match SizeKept::of(change) {
            SizeKept::Unknown => Remark::plain("new"),
            SizeKept::Same(_) => Remark::good("as before"),
            SizeKept::AsPlanned(change) => Remark::plain(format!("{}, as planned", told(&change))),
            SizeKept::Another(change) => Remark::bad(told(&change)),
        };
        GirthSeen { level: girth.level.to_string(), now: read(&girth.around.show(unit)), change }
    });
    seen.collect()
}

/// What would come of a wish.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TrialSeen {
    /// What the step would do.
    pub sentence: Option<String>,
    /// As it would stand in the recipe.
    pub recipe: Option<String>,
    /// What the hand holds at.
    pub holds: Option<String>,
    /// That all of the piece fits there; none where it does not, or nothing holds.
    pub holds_well: Option<bool>,
    /// What it is drawn to, or goes by.
    pub snaps: Vec<SnapSeen>,
    /// What it draws, as the data of an SVG path.
    pub drawn: String,
    /// The places that the step names.
    pub places: Vec<PlaceSeen>,
    /// Why it is refused.
    pub refused: Option<Refused>,
    /// The pieces that it changes.
    pub pieces: Vec<PieceSeen>,
    /// The names of those that would be gone.
    pub gone: Vec<String>,
    /// The seams that it moves: how long both sides are, and how they stand to the grain.
    pub seams: Vec<Remark>,
    /// What the step tells.
    pub told: Vec<Remark>,
    /// The girths.
    pub girths: Vec<GirthSeen>,
    /// The three answers.
    pub verdicts: Option<Verdicts>,
}

impl TrialSeen {
    pub(super) fn refused(answer: Refused) -> TrialSeen {
        TrialSeen { refused: Some(answer), ..TrialSeen::default() }
    }

    /// With what the hand means.
    pub(super) fn of(self, held: &Held) -> TrialSeen {
        let step = held.step.as_ref();
        TrialSeen {
            sentence: step.map(|step| read(&capital(&of_step(step)))),
            recipe: held.written().as_ref().map(value_as_step),
            snaps: held.snaps.clone(),
            drawn: held.drawn.clone(),
            ..self
        }
    }

    /// With the width at which the hand holds.
    pub(super) fn at_hold(self, hold: Option<&WidthHold>, unit: Unit) -> TrialSeen {
        let holds_well = hold.filter(|hold| hold.fits()).map(|_| true);
        TrialSeen { holds: hold.map(|hold| read(&hold.sentence(unit))), holds_well, ..self }
    }

    /// With more that is told.
    pub(super) fn telling(mut self, lines: impl IntoIterator<Item = Remark>) -> TrialSeen {
        self.told.extend(lines);
        self
    }

    /// With the later steps that could then not be done.
    pub(super) fn without<'a>(mut self, lost: impl Iterator<Item = (usize, &'a Step)>) -> TrialSeen {
        self.told.extend(lost.map(|(number, step)| {
            let what = of_step(step);
            Remark::bad(format!("Step {number} can then not be done, and is left out: {what}."))
        }));
        self
    }

    /// What is seen of a pattern beside the one that it was made of.
    pub(super) fn between(
        laid: &OnTable,
        lying: &LyingPattern,
        after: &Pattern,
        notices: &[Notice],
    ) -> TrialSeen {
        let (unit, before) = (laid.unit, &lying.made);
        let found = fitted(after, laid.stock.as_deref());
        let changes = ChangedPieces::between(before, after);
        let pairs = changes.changed.iter().map(|(old, new)| (Some(*old), *new));
        let changed: Vec<_> = pairs.chain(changes.made.iter().map(|new| (None, *new))).collect();
        let mut pieces = pieces(after, changed.iter().map(|(_, new)| *new), found.as_ref(), unit);
        for (seen, (old, new)) in pieces.iter_mut().zip(&changed) {
            // What is new was cut off one of those that are gone.
            let mut of = old.iter().chain(&changes.gone);
            let by = of.find_map(|old| lying.shift_back(old, new)).unwrap_or_default();
            seen.shift = [by.x, by.y];
        }
        TrialSeen {
            pieces,
            gone: changes.gone.iter().map(|piece| piece.name().to_string()).collect(),
            seams: moved_seams(before, after, unit),
            told: notices.iter().map(|notice| line_of(notice, unit)).collect(),
            girths: girths_seen(&laid.made.base.pattern, after, unit),
            verdicts: Some(verdicts(after, found.as_ref(), unit)),
            ..TrialSeen::default()
        }
    }

    /// With the answers of the whole pattern.
    pub(super) fn of_whole(self, laid: &OnTable, whole: &Pattern) -> TrialSeen {
        let found = fitted(whole, laid.stock.as_deref());
        TrialSeen {
            girths: girths_seen(&laid.made.base.pattern, whole, laid.unit),
            verdicts: Some(verdicts(whole, found.as_ref(), laid.unit)),
            ..self
        }
    }
}

/// The seams both of whose sides have another line than before.
fn moved_seams(before: &Pattern, after: &Pattern, unit: Unit) -> Vec<Remark> {
    let curve = |pattern: &Pattern, edge: &EdgeRef| pattern.find_edge(edge).map(|edge| edge.curve.clone());
    let has_moved = |run: &crate::pattern::Run| {
        run.edges().iter().any(|run| curve(before, &run.edge) != curve(after, &run.edge))
    };
    let mut lines = Vec::new();
    for id in after.seam_ids() {
        let seam = after.seam(id);
        if !has_moved(&seam.first) || !has_moved(&seam.second) {
            continue;
        }
        let Ok(walk) = walk_seam(after, id) else { continue };
        let (first, second) = (walk.lengths.0.show(unit), walk.lengths.1.show(unit));
        let is_true = walk.difference.mm().abs() <= Limits::default().length.mm();
        let ease = if walk.ease == Length::ZERO {
            String::new()
        } else {
            format!(", {} eased in", Length::from_mm(walk.ease.mm().abs()).show(unit))
        };
        let said = Remark::plain(format!("{}: {first} to {second}{ease}.", walk.name));
        lines.push(Remark { good: Some(is_true), ..said });
        for edge in seam.edges().map(|run| &run.edge) {
            let found = after.find_on_piece(edge).and_then(|(piece, id)| piece.off_thread(id));
            if let Some(OffThread { degrees, .. }) = found.filter(|off| off.thread == Thread::Warp) {
                let is_straight = degrees <= Limits::default().off_grain_degrees;
                let said = Remark::plain(format!("{edge} stands {degrees:.1}° off the grain."));
                lines.push(Remark { good: Some(is_straight), ..said });
            }
        }
    }
    lines
}
