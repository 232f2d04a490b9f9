//! What steps did to a pattern.

use indexmap::IndexMap;
use retrue::allowance::SewingOrder;
use retrue::pattern::{LevelName, Pattern, Piece};
use retrue::resew::is_other;
use retrue::truing::{Comparison, Finding, girths};
use retrue::units::{Length, Unit};
use serde::Serialize;

use super::{FindingReport, StepReport};
use crate::cli::chain::{ChainOutcome, DoneStep};
use crate::cli::fit_cloth::warning;

/// What steps did.
#[derive(Clone, Debug, Serialize)]
pub struct RecutReport {
    /// The file of the pattern before.
    pub file: String,
    /// The file of the pattern after, if it was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub written: Option<String>,
    /// Whether it is true now.
    #[serde(rename = "true")]
    pub is_true: bool,
    /// The steps.
    pub steps: Vec<DoneReport>,
    /// The pieces, those that are gone last.
    pub pieces: Vec<PieceChange>,
    /// The girths.
    pub girths: Vec<GirthChange>,
    /// What is not true now.
    pub findings: Vec<RecutFinding>,
}

/// Something that is not true after steps.
#[derive(Clone, Debug, Serialize)]
pub struct RecutFinding {
    /// What.
    #[serde(flatten)]
    pub finding: FindingReport,
    /// Whether it was no better before the first step.
    pub as_before: bool,
}

/// A step and what it told.
#[derive(Clone, Debug, Serialize)]
pub struct DoneReport {
    /// The step.
    #[serde(flatten)]
    pub step: StepReport,
    /// What it told.
    pub told: Vec<ToldReport>,
}

/// Something that a step told.
#[derive(Clone, Debug, Serialize)]
pub struct ToldReport {
    /// Whether to look twice.
    pub warning: bool,
    /// In words.
    pub sentence: String,
}

/// What became of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PieceFate {
    /// It is as it was.
    Kept,
    /// It has another outline or other data.
    Changed,
    /// It is new.
    Made,
    /// It is no more.
    Gone,
}

/// The size of a piece before and after.
#[derive(Clone, Debug, Serialize)]
pub struct PieceChange {
    /// The name.
    pub name: String,
    /// What became of it.
    pub fate: PieceFate,
    /// Width and height of its seamline before.
    pub before: Option<[f64; 2]>,
    /// The same after.
    pub after: Option<[f64; 2]>,
    /// Its width as it is cut before: square to the grain, allowances included, a half piece opened out.
    pub cut_width_before: Option<f64>,
    /// The same after.
    pub cut_width_after: Option<f64>,
}

/// The girth at a level before and after.
#[derive(Clone, Debug, Serialize)]
pub struct GirthChange {
    /// The level.
    pub level: LevelName,
    /// Before.
    pub before: Option<f64>,
    /// After.
    pub after: Option<f64>,
}

impl RecutReport {
    /// What a chain of steps did.
    pub fn of(chain: &ChainOutcome, written: Option<String>, unit: Unit) -> RecutReport {
        RecutReport {
            file: chain.before.name.clone(),
            written,
            is_true: chain.verdict.is_true(),
            steps: chain.steps.iter().map(|done| DoneReport::of(done, unit)).collect(),
            pieces: piece_changes(&chain.before.pattern, &chain.after),
            girths: girth_changes(&chain.before.pattern, &chain.after),
            findings: findings(&chain.since, unit),
        }
    }
}

/// What is new first.
fn findings(since: &Comparison, unit: Unit) -> Vec<RecutFinding> {
    let told = |as_before: bool| {
        move |finding: &Finding| RecutFinding { finding: FindingReport::of(finding, unit), as_before }
    };
    since.added.iter().map(told(false)).chain(since.as_before.iter().map(told(true))).collect()
}

impl DoneReport {
    fn of(DoneStep { step, notices, fitted, .. }: &DoneStep, unit: Unit) -> DoneReport {
        let told =
            notices.iter().map(|it| ToldReport { warning: it.is_warning(), sentence: it.sentence(unit) });
        let fitted = fitted.iter().flat_map(|(fitted, after)| {
            let note = ToldReport { warning: false, sentence: fitted.sentence(unit) };
            let warning =
                warning(step, fitted, after, unit).map(|sentence| ToldReport { warning: true, sentence });
            [Some(note), warning].into_iter().flatten()
        });
        DoneReport { step: StepReport::of(&step.to_value()), told: fitted.chain(told).collect() }
    }
}

fn cut_width(order: &SewingOrder<'_>, piece: &Piece) -> Option<f64> {
    order.as_cut(piece).ok().map(|cut| cut.width())
}

fn size(piece: &Piece) -> [f64; 2] {
    let bounds = piece.bounds();
    [bounds.width(), bounds.height()]
}

fn piece_changes(before: &Pattern, after: &Pattern) -> Vec<PieceChange> {
    let (order_before, order_after) = (SewingOrder::of(before), SewingOrder::of(after));
    let change = |was: Option<&Piece>, is: Option<&Piece>| PieceChange {
        name: was.or(is).map(|piece| piece.name().to_string()).unwrap_or_default(),
        fate: match (was, is) {
            (Some(was), Some(is)) if is_other(was, is) => PieceFate::Changed,
            (Some(_), Some(_)) => PieceFate::Kept,
            (None, _) => PieceFate::Made,
            (Some(_), None) => PieceFate::Gone,
        },
        before: was.map(size),
        after: is.map(size),
        cut_width_before: was.and_then(|piece| cut_width(&order_before, piece)),
        cut_width_after: is.and_then(|piece| cut_width(&order_after, piece)),
    };
    let stand = after.pieces().map(|piece| change(before.find(piece.name()), Some(piece)));
    let gone = before.pieces().filter(|piece| after.find(piece.name()).is_none());
    stand.chain(gone.map(|piece| change(Some(piece), None))).collect()
}

fn girth_changes(before: &Pattern, after: &Pattern) -> Vec<GirthChange> {
    let mut changes: IndexMap<LevelName, GirthChange> = IndexMap::new();
    let mut change = |level: &LevelName, set: fn(&mut GirthChange) -> &mut Option<f64>, around: Length| {
        let new = || GirthChange { level: level.clone(), before: None, after: None };
        *set(changes.entry(level.clone()).or_insert_with(new)) = Some(around.mm());
    };
    girths(before).iter().for_each(|girth| change(&girth.level, |of| &mut of.before, girth.around));
    girths(after).iter().for_each(|girth| change(&girth.level, |of| &mut of.after, girth.around));
    changes.into_values().collect()
}
