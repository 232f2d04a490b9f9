//! The order of sewing.

use crate::allowance::cutting_line;
use crate::pattern::{
    Copy, Dart, DartKind, Edge, EdgeName, EdgeRef, Finish, Opening, Pattern, Piece, PieceName, Run, SeamId,
    Unsewn,
};
use crate::show::markup::Markup;
use crate::show::piece::lies_on_fold;
use crate::show::report::phrases::times;
use crate::show::report::{Report, marks};
use crate::truing::{
    OrderFault, SeamWalk, SeamWay, SewingStage, SewingStep, SewingWork, StripOver, seams_into_opening,
};
use crate::units::{Length, Unit, listed};

pub(super) fn part(report: &Report<'_>) -> Markup {
    let mut part = Markup::default();
    let steps = &report.construction.steps;
    if steps.is_empty() {
        return part;
    }
    for one in &report.construction.faults {
        part.within("p", &[("class", "untrue")], |text| {
            text.element("strong", &[], "Cannot be sewn:");
            text.text(&fault(report.now, one));
        });
    }
    let mut number = 1;
    let mut titles: Vec<&str> = Vec::new();
    for (title, sentences) in stages(report) {
        // What must wait for another seam comes under its heading once more.
        let again = if titles.contains(&title) { ", what is left" } else { "" };
        titles.push(title);
        part.element("h3", &[], &format!("{title}{again}"));
        part.within("ol", &[("start", &number.to_string())], |list| {
            sentences.iter().for_each(|sentence| list.element("li", &[], sentence));
        });
        number += sentences.len();
    }
    part
}

/// The parts of the work in their order, each with its sentences. Pockets are set once they are made, while the pieces lie
/// flat; buttonholes come last.
fn stages(report: &Report<'_>) -> Vec<(&'static str, Vec<String>)> {
    let steps = report.construction.steps.chunk_by(|a, b| a.stage == b.stage);
    let mut stages: Vec<(SewingStage, Vec<String>)> = steps
        .map(|steps| (steps[0].stage, steps.iter().map(|step| sentence(report, step)).collect()))
        .collect();
    let set = marks::pockets(report.now);
    if !set.is_empty() {
        match stages.iter_mut().rfind(|(stage, _)| *stage == SewingStage::Pockets) {
            Some((_, sentences)) => sentences.extend(set),
            None => {
                let at = stages.partition_point(|(stage, _)| *stage < SewingStage::Pockets);
                stages.insert(at, (SewingStage::Pockets, set));
            }
        }
    }
    let mut stages: Vec<_> =
        stages.into_iter().map(|(stage, sentences)| (stage.title(), sentences)).collect();
    let worked = marks::buttonholes(report.now);
    if !worked.is_empty() {
        stages.push(("Buttonholes", worked));
    }
    stages
}

/// Why the garment cannot be sewn as its seams are declared, and the way out.
pub(super) fn fault(pattern: &Pattern, fault: &OrderFault) -> String {
    let names =
        |seams: &[SeamId]| seams.iter().map(|id| pattern.seam(*id).name()).collect::<Vec<_>>().join("; ");
    match fault {
        OrderFault::Circle { seams } => format!(
            "each of these seams runs on across another of them, so that none can be first: {}. End one of them where \
             the other crosses it.",
            names(seams)
        ),
        OrderFault::RoundClosedFirst { round, crossing } => format!(
            "{} goes round, and more than one seam runs on across it: {}. Whichever is closed first, no way is left to \
             sew the other flat. Declare the round as two seams, or end one of those at it.",
            pattern.seam(*round).name(),
            names(crossing)
        ),
        OrderFault::OpenJoint { seam, between: (one, other) } => format!(
            "{} runs on from {one} to {other}, and no seam joins the two there. Say what closes them, or baste them first.",
            pattern.seam(*seam).name()
        ),
    }
}

fn sentence(report: &Report<'_>, step: &SewingStep) -> String {
    match &step.work {
        SewingWork::OneCloth { copy, with } => {
            let with = with.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ");
            format!("Lay {copy} on the wrong side of {with} and baste it: they are one cloth from here on.")
        }
        SewingWork::Strip { strip, over } => laid_over(report.now, strip, over),
        SewingWork::Dart { piece, dart } => {
            let found = report.now.find(piece);
            let dart = found.and_then(|piece| piece.darts.iter().find(|one| one.name == *dart));
            let Some((piece, dart)) = found.zip(dart) else { return String::new() };
            if dart.kind == DartKind::Pleat {
                // Half of a pleat lies on each half of a piece on whose fold it is.
                let on_fold = <[_; 2]>::from(dart.legs()).iter().any(|leg| lies_on_fold(piece, leg));
                let often = if on_fold { piece.cut.copies } else { piece.times() };
                return format!(
                    "Fold the {} of {} and tack it at its edge{}.",
                    dart.name,
                    piece.name(),
                    times(often)
                );
            }
            let press = match pressed_toward(report.now, piece, dart) {
                Some(edge) => format!("Press it toward {edge}."),
                None => "Clip it at its widest, and press it toward the centre.".to_owned(),
            };
            format!("Sew the {} of {}{}. {press}", dart.name, piece.name(), times(piece.times()))
        }
        SewingWork::Seam { seam, way } => seam_sentence(report, *seam, *way),
        SewingWork::Hem { edges } => hem(report.now, edges, report.unit),
    }
}

/// How a strip is laid over what it covers.
fn laid_over(pattern: &Pattern, strip: &PieceName, over: &StripOver) -> String {
    let over = match over {
        StripOver::Seam(seam) => format!("the seam of {}", pattern.seam(*seam).name()),
        StripOver::Line(piece) => format!("its line on {piece}"),
    };
    let piece = pattern.find(strip);
    let is_caught = piece.is_some_and(|piece| piece.edges().iter().any(|edge| edge.unsewn == Unsewn::Meant));
    let caught = if is_caught { " Its ends are caught in the seams there." } else { "" };
    let often = times(piece.map_or(1, Piece::times));
    format!("Turn in the edges of {strip}, lay it over {over}{often}, and stitch it down.{caught}")
}

/// The edge toward which an open dart is pressed, so that its cap lies in the seam.
fn pressed_toward<'a>(pattern: &Pattern, piece: &'a Piece, dart: &Dart) -> Option<&'a EdgeName> {
    let line = cutting_line(pattern, piece).ok()?;
    let cap = line.caps.iter().find(|cap| cap.dart == dart.name)?;
    let edge = piece.find_edge(&dart.mouth()?.edge)?;
    Some(&piece.edge(piece.beside(edge, cap.toward)).name)
}

fn seam_sentence(report: &Report<'_>, id: SeamId, way: SeamWay) -> String {
    let pattern = report.now;
    let seam = pattern.seam(id);
    let is_centre = seam.is_to_own_mirror();
    let times_of = |edge: &EdgeRef| pattern.find(&edge.piece).map_or(1, Piece::times);
    let sewn = seam.edges().map(|run| times_of(&run.edge)).min().unwrap_or(1);
    let sewn = if is_centre { sewn.div_ceil(2) } else { sewn };
    let walk = report.walks.iter().find(|walk| walk.seam == id);
    let often = match walk.is_some_and(|walk| runs_over_fold(pattern, walk)) {
        true => format!(", over the fold, both halves in one{}", times(sewn.div_ceil(2))),
        false => times(sewn),
    };
    if let Some(opening) = opening(pattern, id, report.unit) {
        return opening;
    }
    let mut text = match is_centre {
        true => format!("Sew {} to its mirror image{}", edges(&seam.first), times(sewn)),
        false => format!("Sew {} to {}{often}", edges(&seam.first), edges(&seam.second)),
    };
    match way {
        SeamWay::Open => {}
        SeamWay::Round => text.push_str(", a closed seam"),
        SeamWay::FlatBefore(later) => {
            text.push_str(&format!(", flat, before {} closes it", pattern.seam(later).name()));
        }
    }
    text.push('.');
    text.push_str(&lapped(pattern, id, report.unit));
    if let Some(walk) = walk {
        text.push_str(&eased(pattern, walk, report.unit));
    }
    if pattern.is_new_seam(id) {
        text.push_str(" This seam is new.");
    }
    text
}

/// What is done with a seam that is left open.
fn opening(pattern: &Pattern, id: SeamId, unit: Unit) -> Option<String> {
    let seam = pattern.seam(id);
    let purpose = seam.edges().find_map(|run| pattern.find_edge(&run.edge)?.open)?;
    let length: f64 =
        seam.first.edges().iter().filter_map(|run| Some(pattern.find_edge(&run.edge)?.curve.length())).sum();
    let both = match seam.is_to_own_mirror() {
        true => format!("{} and its mirror image", edges(&seam.first)),
        false => format!("{} and {}", edges(&seam.first), edges(&seam.second)),
    };
    let finish = match purpose {
        Opening::Buttonhole => "Turn the allowances back and stitch round it; secure both ends.",
        Opening::Pocket => "Sew the pocket to its two sides; secure both ends.",
        Opening::Vent => "Face or turn back its two sides; secure the upper end.",
    };
    let length = Length::from_mm(length).show(unit);
    let from = match at_hem(pattern, &seam.first) {
        true => "from the notch to the hem",
        false => "notch to notch",
    };
    let crossed: String = seams_into_opening(pattern, seam)
        .iter()
        .map(|[first, second]| {
            format!(" The seam between {first} and {second} runs into it: press it open there first.")
        })
        .collect();
    Some(format!("Leave {both} open, {length}, {from}, for the {}.{crossed} {finish}", purpose.word()))
}

/// Whether a run begins or ends at a hem.
fn at_hem(pattern: &Pattern, run: &Run) -> bool {
    let (first, last) = run.first_and_last();
    let ends = [(&first.edge, first.travel.enters_at()), (&last.edge, last.travel.leaves_at())];
    ends.into_iter().any(|(edge, end)| {
        pattern
            .find_on_piece(edge)
            .is_some_and(|(piece, id)| piece.edge(piece.beside(id, end)).finish == Finish::Hem)
    })
}

/// How an edge is sewn that lies on top of its partner, or edge to edge with it.
pub(super) fn lapped(pattern: &Pattern, id: SeamId, unit: Unit) -> String {
    let seam = pattern.seam(id);
    let laps = seam.edges().filter(|run| !seam.is_to_own_mirror() || run.edge.copy == Copy::Drawn);
    let laps = laps.filter_map(|run| Some((&run.edge, pattern.find_edge(&run.edge)?.lap?)));
    laps.map(|(edge, lap)| match lap == Length::ZERO {
        true => format!(" {edge} lies edge to edge with the other side, without allowances."),
        false => {
            let stitching = lap.show(unit);
            let allowance = pattern.find_edge(edge).map_or(Length::ZERO, Edge::cut_allowance);
            match allowance == Length::ZERO {
                true => format!(" {edge} lies on top, its edge on the other seamline; stitch {stitching} inside it."),
                false => format!(
                    " Turn in {} of {edge} and lay it on top, its fold on the other seamline; stitch {stitching} inside it.",
                    allowance.show(unit)
                ),
            }
        }
    })
    .collect()
}

/// Whether a seam runs on over a fold in its own mirror image.
fn runs_over_fold(pattern: &Pattern, walk: &SeamWalk) -> bool {
    let is_fold = |edge: &EdgeRef| pattern.find_edge(edge).is_some_and(|edge| edge.finish == Finish::Fold);
    walk.ends.iter().any(|end| is_fold(&end.beyond.0) || is_fold(&end.beyond.1))
}

fn edges(run: &Run) -> String {
    listed(&run.edges().iter().map(|run| run.edge.to_string()).collect::<Vec<_>>())
}

/// What must be eased in, if anything.
pub(super) fn eased(pattern: &Pattern, walk: &SeamWalk, unit: Unit) -> String {
    if walk.ease == Length::ZERO {
        return String::new();
    }
    let seam = pattern.seam(walk.seam);
    let longer = if walk.ease.mm() > 0.0 { &seam.first } else { &seam.second };
    format!(
        " Ease {} of {} in between the notches.",
        Length::from_mm(walk.ease.mm().abs()).show(unit),
        edges(longer)
    )
}

fn hem(pattern: &Pattern, edges: &[EdgeRef], unit: Unit) -> String {
    let mut depths: Vec<Length> =
        edges.iter().filter_map(|edge| pattern.find_edge(edge)).map(|edge| edge.cut_allowance()).collect();
    depths.dedup();
    let names: Vec<String> = edges.iter().map(ToString::to_string).collect();
    let depth = match depths.as_slice() {
        [one] => format!(" by {}", one.show(unit)),
        _ => " by their allowances, which differ".to_owned(),
    };
    format!("Turn up {}{depth}.", listed(&names))
}
