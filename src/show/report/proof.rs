//! The proof that no cloth was lost or made: the new pieces laid back onto those they were cut from.

use crate::pattern::PieceName;
use crate::show::report::listed;
use crate::show::report::markup::Markup;
use crate::tolerance::RESEWN_AREA;
use crate::truing::Finding;
use crate::units::Length;

/// What came of laying the new pieces back onto the old.
#[derive(Clone, Debug, PartialEq)]
pub enum Proof {
    /// They were laid back.
    LaidBack {
        /// Each step, in order.
        steps: Vec<StepLaidBack>,
        /// What is beyond limits. It is told with all else that is not true.
        findings: Vec<Finding>,
    },
    /// They could not be.
    Impossible {
        /// Why.
        why: String,
    },
}

/// A step laid back.
#[derive(Clone, Debug, PartialEq)]
pub struct StepLaidBack {
    /// Its number in the record, from 1.
    pub number: usize,
    /// The pieces that exchanged cloth together; none where it moved none.
    pub groups: Vec<PiecesLaidBack>,
}

/// Pieces that exchanged cloth in a step, laid back. Areas are in mm².
#[derive(Clone, Debug, PartialEq)]
pub struct PiecesLaidBack {
    /// The old pieces.
    pub from: Vec<PieceName>,
    /// The new pieces.
    pub to: Vec<PieceName>,
    /// The largest distance of a line that is to be as it was.
    pub held: Option<Length>,
    /// The largest distance of a line that the step says it drew anew.
    pub redrawn: Option<Length>,
    /// Old cloth that lies twice in the new pieces.
    pub doubled: f64,
    /// Old cloth that is in no new piece and went into no dart.
    pub missing: f64,
    /// Old cloth that went into darts whose legs were drawn anew.
    pub into_darts: f64,
}

const COLUMNS: [&str; 6] =
    ["Step", "Pieces", "Lines that stay lie within", "Drawn anew by up to", "Cloth twice", "Cloth missing"];

pub(super) fn part(proof: Option<&Proof>) -> Markup {
    let mut part = Markup::default();
    match proof {
        None => {}
        Some(Proof::Impossible { why }) => {
            part.within("p", &[("class", "warning")], |text| {
                text.element("strong", &[], "Look twice:");
                text.text(&format!("The new pieces could not be laid back onto the old ones: {why}."));
            });
        }
        Some(Proof::LaidBack { steps, findings }) => laid_back(&mut part, steps, findings),
    }
    part
}

fn laid_back(part: &mut Markup, steps: &[StepLaidBack], findings: &[Finding]) {
    let (moving, still): (Vec<&StepLaidBack>, Vec<&StepLaidBack>) =
        steps.iter().partition(|step| !step.groups.is_empty());
    part.element("p", &[], &verdict(&moving, findings));
    let rows: Vec<Vec<String>> =
        moving.iter().flat_map(|step| step.groups.iter().map(|group| row(step.number, group))).collect();
    if !rows.is_empty() {
        let caption = "Each step laid back by the motions in its record, and measured";
        part.table(caption, &COLUMNS, &rows);
    }
    if !still.is_empty() {
        let numbers: Vec<String> = still.iter().map(|step| step.number.to_string()).collect();
        let steps = if still.len() == 1 { "Step" } else { "Steps" };
        part.element("p", &[], &format!("{steps} {} moved no cloth.", listed(&numbers)));
    }
}

fn verdict(moving: &[&StepLaidBack], findings: &[Finding]) -> String {
    let held = moving.iter().flat_map(|step| &step.groups).filter_map(|group| group.held);
    let farthest = held.map(Length::mm).fold(0.0, f64::max);
    let said = match (moving.is_empty(), findings.len()) {
        (true, 0) => return "No step moved cloth from piece to piece.".to_owned(),
        (_, 0) => "no cloth lies twice or is missing beyond what the steps say",
        (_, 1) => "one thing is not as the steps say: see above, under Before you cut",
        _ => "several things are not as the steps say: see above, under Before you cut",
    };
    format!("Laid back onto the old pieces, lines that stay lie within {}; {said}.", distance(farthest))
}

fn row(number: usize, group: &PiecesLaidBack) -> Vec<String> {
    let names = |names: &[PieceName]| listed(&names.iter().map(ToString::to_string).collect::<Vec<_>>());
    let pieces = match group.from == group.to {
        true => names(&group.to),
        false => format!("{} → {}", names(&group.from), names(&group.to)),
    };
    let far = |length: Option<Length>| length.map_or_else(|| "–".to_owned(), |far| distance(far.mm()));
    let missing = match group.into_darts {
        darts if darts > RESEWN_AREA => format!("{}; {darts:.0} mm² into darts", area(group.missing)),
        _ => area(group.missing),
    };
    vec![number.to_string(), pieces, far(group.held), far(group.redrawn), area(group.doubled), missing]
}

/// A distance as the law measures it, finer than lengths are told elsewhere.
fn distance(mm: f64) -> String {
    if mm < 0.0005 { "0.001 mm".to_owned() } else { format!("{:.3} mm", (mm * 1000.0).ceil() / 1000.0) }
}

fn area(area: f64) -> String {
    if area > RESEWN_AREA { format!("{area:.0} mm²") } else { "none".to_owned() }
}
